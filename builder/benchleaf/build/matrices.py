"""The fault matrix of each procedure that a request is about, and its picture for who reviews it."""

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, Tell
from benchleaf.model.matrix import FaultMatrix
from benchleaf.render.heat import heat_map

# What stands for a machine with none of the faults.
NONE = "(none of them)"


def matrices(request: Request, tell: Tell) -> tuple[tuple[str, FaultMatrix], ...]:
    """File and matrix of each procedure asked for that has one. Raises Unreadable and NoSource."""
    shelf = gather(request)
    return tuple(
        (one.standing.file, one.facts.matrix)
        for one in judge(shelf, tell).judged
        if shelf.is_asked(one.standing.file) and one.facts.matrix is not None
    )


def picture(matrix: FaultMatrix) -> str:
    """The matrix as a heat map in SVG: dark where the answer under a fault differs from that of most others."""
    return heat_map(
        [column.asks for column in matrix.columns],
        [row.fault or NONE for row in matrix.rows],
        [row.answers for row in matrix.rows],
    )
