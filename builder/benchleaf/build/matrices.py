"""The fault matrix of each procedure that a request is about."""

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, Tell
from benchleaf.model.matrix import FaultMatrix


def matrices(request: Request, tell: Tell) -> tuple[tuple[str, FaultMatrix], ...]:
    """File and matrix of each procedure asked for that has one. Raises Unreadable and NoSource."""
    shelf = gather(request)
    return tuple(
        (one.standing.file, one.facts.matrix)
        for one in judge(shelf, tell).judged
        if shelf.is_asked(one.standing.file) and one.facts.matrix is not None
    )
