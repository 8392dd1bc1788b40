"""The state of the machine step by step, for each procedure that a request is about."""

from benchleaf.build.classes import Held
from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, Tell
from benchleaf.safety.sentences import say
from benchleaf.safety.trace import trace


def traces(request: Request, tell: Tell) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """File and lines of each procedure asked for, class by class; no lines where errors leave nothing to trace.

    Raises Unreadable and NoSource.
    """
    shelf = gather(request)
    told = []
    for one in judge(shelf, tell).judged:
        if shelf.is_asked(one.standing.file):
            told.append((one.standing.file, tuple(line for held in one.classes for line in of_class(held))))
    return tuple(told)


def of_class(held: Held) -> tuple[str, ...]:
    """The lines for one class of machines."""
    planning = held.facts.planning
    if planning is None:
        return ()
    text = held.case.variant.text
    return (
        *((say("trace-class", machines=text),) if text else ()),
        *trace(held.case.machine, planning, held.facts.expected),
    )
