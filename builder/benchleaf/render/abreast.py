"""What stands side by side on a wide page: steps that were put in, and short lines, in bands of two columns.

Each band is read down its left column, then down its right one, and never parts at the end of a page; so a band is
kept low. How tall something will be is judged by its text: near enough to make both columns about equal.
"""

from collections.abc import Callable, Sequence
from typing import TypeVar

from benchleaf.card.model import CardStep

Item = TypeVar("Item")
Band = tuple[tuple[Item, ...], tuple[Item, ...]]

# Characters in a line of a column: bold commands, smaller remarks.
_COMMAND, _REMARK = 42, 52
# Lines in a column of a band; one tall step may need more.
_MOST = 7.0


def bands(steps: Sequence[CardStep]) -> tuple[Band[CardStep], ...]:
    """The steps in bands, in their order. One that reads at several pairs of points has a band of its own, with nothing
    to the right of it."""
    found: list[Band[CardStep]] = []
    waiting: list[CardStep] = []
    for step in steps:
        if step.reading and len(step.reading.pairs) > 1:
            found += [halves(waiting, lines)] if waiting else []
            found.append(((step,), ()))
            waiting = []
            continue
        together = [*waiting, step]
        if waiting and tallest(halves(together, lines), lines) > max(_MOST, *map(lines, together)):
            found.append(halves(waiting, lines))
            waiting = []
        waiting.append(step)
    return (*found, halves(waiting, lines)) if waiting else tuple(found)


def halves(items: Sequence[Item], height: Callable[[Item], float]) -> Band[Item]:
    """The items parted where the taller of both columns is lowest; the left one is never the lower of equals."""
    cuts = [(tuple(items[:place]), tuple(items[place:])) for place in range(len(items), 0, -1)]
    return min(cuts, key=lambda cut: tallest(cut, height))


def tallest(band: Band[Item], height: Callable[[Item], float]) -> float:
    """The height of the taller column."""
    return max(sum(map(height, column)) for column in band)


def lines(step: CardStep) -> float:
    """About how many lines a step takes in a column."""
    found = 0.4 + _wrapped(step.command, _COMMAND) + _wrapped(step.info, _REMARK)
    about = " ".join((step.who, step.part, step.place, *step.tools, *step.supplies)).strip()
    found += _wrapped(about, _REMARK)
    found += 1.3 * len(step.choices) + 1.9 * bool(step.wait)
    if step.reading:
        found += 5.5 + (2.2 * len(step.reading.pairs) if len(step.reading.pairs) > 1 else 3.0)
    return found


def words(text: str) -> float:
    """About how many lines a remark takes in a column."""
    return _wrapped(text, _REMARK)


def _wrapped(text: str, width: int) -> float:
    return float(-(-len(text) // width))
