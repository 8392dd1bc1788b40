"""Where the bolts of a joint lie, and the order in which they are tightened.

Places are unit coordinates: x to the right and y upwards, both from -1 to 1. Bolts are numbered from 1, clockwise from
the top of a circle, clockwise from the upper left corner of a rectangle, from the left in a row.
"""

import math
from collections.abc import Sequence
from typing import NamedTuple

PATTERNS = ("circle", "rectangle", "row")
# Longer than high, as lids are; only the picture depends on it.
_RECTANGLE_HEIGHT = 2 / 3


class Place(NamedTuple):
    """Where a bolt lies."""

    x: float
    y: float


def bolt_places(count: int, pattern: str = "circle") -> tuple[Place, ...]:
    """Places of the bolts in order of their numbers; ValueError for another pattern, or no bolt.

    A rectangle has a bolt at each corner (from four on) and the others along its sides, evenly, the long sides first.
    """
    if count < 1:
        raise ValueError("a joint has at least one bolt")
    if pattern == "circle":
        turns = [2 * math.pi * place / count for place in range(count)]
        return tuple(Place(math.sin(turn), math.cos(turn)) for turn in turns)
    if pattern == "row":
        return tuple(Place(-1 + 2 * place / (count - 1) if count > 1 else 0.0, 0.0) for place in range(count))
    if pattern == "rectangle":
        return _rectangle(count)
    raise ValueError(f"no pattern of bolts is called {pattern}; there are {', '.join(PATTERNS)}")


def _rectangle(count: int) -> tuple[Place, ...]:
    height = _RECTANGLE_HEIGHT
    if count < 4:
        return tuple(Place(x, y) for x, y in ((-1.0, height), (1.0, height), (0.0, -height))[:count])
    pairs, odd = divmod(count - 4, 2)
    short = pairs // 3
    long = pairs - short
    # Clockwise: along the top, down the right, back along the bottom, up the left.
    top, bottom = _between(long + odd), _between(long)
    side = _between(short)
    return (
        *(Place(x, height) for x in (-1.0, *top, 1.0)),
        *(Place(1.0, 0.0 - y * height) for y in side),
        *(Place(0.0 - x, -height) for x in (-1.0, *bottom, 1.0)),
        *(Place(-1.0, y * height) for y in side),
    )


def _between(number: int) -> list[float]:
    """So many evenly spaced numbers between -1 and 1, the ends left out."""
    return [-1 + 2 * place / (number + 1) for place in range(1, number + 1)]


def bolt_order(sequence: Sequence[str], count: int, pattern: str = "circle") -> tuple[int, ...]:
    """Bolt numbers in the order of tightening.

    `sequence` is empty (no order: empty result), one word (`cross`, `round`), or the numbers themselves.
    ValueError for another word or pattern, or for numbers that do not name every bolt once.
    Source of `cross` on a circle: ASME PCC-1, cross pattern of 4, 8, 12 and 16 bolts, and in its spirit for other
    numbers; in a row or a rectangle, from the middle outwards: common practice, no source.
    """
    if not sequence:
        return ()
    if len(sequence) == 1 and sequence[0] == "round":
        return tuple(range(1, count + 1))
    if len(sequence) == 1 and sequence[0] == "cross":
        return _cross(count) if pattern == "circle" else _outwards(bolt_places(count, pattern))
    if not all(each.isdigit() for each in sequence):
        raise ValueError(f"no tightening order is called {' '.join(sequence)}")
    numbers = tuple(int(each) for each in sequence)
    if sorted(numbers) != list(range(1, count + 1)):
        raise ValueError(f"the order must name each of the {count} bolts once")
    return numbers


def _cross(count: int) -> tuple[int, ...]:
    """Pairs of opposite bolts, each pair far from those before; an odd number by what is most nearly opposite."""
    if count % 2:
        return tuple(place + 1 for place in _spread(count, opposite_first=True))
    half = count // 2
    return tuple(number for pair in _spread(half) for number in (pair + 1, pair + half + 1))


def _spread(count: int, *, opposite_first: bool = False) -> list[int]:
    """Places round a circle, each far from all before and then from the last, or the other way round."""
    order = [0]
    while len(order) < count:
        rest = [place for place in range(count) if place not in order]
        far = [(_nearest(place, order, count), _apart(place, order[-1], count), -place) for place in rest]
        if opposite_first:
            far = [(last, all_, place) for all_, last, place in far]
        order.append(-max(far)[2])
    return order


def _apart(one: int, other: int, count: int) -> int:
    gap = abs(one - other)
    return min(gap, count - gap)


def _nearest(place: int, done: Sequence[int], count: int) -> int:
    return min(_apart(place, each, count) for each in done)


def _outwards(places: Sequence[Place]) -> tuple[int, ...]:
    """Nearest to the middle first, and after each bolt the one nearest to its mirror image through the middle."""
    rest = dict(enumerate(places, 1))
    order: list[int] = []
    while rest:
        first = min(rest, key=lambda number: (round(math.hypot(*rest[number]), 9), number))
        place = rest.pop(first)
        order.append(first)
        if rest:
            across = min(rest, key=lambda number: (round(math.dist(rest[number], (-place.x, -place.y)), 9), number))
            if math.dist(rest[across], place) > math.hypot(*place):
                order.append(across)
                del rest[across]
    return tuple(order)
