"""The order in which the bolts of a joint are tightened."""

from collections.abc import Sequence


def bolt_order(sequence: Sequence[str], count: int) -> tuple[int, ...]:
    """Bolt numbers (from 1, round the circle) in the order of tightening.

    `sequence` is empty (no order: empty result), one word (`cross`, `round`), or the numbers themselves.
    ValueError for another word, or for numbers that do not name every bolt once.
    Source of `cross`: common practice, no source; each bolt is followed by the one most nearly opposite.
    """
    if not sequence:
        return ()
    if len(sequence) == 1 and sequence[0] == "round":
        return tuple(range(1, count + 1))
    if len(sequence) == 1 and sequence[0] == "cross":
        return _cross(count)
    if not all(each.isdigit() for each in sequence):
        raise ValueError(f"no tightening order is called {' '.join(sequence)}")
    numbers = tuple(int(each) for each in sequence)
    if sorted(numbers) != list(range(1, count + 1)):
        raise ValueError(f"the order must name each of the {count} bolts once")
    return numbers


def _cross(count: int) -> tuple[int, ...]:
    """Always the untightened bolt farthest from all tightened ones, the one opposite the last being preferred."""
    order = [0]
    while len(order) < count:
        rest = [place for place in range(count) if place not in order]
        order.append(
            max(rest, key=lambda place: (_apart(place, order[-1], count), _nearest(place, order, count), -place))
        )
    return tuple(place + 1 for place in order)


def _apart(one: int, other: int, count: int) -> int:
    gap = abs(one - other)
    return min(gap, count - gap)


def _nearest(place: int, done: Sequence[int], count: int) -> int:
    return min(_apart(place, each, count) for each in done)
