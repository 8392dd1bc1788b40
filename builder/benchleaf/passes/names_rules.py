"""Rules about names: what is referred to exists once, under its own name, and is used."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE

# Three sentences that hold for every kind of name.
_WHY = "Nothing can be looked up under a name that is declared nowhere, and no check can follow it."


def _unknown(kind: str, mend: str, bad: str, good: str, why: str = _WHY) -> Rule:
    return Rule(f"names.unknown-{kind}", ERROR, why=why, mend=mend, bad=bad, good=good)


UNKNOWN_MACHINE = _unknown(
    "machine",
    "Name the machine in whose folder the procedure lies.",
    "# procedures/rc-48/no-drive.yaml\nmachine: rc-84",
    "# procedures/rc-48/no-drive.yaml\nmachine: rc-48",
    "A procedure held against another machine's energies and limits proves nothing.",
)
UNKNOWN_CONDITION = _unknown(
    "condition",
    "Declare it under `conditions` of the machine, or use a name from there; a thing is a condition too.",
    "sets: {kye: on}",
    "sets: {key: on}",
    "What is not known to stand one way or another cannot be followed from step to step.",
)
UNKNOWN_VALUE = _unknown(
    "value",
    "Use one of the values that the condition lists; a thing is `out` or `in-place`.",
    "sets: {key: onn}",
    "sets: {key: on}",
    "A condition never takes a value that it does not list, so whatever waits for it never comes.",
)
UNKNOWN_ENERGY = _unknown(
    "energy",
    "Declare it under `energy` of the machine, or use a name from there.",
    "fed_by: [pakc]",
    "fed_by: [pack]",
    "An energy that is not found is neither isolated nor warned of.",
)
UNKNOWN_PART = _unknown(
    "part",
    "Declare it under `parts` of the machine, or use a name from there.",
    "- remove: drive-moter",
    "- remove: drive-motor",
)
UNKNOWN_PLACE = _unknown(
    "place",
    "Declare it under `places` of the machine, or use a name from there.",
    "contactor: {name: main contactor, in: batery-bay}",
    "contactor: {name: main contactor, in: battery-bay}",
    "What lies in the place, and behind which cover, decides what the hands meet there.",
)
UNKNOWN_POINT = _unknown(
    "point",
    "Declare it under `points` of the machine, or use a name from there.",
    "between: [P1, N2]",
    "between: [P1, N1]",
    "A reading between points that nobody can find is a reading of something else.",
)
UNKNOWN_THING = _unknown(
    "thing",
    "Declare it under `things` of the machine, or use a name from there.",
    "- place: axle-stand",
    "- place: axle-stands",
)
UNKNOWN_LIMIT = _unknown(
    "limit",
    "Declare it under `limits` of the machine, or use a name from there.",
    "- measure: pack-at-rset",
    "- measure: pack-at-rest",
    "A reading without a limit decides nothing.",
)
UNKNOWN_FASTENER = _unknown(
    "fastener",
    "Declare it under `fasteners` of the machine, or use a name from there.",
    "- tighten: motor-mounts",
    "- tighten: motor-mount",
    "Without the fastener's torque the joint is tightened by feel.",
)
UNKNOWN_INDICATOR = _unknown(
    "indicator",
    "Declare it under `indicators` of the machine, or write what to look at in words.",
    "- read: fault-code",
    "- read: fault-codes",
)
UNKNOWN_ELEMENT = _unknown(
    "element",
    "Use the name of an element or node of the circuit.",
    "coil-open: {part: contactor, circuit: {coill: open}}",
    "coil-open: {part: contactor, circuit: {coil: open}}",
    "A fault that changes nothing in the circuit is found by no reading.",
)
UNKNOWN_FAULT = _unknown(
    "fault",
    "Declare it under `faults` of the machine, or use a name from there.",
    "coil-open: {fault: coil-opne, leave: out-of-service}",
    "coil-open: {fault: coil-open, leave: out-of-service}",
)
UNKNOWN_OPTION = _unknown(
    "option",
    "Declare it under `options` of the machine, or use a name from there.",
    "applies_to: {options: {chargr: built-in}}",
    "applies_to: {options: {charger: built-in}}",
    "A step for an option that no machine has is printed for nobody.",
)
UNKNOWN_STEP = _unknown(
    "step",
    "Give a step this `id`, or name one that has it.",
    "below: {go: charge-frist}",
    "below: {go: charge-first}",
    "The technician is sent to a step that is not there.",
)
UNKNOWN_OUTCOME = _unknown(
    "outcome",
    "Declare it under `outcomes` of the procedure, or use a name from there.",
    "no: {found: coil-opne}",
    "no: {found: coil-open}",
    "Work would end without a word on what was found and how the machine is left.",
)
UNKNOWN_PROCEDURE = _unknown(
    "procedure",
    "Name a procedure of this workspace by its id.",
    "then: {procedure: contactor-replce}",
    "then: {procedure: contactor-replace}",
    "The technician is sent to a card that is not there.",
)
UNKNOWN_ROLE = _unknown(
    "role",
    "Name the role under `crew`, or use one from there.",
    "crew: {technician: electrical}\nsteps:\n  - tighten: motor-mount\n    hold: inspector",
    "crew: {technician: electrical, inspector: any}\nsteps:\n  - tighten: motor-mount\n    hold: inspector",
    "Somebody is needed here who is not on the card's crew list, so nobody will have come.",
)
UNKNOWN_TRADE = _unknown(
    "trade",
    "Use a trade from `rules.trades` of the shop, or add it there.",
    "crew: {technician: electric}",
    "crew: {technician: electrical}",
    "Who may do the work is decided by trades that the shop knows.",
)
UNKNOWN_GEAR = _unknown(
    "gear",
    "Declare it in `shop.yaml` under `meters`, `wrenches`, `tools`, `things` or `supplies`, or use a name from there.",
    "meter: meter-11",
    "meter: meter-1",
    "Range and accuracy of an instrument that nobody knows cannot be held against the limit.",
)
REPEATED_ID = Rule(
    "names.repeated-id",
    ERROR,
    why="Two of the same name cannot be told apart by whatever refers to them.",
    mend="Give one of them another id.",
    bad="- {ask: Is it warm?, id: warm}\n- {ask: Is it hot?, id: warm}",
    good="- {ask: Is it warm?, id: warm}\n- {ask: Is it hot?, id: hot}",
)
REPEATED_CODE = Rule(
    "names.repeated-code",
    WARNING,
    why="A fault code that leads to two cards leaves the choice to whoever holds them.",
    mend="Give each complaint of a machine its own code, or tell in `not_for` which card is for what.",
    bad="# no-drive.yaml and slow-drive.yaml\ncomplaint: {code: D2, text: It does not move.}",
    good="# slow-drive.yaml\ncomplaint: {code: D6, text: It moves slowly.}",
)
ID_NOT_FILE = Rule(
    "names.id-not-file",
    ERROR,
    why="Cards, records and links go by the id, people by the file name; where the two part, one of them is wrong.",
    mend="Rename the file, or write its name as `id`; a machine's id is the name of its folder.",
    bad="# procedures/rc-48/no-drive.yaml\nid: dead-drive",
    good="# procedures/rc-48/no-drive.yaml\nid: no-drive",
)
RESERVED_ID = Rule(
    "names.reserved-id",
    ERROR,
    why="Cards know these names already: a way that leads to `stop` or `end` would go to a step and past the end, and "
    "an outcome of the compiler's own would be mixed up with the writer's.",
    mend="Give it another id.",
    bad="- {operate: Press the stop button., id: stop}",
    good="- {operate: Press the stop button., id: stop-it}",
)
UNUSED = Rule(
    "names.unused",
    ADVICE,
    why="What nothing uses is either left over or was meant to be used where something else stands.",
    mend="Use it, or take it out.",
    bad="limits:\n  bus-off: {measure: dc-voltage, high: 2.0 V}   # measured by no procedure",
    good="steps:\n  - measure: bus-off",
)

RULES: tuple[Rule, ...] = (
    UNKNOWN_MACHINE,
    UNKNOWN_CONDITION,
    UNKNOWN_VALUE,
    UNKNOWN_ENERGY,
    UNKNOWN_PART,
    UNKNOWN_PLACE,
    UNKNOWN_POINT,
    UNKNOWN_THING,
    UNKNOWN_LIMIT,
    UNKNOWN_FASTENER,
    UNKNOWN_INDICATOR,
    UNKNOWN_ELEMENT,
    UNKNOWN_FAULT,
    UNKNOWN_OPTION,
    UNKNOWN_STEP,
    UNKNOWN_OUTCOME,
    UNKNOWN_PROCEDURE,
    UNKNOWN_ROLE,
    UNKNOWN_TRADE,
    UNKNOWN_GEAR,
    REPEATED_ID,
    REPEATED_CODE,
    RESERVED_ID,
    ID_NOT_FILE,
    UNUSED,
)
