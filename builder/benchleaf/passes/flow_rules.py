"""Rules about blocks: what is put in, what it is filled with, and where that never ends."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

UNKNOWN_BLOCK = Rule(
    "names.unknown-block",
    Severity.ERROR,
    why="Steps that cannot be found would be missing on the card without anybody seeing it.",
    mend="Name a file of `procedures/common`, without its ending.",
    bad="- insert: motor-led-check",
    good="- insert: motor-lead-check",
)
BLOCK_CIRCLE = Rule(
    "names.block-circle",
    Severity.ERROR,
    why="A block that puts itself in again has no last step.",
    mend="Take out one of the insertions, or let the block lead back to an earlier step with `go`.",
    bad="# block wheels-up\nsteps:\n  - insert: wheels-down   # whose steps insert wheels-up",
    good="# block wheels-up\nsteps:\n  - place: axle-stands",
)
TOO_MANY_STEPS = Rule(
    "names.too-many-steps",
    Severity.ERROR,
    why="Nobody works through thousands of steps from one card; blocks inside blocks grow faster than they look.",
    mend="Split the procedure, or use `each` where one step is repeated.",
    bad="- insert: all-cells      # which inserts 60 blocks of 40 steps each",
    good="- measure: cell-density\n  each: {cell: 1..24}",
)
UNKNOWN_BLANK = Rule(
    "names.unknown-blank",
    Severity.ERROR,
    why="A blank that nobody fills is printed with its braces, and the technician has to guess.",
    mend="Declare it under `blanks` of the block, or under `each` of the step.",
    bad="blanks: {lead: which motor lead}\nsteps:\n  - look: Lead {leed} is clean.",
    good="blanks: {lead: which motor lead}\nsteps:\n  - look: Lead {lead} is clean.",
)
BLANK_WITHOUT_VALUE = Rule(
    "names.blank-without-value",
    Severity.ERROR,
    why="The block's text has a gap here; with the wrong lead or part in mind the check proves nothing.",
    mend="Give the blank its value under `values`.",
    bad="- insert: motor-lead-check",
    good="- insert: motor-lead-check\n  values: {lead: M1}",
)
VALUE_WITHOUT_BLANK = Rule(
    "names.value-without-blank",
    Severity.ERROR,
    why="A value that fills nothing is often a slip in the name of the blank that then stays open.",
    mend="Use the name that the block declares under `blanks`, or take the value out.",
    bad="- insert: motor-lead-check\n  values: {leed: M1}",
    good="- insert: motor-lead-check\n  values: {lead: M1}",
)
UNUSED_BLANK = Rule(
    "names.unused-blank",
    Severity.WARNING,
    why="Each insertion has to fill this blank, and no step shows what it was filled with.",
    mend="Use the blank in a step, or take it out of `blanks`.",
    bad="blanks: {lead: which motor lead, side: which side}",
    good="blanks: {lead: which motor lead}",
)

NO_STEPS = Rule(
    "logic.no-steps",
    Severity.ERROR,
    why="For these machines there would be a card on which nothing stands, or an answer that nobody is asked for.",
    mend="Say with `applies_to` of the procedure which machines it is for, or let a step be for these as well.",
    bad="steps:\n  - measure: throttle-late\n    applies_to: {serials: {from: 700}}",
    good="applies_to: {serials: {from: 700}}\nsteps:\n  - measure: throttle-late",
)

RULES: tuple[Rule, ...] = (
    NO_STEPS,
    UNKNOWN_BLOCK,
    BLOCK_CIRCLE,
    TOO_MANY_STEPS,
    UNKNOWN_BLANK,
    BLANK_WITHOUT_VALUE,
    VALUE_WITHOUT_BLANK,
    UNUSED_BLANK,
)
