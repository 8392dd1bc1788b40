"""Rules about screwed joints."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ORDER_INCOMPLETE = Rule(
    "torque.order-incomplete",
    Severity.ERROR,
    why="A bolt that the order leaves out stays loose, one that it names twice is tightened twice.",
    mend="Name each bolt once, by its number round the joint, or write `cross` or `round`.",
    bad="motor-mount: {holds: drive-motor, thread: M10x1.5, count: 4, sequence: [1, 3, 2]}",
    good="motor-mount: {holds: drive-motor, thread: M10x1.5, count: 4, sequence: [1, 3, 2, 4]}",
)

RULES: tuple[Rule, ...] = (ORDER_INCOMPLETE,)
