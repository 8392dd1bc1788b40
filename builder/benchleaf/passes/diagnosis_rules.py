"""Rules about finding faults: each one found, told apart, and in good time."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

FAULT_MISSED = Rule(
    "logic.fault-missed",
    Severity.WARNING,
    why="An outcome names the fault, but with this very fault the answers lead past it, and a good part is blamed.",
    mend="Ask the question that shows the fault before the one that leads away from it.",
    bad="- measure: bus-on            # reads low with a blown fuse, too\n  below: {found: contact-burnt}",
    good="- measure: key-output        # tells the fuse from the contact\n  below: {go: fuse-check}",
    source="IEEE 1522-2004: fraction of faults detected (from memory)",
)
FAULTS_ALIKE = Rule(
    "logic.faults-alike",
    Severity.ADVICE,
    why="Nothing on the card tells these faults apart, so it names the one and means the other.",
    mend="Add a question under which they differ, or try the parts in the order of chance by cost.",
    bad="seat-open and seat-lead-open    # both show no voltage at S2",
    good="- measure: seat-path            # tells the switch from the lead",
    source="IEEE 1522-2004: ambiguity groups; Heckerman, Breese and Rommelse 1995 (from memory)",
)
SLOW_ORDER = Rule(
    "logic.slow-order",
    Severity.ADVICE,
    why="The same questions in another order find the fault sooner, by weight of the faults and minutes of the steps.",
    mend="Move the questions if nothing else speaks for the written order.",
    bad="- measure: rare-fault        # 10 min\n- measure: usual-fault       # 1 min",
    good="- measure: usual-fault       # 1 min\n- measure: rare-fault        # 10 min",
    source="Pattipati and Alexandridis 1990; Johnson 1960 (from memory)",
)
RULES = (FAULT_MISSED, FAULTS_ALIKE, SLOW_ORDER)
