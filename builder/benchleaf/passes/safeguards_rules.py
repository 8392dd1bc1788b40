"""Rules about what a procedure may not do among the energies of its machine."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

HANDS_UNPROTECTED = Rule(
    "energy.hands-unprotected",
    Severity.ERROR,
    why="Hands would meet an energy that may be there and that nothing in the machine file takes away.",
    mend="Do the step from a distance, or say in the machine file how this energy is isolated, held or let go.",
    bad="- clean: fan   # fan: {kind: motion, when: {key: on}}, with nothing to isolate it",
    good="- clean: fan   # fan: {kind: motion, fed_by: [supply]}, and the supply is isolated",
    source="29 CFR 1910.147(d)(3)",
)
LIVE_WORK_UNSAID = Rule(
    "energy.live-work-unsaid",
    Severity.ERROR,
    why="From 50 V on a reading at live parts is energized work: somebody has to answer for why it is not done dead.",
    mend="Add `live: {energies: [...], why: infeasible, reason: ...}`, or read it in another way.",
    bad="- measure: supply-voltage\n  between: [L1, N]",
    good="- measure: supply-voltage\n  between: [L1, N]\n  live: {energies: [mains], why: infeasible, reason: Only "
    "power shows the supply.}",
    source="29 CFR 1910.333(a)(1); NFPA 70E 2021, 50 V (public reproduction)",
)
LIVE_NOT_ALLOWED = Rule(
    "energy.live-not-allowed",
    Severity.ERROR,
    why="Energized work is for measuring and adjusting electrical parts only; nobody works against motion or pressure.",
    mend="Let the step be done locked out, or make it a reading.",
    bad="- remove: drive-motor\n  live: {energies: [travel], why: infeasible, reason: It is quicker.}",
    good="- remove: drive-motor",
    source="29 CFR 1910.333(a)(1) and 1910.147(a)(2)(ii)",
)
LIVE_CREW = Rule(
    "energy.live-crew",
    Severity.ERROR,
    why="Whoever works at live parts needs somebody beside who can switch off and call for help.",
    mend="Name a second person in `crew`.",
    bad="crew: {technician: electrical}",
    good="crew: {technician: electrical, helper: any}",
    source="shop.yaml, energized_work; common practice, no source",
)
LEFT_OPEN = Rule(
    "energy.left-open",
    Severity.ERROR,
    why="A machine given back with a cover off or a bolt loose hurts the next person.",
    mend="Put it back before this outcome, or write `leave: out-of-service` there.",
    bad="- open: deck\n  then: {found: done}   # done: {leave: as-final}",
    good="- open: deck\n- close: deck\n  then: {found: done}",
    source="29 CFR 1910.147(e)(1)",
)
LEFT_OTHERWISE = Rule(
    "energy.left-otherwise",
    Severity.ERROR,
    why="What a card found off and leaves on is nobody's decision: whoever comes next counts on the machine as it was.",
    mend="Name it in `final`, as it is to be left.",
    bad="initial: {key: off}   # a step turns the key on\nfinal: {battery-plug: mated}",
    good="final: {battery-plug: mated, key: off}",
    source="29 CFR 1910.147(e)(1): the machine is given back as it has to be",
)
POWER_WHILE_OPEN = Rule(
    "energy.power-while-open",
    Severity.ERROR,
    why="A machine gets power again when it is whole; only a reading may need power behind an open cover or beside "
    "a parted plug.",
    mend="Put it back before the step that needs power, or take the reading that needs it open there.",
    bad="- open: hood\n- operate: Turn the key on.\n- close: hood",
    good="- open: hood\n- close: hood\n- operate: Turn the key on.",
    source="29 CFR 1910.147(e)(1)",
)
POWER_AND_HANDS = Rule(
    "energy.power-and-hands",
    Severity.ERROR,
    why="The step asks for power while hands are within reach of an energy that hurts.",
    mend="Split the step: set the machine going from its controls, and let hands work on the locked machine.",
    bad="- adjust: drive-belt\n  power: on",
    good="- adjust: drive-belt\n- operate: Run the drive for a moment.",
    source="29 CFR 1910.147(a)(2)(ii)",
)
TOGETHER_BROKEN = Rule(
    "energy.together-broken",
    Severity.ERROR,
    why="Two steps that belong together would be torn apart by a lockout between them.",
    mend="Order the steps so that both stand on the same side of the lockout, or drop `together`.",
    bad="- operate: Turn the key on.\n  together: next\n- remove: control-fuse",
    good="- operate: Turn the key on.\n- remove: control-fuse",
)
OPENED_TWICE = Rule(
    "energy.opened-twice",
    Severity.ADVICE,
    why="The proof of zero needs this cover open, so the card would open it twice.",
    mend="Write `access: true` on the step that opens the cover: the proof then follows it.",
    bad="- open: deck",
    good="- open: deck\n  access: true",
)
MOVED_BY_HAND = Rule(
    "energy.isolator-in-passing",
    Severity.ERROR,
    why="What isolates is moved on purpose, by a step that says so: a side effect in another step is overlooked.",
    mend="Move it by `operate`, `disconnect`, `connect`, `place` or `take`.",
    bad="- look: The lamp is dark.\n  sets: {battery-plug: parted}",
    good="- disconnect: battery-plug",
    source="29 CFR 1910.147(d)(3)",
)

RULES: tuple[Rule, ...] = (
    HANDS_UNPROTECTED,
    LIVE_WORK_UNSAID,
    LIVE_NOT_ALLOWED,
    LIVE_CREW,
    LEFT_OPEN,
    LEFT_OTHERWISE,
    POWER_WHILE_OPEN,
    POWER_AND_HANDS,
    TOGETHER_BROKEN,
    OPENED_TWICE,
    MOVED_BY_HAND,
)
