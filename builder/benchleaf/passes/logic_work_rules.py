"""Rules about what work needs, and what follows it."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

WARNING = Severity.WARNING

NO_FUNCTIONAL_TEST = Rule(
    "logic.no-functional-test",
    WARNING,
    why="After a repair nothing shows that the machine does again what it is for.",
    mend="Name the step that is the test, as in `after: {step: drive-test}`, or describe one with `after: {test: …}`.",
    bad="kind: replacement\nsteps: …",
    good="kind: replacement\nafter: {step: drive-test}\nsteps: …",
    source="ISO 9001:2015, 8.6 (from memory)",
)
TEST_BYPASSED = Rule(
    "logic.test-bypassed",
    WARNING,
    why="On one way the machine is handed back after the work without the functional test.",
    mend="Lead all ways to this outcome through the test, or leave the machine out of service there.",
    bad="""
after: {step: drive-test}
steps:
  - fit: drive-motor
  - ask: Is the yard free?
    answers: {yes: next, no: {found: done}}
  - {drive: Drive one length., id: drive-test, then: {found: done}}
""",
    good="""
after: {step: drive-test}
steps:
  - fit: drive-motor
  - {drive: Drive one length., id: drive-test, then: {found: done}}
""",
    source="ISO 9001:2015, 8.6 (from memory)",
)
HOLD_BY_DOER = Rule(
    "logic.hold-by-doer",
    WARNING,
    why="Who has done the work sees what was meant, not what is there.",
    mend="Let another role confirm, or another role do the step.",
    bad="crew: {technician: electrical}\nsteps:\n  - tighten: motor-mount\n    hold: technician",
    good="crew: {technician: electrical, inspector: any}\nsteps:\n  - tighten: motor-mount\n    hold: inspector",
)
HOLD_SKIPPED = Rule(
    "logic.hold-skipped",
    WARNING,
    why="On one way nobody confirms the work that this hold point is for.",
    mend="Put the hold on the step of the work itself, or on the step where the ways meet again.",
    bad="""
- tighten: motor-studs
- ask: Is the inspector here?
  answers: {yes: next, no: {go: test}}
- {look: Each nut has its line of paint., hold: inspector}
- {drive: Drive one length., id: test}
""",
    good="""
- {tighten: motor-studs, hold: inspector}
- {drive: Drive one length., id: test}
""",
    source="ISO 9001:2015, 8.6 (from memory)",
)
NO_AS_FOUND = Rule(
    "logic.no-as-found",
    WARNING,
    why="Once it is set, nobody can tell any more how far off it was.",
    mend="Measure before the step that adjusts.",
    bad="kind: adjustment\nsteps:\n  - {adjust: throttle-pot}\n  - {measure: throttle-centre, …}",
    good="""
kind: adjustment
steps:
  - {measure: throttle-centre, …}
  - {adjust: throttle-pot}
  - {measure: throttle-centre, …}
""",
    source="ISO 9001:2015, 8.5.2 and 8.6 (from memory)",
)
NO_AS_LEFT = Rule(
    "logic.no-as-left",
    WARNING,
    why="Nothing shows that the setting is right when the machine is handed back.",
    mend="Measure between the step that adjusts and the outcome.",
    bad="""
kind: adjustment
steps:
  - {measure: throttle-centre, …}
  - {adjust: throttle-pot, then: {found: done}}
""",
    good="""
kind: adjustment
steps:
  - {measure: throttle-centre, …}
  - {adjust: throttle-pot}
  - {measure: throttle-centre, …}
""",
    source="ISO 9001:2015, 8.5.2 and 8.6 (from memory)",
)
TIME_SHORT = Rule(
    "logic.time-short",
    WARNING,
    why="Who plans by the card's time runs out of it, and hurry is when steps are left out.",
    mend="Raise `time` of the procedure to at least the longest way through its steps.",
    bad="time: 10 min\nsteps:\n  - {open: deck, time: 8 min}\n  - {look: The bank is dry., time: 5 min}",
    good="time: 15 min",
)
SPARE_UNUSED = Rule(
    "logic.spare-unused",
    WARNING,
    why="A part is fetched and paid for that no step fits.",
    mend="Fit it in a step, say `when: needed`, or take it out of `spares`.",
    bad="spares: [{part: contactor}]\nsteps:\n  - look: The contactor is clean.",
    good="spares: [{part: contactor}]\nsteps:\n  - fit: contactor",
)
SPARE_NOT_LISTED = Rule(
    "logic.spare-not-listed",
    WARNING,
    why="The part is missed when the machine already lies open.",
    mend="List it under `spares`.",
    bad="spares: none\nsteps:\n  - swap: bank-fuse",
    good="spares: [{part: bank-fuse}]\nsteps:\n  - swap: bank-fuse",
)
SINGLE_USE_AGAIN = Rule(
    "logic.single-use-again",
    WARNING,
    why="The part holds or seals once; fitted again it lets go.",
    mend="List a new one under `spares`.",
    bad="""
spares: none                 # parts: cover-seal: {name: seal, single_use: true}
steps:
  - fit: cover-seal
""",
    good="spares: [{part: cover-seal}]\nsteps:\n  - fit: cover-seal",
)
SUPPLY_NOT_LISTED = Rule(
    "logic.supply-not-listed",
    WARNING,
    why="What is missing from the list is not at the machine when the step needs it.",
    mend="List it under `supplies` of the procedure.",
    bad="supplies: none\nsteps:\n  - grease: front-hub\n    supplies: [grease-1]",
    good="supplies: [grease-1]\nsteps:\n  - grease: front-hub\n    supplies: [grease-1]",
)

RULES: tuple[Rule, ...] = (
    NO_FUNCTIONAL_TEST,
    TEST_BYPASSED,
    HOLD_BY_DOER,
    HOLD_SKIPPED,
    NO_AS_FOUND,
    NO_AS_LEFT,
    TIME_SHORT,
    SPARE_UNUSED,
    SPARE_NOT_LISTED,
    SINGLE_USE_AGAIN,
    SUPPLY_NOT_LISTED,
)
