"""Symmetric systems of linear equations, taken apart once and solved for as many right sides as are asked.

A circuit's matrix is nearly empty, and mostly small: elimination over rows that hold only what is not zero beats the
start of a library for arrays, let alone its call. From `LARGE` rows on that library (LAPACK) does the work.
"""

from collections.abc import Callable, Mapping, Sequence

Row = dict[int, float]
Solver = Callable[[Sequence[float]], list[float]]
LARGE = 80


class Singular(Exception):
    """The equations do not settle every unknown."""


def taken_apart(rows: Sequence[Mapping[int, float]]) -> Solver:
    """What solves `rows` (each with its entries by column) for a right side. Raises Singular."""
    return _by_library(rows) if len(rows) >= LARGE else _by_rows(rows)


def _by_rows(rows: Sequence[Mapping[int, float]]) -> Solver:
    """Gaussian elimination with the largest pivot of each column (Golub and Van Loan, Matrix Computations, 3.4)."""
    left = [dict(row) for row in rows]
    holders: list[set[int]] = [set() for _ in rows]
    for number, row in enumerate(left):
        for column in row:
            holders[column].add(number)
    pivots: list[tuple[int, Row]] = []
    moves: list[tuple[int, int, float]] = []
    for column, there in enumerate(holders):
        best = max(there, key=lambda number: abs(left[number][column]), default=-1)
        pivot = left[best]
        if best < 0 or not pivot[column]:
            raise Singular
        pivots.append((best, pivot))
        rest = [(other, value) for other, value in pivot.items() if other != column]
        for other, _ in rest:
            holders[other].discard(best)
        for number in there:
            if number == best:
                continue
            row = left[number]
            factor = row.pop(column) / pivot[column]
            moves.append((number, best, factor))
            for other, value in rest:
                if other not in row:
                    holders[other].add(number)
                    row[other] = -factor * value
                else:
                    row[other] -= factor * value

    def solved(known: Sequence[float]) -> list[float]:
        side = list(known)
        for number, best, factor in moves:
            side[number] -= factor * side[best]
        found = [0.0] * len(side)
        for column in range(len(side) - 1, -1, -1):
            number, pivot = pivots[column]
            rest = side[number]
            for other, value in pivot.items():
                if other != column:
                    rest -= value * found[other]
            found[column] = rest / pivot[column]
        return found

    return solved


def _by_library(rows: Sequence[Mapping[int, float]]) -> Solver:
    import numpy as np

    whole = np.zeros((len(rows), len(rows)))
    for number, row in enumerate(rows):
        for column, value in row.items():
            whole[number, column] = value

    def solved(known: Sequence[float]) -> list[float]:
        try:
            found: list[float] = np.linalg.solve(whole, np.asarray(known)).tolist()
        except np.linalg.LinAlgError:
            raise Singular from None
        return found

    return solved
