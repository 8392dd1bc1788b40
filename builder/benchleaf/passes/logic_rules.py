"""Rules about where answers lead, and about a card as a whole."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule
from benchleaf.passes import logic_work_rules

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE

UNREACHABLE_STEP = Rule(
    "logic.unreachable-step",
    ERROR,
    why="A step that no answer leads to is never done, although its writer counts on it.",
    mend="Lead an answer there with `go`, or take the step out.",
    bad="- ask: Does it hum?\n  answers: {yes: {found: stuck}, no: {found: dead}}\n- look: The fuse is whole.",
    good="- ask: Does it hum?\n  answers: {yes: {found: stuck}, no: next}\n- look: The fuse is whole.",
)
NO_END = Rule(
    "logic.no-end",
    ERROR,
    why="Work that just stops leaves open what was found and how the machine is to be left.",
    mend="Lead the last step to an outcome, as in `then: {found: done}`.",
    bad="- close: deck        # the last step",
    good="- close: deck\n  then: {found: done}",
)
SIDE_UNANSWERED = Rule(
    "logic.side-unanswered",
    ERROR,
    why="The reading will be on this side one day, and the card then has no word for it.",
    mend="Write where this side leads: a step, an outcome, or `stop`; `outside` answers all sides at once.",
    bad="- measure: pack-at-rest        # low and high\n  below: {go: charge-first}",
    good="- measure: pack-at-rest\n  below: {go: charge-first}\n  above: {found: wrong-charger}",
)
SIDE_NOT_THERE = Rule(
    "logic.side-not-there",
    WARNING,
    why="An answer that can never be given hides that another one is missing.",
    mend="Take the answer out, or give the limit this side.",
    bad="- measure: fuse-path           # high alone\n  below: {found: fuse-good}\n  above: {found: fuse-blown}",
    good="- measure: fuse-path\n  inside: {found: fuse-good}\n  above: {found: fuse-blown}",
)
CIRCLE_WITHOUT_EXIT = Rule(
    "logic.circle-without-exit",
    ERROR,
    why="Whoever comes into this circle works in it for ever: no answer leads to an outcome.",
    mend="Give one of its steps an answer that leads out.",
    bad="""
- {charge: Charge the bank., id: charge}
- measure: pack-at-rest
  inside: {go: charge}
  outside: {go: charge}
""",
    good="""
- {charge: Charge the bank., id: charge}
- measure: pack-at-rest
  inside: {found: charged}
  outside: {go: charge}
""",
)
CIRCLE_WITHOUT_COUNT = Rule(
    "logic.circle-without-count",
    ADVICE,
    why="If the answer stays the same, the same steps are done again and again.",
    mend="Say how often with `at_most`; after that the work stops and somebody is asked.",
    bad="then: {go: rest}",
    good="then: {go: rest, at_most: 1}",
)
SAME_QUESTION_TWICE = Rule(
    "logic.same-question-twice",
    ADVICE,
    why="Nothing is done in between that could change the answer; the second time only costs minutes.",
    mend="Take one of them out, or lead the first answer to where the second one leads.",
    bad="""
- ask: Does the display light?
  answers: {yes: next, no: {found: dark}}
- ask: Does the display light?
  answers: …
""",
    good="- ask: Does the display light?\n  answers: {yes: {go: codes}, no: {found: dark}}",
)
READING_MISSING = Rule(
    "logic.compared-reading-missing",
    ERROR,
    why="The limit compares with a reading that has not been taken on every way to this step.",
    mend="Take the earlier reading on all ways that lead here, or use a limit of its own.",
    bad="""
- ask: Is the bank warm?
  answers: {yes: {go: sag}, no: next}
- {measure: pack-at-rest, id: rest, …}
- {measure: pack-sag, id: sag, …}      # drop: {from: rest, at_most: 2.4 V}
""",
    good="- {measure: pack-at-rest, id: rest, …}\n- {measure: pack-sag, id: sag, …}",
)
SPREAD_OF_ONE = Rule(
    "logic.spread-of-one",
    ERROR,
    why="A single reading has no spread, so that this limit is always met.",
    mend="Say how often it is read, as in `repeat: {times: 3}`.",
    bad="- measure: brake-spread        # spread: {at_most: 0.2 mm}",
    good="- measure: brake-spread\n  repeat: {times: 3}",
)
SINGLE_FINDING = Rule(
    "logic.single-finding",
    WARNING,
    why="Fault finding that can only end in one way finds nothing.",
    mend="Give each fault its outcome, and one to the case that none is found.",
    bad="outcomes:\n  done: {text: Checked., leave: as-final}",
    good="""
