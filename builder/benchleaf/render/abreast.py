"""What stands side by side on a wide page: steps that were put in, in pairs, and short lines in two columns.

A pair is read across; lines are read down the left column, then down the right one. How tall a line will be is judged
by its text: near enough to make both columns about equal.
"""

from collections.abc import Callable, Sequence
from typing import TypeVar

from benchleaf.card.model import CardStep

Item = TypeVar("Item")
Band = tuple[tuple[Item, ...], tuple[Item, ...]]

# Characters in a line of a column.
_REMARK = 52


def bands(steps: Sequence[CardStep]) -> tuple[Band[CardStep], ...]:
    """The steps in pairs, in their order: read across, then down, so that nobody can take one of them too early.

    One that reads at several pairs of points has a band of its own, with nothing to the right of it.
    """
    found: list[Band[CardStep]] = []
    left: tuple[CardStep, ...] = ()
    for step in steps:
        if step.reading and len(step.reading.pairs) > 1:
            found += [(left, ())] if left else []
            found.append(((step,), ()))
            left = ()
        elif left:
            found.append((left, (step,)))
            left = ()
        else:
            left = (step,)
    return (*found, (left, ())) if left else tuple(found)


def halves(items: Sequence[Item], height: Callable[[Item], float]) -> Band[Item]:
    """The items parted where the taller of both columns is lowest; the left one is never the lower of equals."""
    cuts = [(tuple(items[:place]), tuple(items[place:])) for place in range(len(items), 0, -1)]
    return min(cuts, key=lambda cut: tallest(cut, height))


def tallest(band: Band[Item], height: Callable[[Item], float]) -> float:
    """The height of the taller column."""
    return max(sum(map(height, column)) for column in band)


def words(text: str) -> float:
    """About how many lines a remark takes in a column."""
    return float(-(-len(text) // _REMARK))
