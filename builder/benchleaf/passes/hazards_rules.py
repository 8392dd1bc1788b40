"""Rules about what a step exposes people to, and what a machine file must say about its isolators."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

NO_PLACE = Rule(
    "energy.no-place",
    Severity.ERROR,
    why="An isolator that has to be looked for is one that gets mistaken for another.",
    mend="Say under `place` where its handle, plug or valve is.",
    bad="battery-plug: {values: [mated, parted], isolates: true}",
    good="battery-plug: {values: [mated, parted], isolates: true, place: left side of the deck}",
    source="29 CFR 1910.147(c)(4)(ii)(B)",
)
FAULT_DEFEATS = Rule(
    "energy.fault-defeats-isolation",
    Severity.ERROR,
    why="The machine that comes in for repair may have just the fault that keeps the isolated side alive.",
    mend="Isolate at something that this fault can't bridge, or let the proof of zero look where it would show.",
    bad="faults: {plug-bridged: {part: battery-plug, circuit: {plug-pos: short}}}",
    good="bus: {isolate: {battery-plug: parted, main-link: removed}}",
    source="29 CFR 1910.147(d)(6): isolation is verified because it can fail",
)
THRESHOLD_LOOSENED = Rule(
    "energy.threshold-loosened",
    Severity.ERROR,
    why="A shop may be stricter than the published threshold, never laxer.",
    mend="Take the entry out, or write a stricter value than the published one.",
    bad="thresholds: {shock: 60 V}",
    good="thresholds: {shock: 30 V}",
    source="29 CFR 1910.333(a)(1): 50 V; IEC 60204-1, 6.2.4: 60 V within 5 s (public reproduction)",
)
HANDS_IN_WORDS = Rule(
    "energy.hands-in-words",
    Severity.ERROR,
    why="The words bring hands to the machine, but by the action nobody comes so close: no protection is put in.",
    mend="Use an action of the hands (open, remove, disconnect, feel, ...), or leave the reaching out of the words.",
    bad="- look: Reach behind the motor and feel for heat.",
    good="- feel: drive-motor",
)
MOVE_UNSAID = Rule(
    "energy.move-unsaid",
    Severity.ERROR,
    why="What the words move and `sets` does not say, the compiler takes for standing as before: locks, warnings and "
    "the way back are then those of another machine.",
    mend="Add `sets` with what the step moves.",
    bad="- operate: Turn the key on.",
    good="- operate: Turn the key on.\n  sets: {key: on}",
)
EVIDENCE_LOST = Rule(
    "energy.evidence-lost",
    Severity.ERROR,
    why="What was stored is gone once that isolator has moved: the reading after it shows nothing of the complaint.",
    mend="Read it before the isolator is moved: put the step first, before any step that needs the machine locked.",
    bad="- open: deck\n- read: fault-codes   # battery-plug: {loses: [fault-codes]}",
    good="- read: fault-codes\n- open: deck",
)
MOVED_OUT_OF_TURN = Rule(
    "energy.moved-out-of-turn",
    Severity.ERROR,
    why="Moved while the machine stands otherwise, it draws an arc, falls, or breaks.",
    mend="Bring about what `move_when` asks for in a step before.",
    bad="- operate: Turn the key on.\n  sets: {key: on}\n- disconnect: battery-plug   # move_when: {key: off}",
    good="- operate: Turn the key off.\n  sets: {key: off}\n- disconnect: battery-plug",
)
WITHIN_REACH = Rule(
    "energy.within-reach",
    Severity.ERROR,
    why="Movement may start while somebody holds probes there or reaches in.",
    mend="Take the movement away first (raise the wheels, part the drive), or read at points out of its reach.",
    bad="- operate: Pull the throttle.\n- measure: motor-volts   # at the turning motor",
    good="- place: axle-stands\n- measure: motor-volts\n  between: [J7, J4]",
    source="29 CFR 1910.147(a)(2)(ii)",
)
NOT_HELD = Rule(
    "energy.not-held",
    Severity.ERROR,
    why="A load that nothing surely holds comes down on whoever reaches under it.",
    mend="Place what holds it (`held_by`) before this step on every path.",
    bad="- raise: Raise the platform.\n- clean: scissor",
    good="- raise: Raise the platform.\n- place: props\n- clean: scissor",
    source="29 CFR 1910.147(d)(5)(i)",
)
STRING_WHOLE = Rule(
    "energy.string-whole",
    Severity.ERROR,
    why="Between the ends of a battery string stands its whole voltage, whatever plug is parted.",
    mend="Part the string first (`blocks: {parted: ...}` and a step that does it), or make the step a live reading.",
    bad="- clean: battery-bank   # 63.6 V from end to end",
    good="- remove: middle-link\n- clean: battery-bank",
    source="29 CFR 1910.333(a)(1): 50 V",
)
CHARGED_JUST_NOW = Rule(
    "energy.charged-just-now",
    Severity.ERROR,
    why="For an hour after charging, hydrogen stands over the cells; a dropped spanner is enough to light it.",
    mend="Let a `wait` of at least 1 h stand between, or air the place and say so by `hazards: [gas-in-room]`.",
    bad="- charge: Charge the bank.\n- tighten: bank-posts",
    good="- charge: Charge the bank.\n- wait: Leave the bank with the deck off.\n  for: 1 h\n- tighten: bank-posts",
    source="IEC 62485-3: ventilation goes on for an hour after charge (from memory)",
)
BYPASS_UNTESTED = Rule(
    "energy.bypass-untested",
    Severity.ERROR,
    why="A safety device that was bypassed may stay dead unseen: the jumper forgotten, the switch left stuck.",
    mend="After the bypass is out, add a step that shows the device working, with `tests: [the device]`.",
    bad="- take: seat-jumper\n  then: {found: done}",
    good="- take: seat-jumper\n- operate: Turn the key on with nobody on the seat.\n  tests: [seat-switch]",
    source="29 CFR 1910.147(e)(1)",
)
SETS_WHAT_FOLLOWS = Rule(
    "energy.sets-what-follows",
    Severity.ERROR,
    why="What follows others by itself is set by no step: the card would reckon with a state that never is.",
    mend="Set what it follows (key, valve, button), or take `follows` away if people do move it.",
    bad="- operate: Let the brake off.\n  sets: {park-brake: released}   # park-brake: {follows: [...]}",
    good="- operate: Turn the key on and pull the throttle.\n  sets: {key: on, throttle: half}",
)
TOO_TANGLED = Rule(
    "energy.too-tangled",
    Severity.ERROR,
    why="So many conditions decide about this energy that nobody can prove when it is there.",
    mend="Let fewer conditions decide: name the break itself instead of all that moves it.",
    bad="travel: {when: {a: on, b: on, c: on, ...}}   # more than 4,096 ways to stand",
    good="travel: {when: {key: on}, fed_by: [bus]}",
)

RULES: tuple[Rule, ...] = (
    NO_PLACE,
    FAULT_DEFEATS,
    THRESHOLD_LOOSENED,
    HANDS_IN_WORDS,
    MOVE_UNSAID,
    EVIDENCE_LOST,
    MOVED_OUT_OF_TURN,
    WITHIN_REACH,
    NOT_HELD,
    STRING_WHOLE,
    CHARGED_JUST_NOW,
    BYPASS_UNTESTED,
    SETS_WHAT_FOLLOWS,
    TOO_TANGLED,
)