outcomes:
  coil-open: {fault: coil-open, leave: out-of-service}
  unknown: {text: No listed fault found., leave: out-of-service}
""",
)
OUTCOME_SAYS_NOTHING = Rule(
    "logic.outcome-says-nothing",
    WARNING,
    why="At the end of the work stands an empty line where the finding is due.",
    mend="Name the `fault` that is found, or write a `text`.",
    bad="coil-open: {leave: out-of-service}",
    good="coil-open: {fault: coil-open, leave: out-of-service}",
)
CARDS_IN_A_CIRCLE = Rule(
    "logic.cards-in-a-circle",
    WARNING,
    why="Work is sent from card to card and comes back to where it began, with nothing that ends it.",
    mend="End one of the outcomes in words instead of the next card.",
    bad="# no-drive: then: {procedure: pack-test}\n# pack-test: then: {procedure: no-drive}",
    good="# pack-test: {text: Run the card no-drive once more., leave: as-final}",
)
EMPTY_SERIALS = Rule(
    "logic.empty-serials",
    ERROR,
    why="No machine has such a number, so what is written for it is printed for nobody.",
    mend="Write the smaller number as `from`, with the prefix of the machine.",
    bad="applies_to: {serials: {from: 900, to: 400}}",
    good="applies_to: {serials: {from: 400, to: 900}}",
)
OVERLAPPING_SERIALS = Rule(
    "logic.overlapping-serials",
    WARNING,
    why="Ranges that overlap were not meant to: one of their ends is wrong.",
    mend="Let one range end before the next begins.",
    bad="applies_to: {serials: [{from: 400, to: 600}, {from: 500, to: 900}]}",
    good="applies_to: {serials: [{from: 400, to: 499}, {from: 500, to: 900}]}",
)
APPLIES_TO_NONE = Rule(
    "logic.applies-to-none",
    ERROR,
    why="No machine is meant, so what is written for it is printed for nobody.",
    mend="Widen one of the two `applies_to`, or take the step out.",
    bad="applies_to: {serials: {from: 700}}\nsteps:\n  - look: …\n    applies_to: {serials: {to: 699}}",
    good="applies_to: {serials: {from: 700}}\nsteps:\n  - look: …\n    applies_to: {serials: {from: 800}}",
)
TOO_MANY_CLASSES = Rule(
    "logic.too-many-classes",
    ERROR,
    why="Each class gets a card of its own; nobody reviews so many, and the wrong one is soon in hand.",
    mend="Cut the machines at fewer serial numbers, or write a procedure of its own for some of them.",
    bad="# five options with two values each, all named by steps of one procedure",
    good="applies_to: {options: {heater: built-in}}   # and another procedure for the rest",
)
NEXT_CARD_FOR_OTHERS = Rule(
    "logic.next-card-for-others",
    WARNING,
    why="Work goes on with a card that does not know this machine, or its limits.",
    mend="Lead to a card that is for these machines, or say with `applies_to` that this one is not for them.",
    bad="worn: {then: {procedure: throttle-replace}}    # which is for serial numbers from 700 on",
    good="worn: {then: {procedure: throttle-replace}}    # with `applies_to: {serials: {from: 700}}` here as well",
)


RULES: tuple[Rule, ...] = (
    UNREACHABLE_STEP,
    NO_END,
    SIDE_UNANSWERED,
    SIDE_NOT_THERE,
    CIRCLE_WITHOUT_EXIT,
    CIRCLE_WITHOUT_COUNT,
    SAME_QUESTION_TWICE,
    READING_MISSING,
    SPREAD_OF_ONE,
    SINGLE_FINDING,
    OUTCOME_SAYS_NOTHING,
    CARDS_IN_A_CIRCLE,
    EMPTY_SERIALS,
    OVERLAPPING_SERIALS,
    APPLIES_TO_NONE,
    TOO_MANY_CLASSES,
    NEXT_CARD_FOR_OTHERS,
    *logic_work_rules.RULES,
)
