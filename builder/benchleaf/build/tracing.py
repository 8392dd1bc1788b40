"""The state of the machine step by step, for each procedure that a request is about."""

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, Tell
from benchleaf.safety.trace import trace


def traces(request: Request, tell: Tell) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """File and lines of each procedure asked for; no lines where its errors leave nothing to trace.

    Raises Unreadable and NoSource.
    """
    shelf = gather(request)
    told = []
    for one in judge(shelf, tell).judged:
        if shelf.is_asked(one.standing.file):
            planning = one.facts.planning
            known = one.case is not None and planning is not None
            told.append((one.standing.file, trace(one.case.machine, planning) if known else ()))  # type: ignore[union-attr, arg-type]
    return tuple(told)
