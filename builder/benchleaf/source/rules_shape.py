"""Rules on the fields of a source file and what they hold."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

_SCHEMA = "the file's own schema (JSON Schema 2020-12), where the field is described"

MISSING_FIELD = Rule(
    slug="source.missing-field",
    severity=Severity.ERROR,
    why="What is not written is not known, and is never guessed.",
    mend="add the field",
    bad="meters:\n  meter-1: {name: bench multimeter}\n",
    good=(
        "meters:\n  meter-1:\n    name: bench multimeter\n    category: CAT III 600 V\n    ranges:\n"
        "      dc-voltage: {to: 60 V, accuracy: 0.5 % + 2 digits, resolution: 10 mV}\n"
    ),
    source=_SCHEMA,
)
UNKNOWN_FIELD = Rule(
    slug="source.unknown-field",
    severity=Severity.ERROR,
    why="A field that is misspelt, or stands at the wrong depth, would be passed over without a word.",
    mend="correct the name, or move the line to where it belongs",
    bad="energized_work: {crw: 2}\n",
    good="energized_work: {crew: 2}\n",
    source=_SCHEMA,
)
WRONG_TYPE = Rule(
    slug="source.wrong-type",
    severity=Severity.ERROR,
    why="Text, number, list and map are read differently.",
    mend="write the value in the form that the field asks for",
    bad="name: 48\n",
    good='name: "48"\n',
    source=_SCHEMA,
)
NO_VALUE = Rule(
    slug="source.no-value",
    severity=Severity.ERROR,
    why="A field without a value says nothing; what holds if it is left out is another matter.",
    mend="write the value, or take the field out",
    bad="name:\n",
    good="name: Marram Works service\n",
    source=_SCHEMA,
)
NEEDS_UNIT = Rule(
    slug="source.needs-unit",
    severity=Severity.ERROR,
    why="A bare number is a trap: 36 taken as lbf·ft instead of N·m tightens a bolt by a third too much.",
    mend="write number and unit with a space between them",
    bad="pause: 60\n",
    good="pause: 60 min\n",
    source="NIST SP 811 (2008), sections 7.1 and 7.2 (a value is a number times a unit), from memory",
)
UNKNOWN_VALUE = Rule(
    slug="source.unknown-value",
    severity=Severity.ERROR,
    why="Only the words that the field knows have a meaning.",
    mend="write one of the words that the field knows",
    bad="paper: A44\n",
    good="paper: A4\n",
    source=_SCHEMA,
)
BAD_IDENTIFIER = Rule(
    slug="source.bad-identifier",
    severity=Severity.ERROR,
    why="Identifiers become file names, links and marks on the card, so they keep to plain letters.",
    mend="use lower-case letters and digits in words joined by hyphens",
    bad="things:\n  Axle stands: {name: pair of axle stands}\n",
    good="things:\n  axle-stands: {name: pair of axle stands}\n",
)
WRONG_FORM = Rule(
    slug="source.wrong-form",
    severity=Severity.ERROR,
    why="What does not have the form of the field cannot be computed or compared with anything.",
    mend="write the value in the form that the field asks for",
    bad="languages: [English]\n",
    good="languages: [en]\n",
    source=_SCHEMA,
)
NO_ACTION = Rule(
    slug="source.no-action",
    severity=Severity.ERROR,
    why="The action says how close the person comes, and so which dangers reach them.",
    mend="begin the step with its action",
    bad="steps:\n  - id: rest\n    at: throttle-pot\n",
    good="steps:\n  - look: Is the lead chafed?\n    id: rest\n    at: throttle-pot\n",
)
UNKNOWN_ACTION = Rule(
    slug="source.unknown-action",
    severity=Severity.ERROR,
    why="The action says how close the person comes, and so which dangers reach them.",
    mend="begin the step with an action that is known",
    bad="steps:\n  - mesure: pack-at-rest\n",
    good="steps:\n  - measure: pack-at-rest\n",
)
SEVERAL_ACTIONS = Rule(
    slug="source.several-actions",
    severity=Severity.ERROR,
    why="Two actions in one step cannot be answered, timed, held or made safe one by one.",
    mend="give each action a step of its own",
    bad="steps:\n  - open: deck\n    remove: battery-bank\n",
    good="steps:\n  - open: deck\n  - remove: battery-bank\n",
    source="ASD-STE100 issue 8, rule 5.2 (one instruction a sentence), from memory",
)
INCOMPLETE = Rule(
    slug="source.incomplete",
    severity=Severity.ERROR,
    why="None of the fields stands here that would give the rest a meaning.",
    mend="add one of the fields that are due here",
    bad="limits:\n  pack-at-rest: {measure: dc-voltage}\n",
    good="limits:\n  pack-at-rest: {measure: dc-voltage, low: 50.2 V}\n",
    source=_SCHEMA,
)
EXCLUDED_FIELD = Rule(
    slug="source.excluded-field",
    severity=Severity.ERROR,
    why="The two fields say the same thing in two ways, and nobody knows which one holds.",
    mend="keep one of them",
    bad="answers:\n  yes: {go: rest, found: weak-pack}\n",
    good="answers:\n  yes: {go: rest}\n",
    source=_SCHEMA,
)
EMPTY = Rule(
    slug="source.empty",
    severity=Severity.ERROR,
    why="A list or map that holds nothing is most likely unfinished; `none` is said in words where it is meant.",
    mend="fill it, or take the field out",
    bad="steps: []\n",
    good="steps:\n  - open: deck\n",
    source=_SCHEMA,
)
WRONG_COUNT = Rule(
    slug="source.wrong-count",
    severity=Severity.ERROR,
    why="With too few or too many entries the field has no meaning.",
    mend="write as many entries as the field asks for",
    bad="units: {torque: [N·m, lbf·ft, kgf·cm]}\n",
    good="units: {torque: [N·m, lbf·ft]}\n",
    source=_SCHEMA,
)
REPEATED_ITEM = Rule(
    slug="source.repeated-item",
    severity=Severity.ERROR,
    why="Either one of the two is superfluous, or something else was meant.",
    mend="take one of them out, or correct it",
    bad="languages: [en, en]\n",
    good="languages: [en, de]\n",
    source=_SCHEMA,
)
OUT_OF_BOUNDS = Rule(
    slug="source.out-of-bounds",
    severity=Severity.ERROR,
    why="A number beyond these bounds has no meaning for the field.",
    mend="write a number within the bounds",
    bad="energized_work: {crew: 0}\n",
    good="energized_work: {crew: 2}\n",
    source=_SCHEMA,
)

RULES: tuple[Rule, ...] = (
    MISSING_FIELD,
    UNKNOWN_FIELD,
    WRONG_TYPE,
    NO_VALUE,
    NEEDS_UNIT,
    UNKNOWN_VALUE,
    BAD_IDENTIFIER,
    WRONG_FORM,
    NO_ACTION,
    UNKNOWN_ACTION,
    SEVERAL_ACTIONS,
    INCOMPLETE,
    EXCLUDED_FIELD,
    EMPTY,
    WRONG_COUNT,
    REPEATED_ITEM,
    OUT_OF_BOUNDS,
)
