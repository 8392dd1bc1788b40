"""Figures of a fault search: how many faults it detects and tells apart, and in which order parts are tried.

After IEEE 1522-2004 (from memory): fractions of faults, each by its weight or all alike.
"""

from collections.abc import Iterable, Sequence


def fraction_detected(weights: Sequence[float], detected: Sequence[bool]) -> float:
    """The share of the faults that some test shows, by weight."""
    total = sum(weights)
    return sum(weight for weight, seen in zip(weights, detected, strict=True) if seen) / total if total else 0.0


def fraction_isolated(groups: Iterable[Sequence[float]], most: int) -> float:
    """The share of the faults that lie in groups of at most so many that no test tells apart.

    Each group is given by the weights of its faults.
    """
    known = [tuple(group) for group in groups]
    total = sum(sum(group) for group in known)
    return sum(sum(group) for group in known if len(group) <= most) / total if total else 0.0


def mean_group(groups: Iterable[Sequence[float]]) -> float:
    """The size of the group that is left on average, by weight."""
    known = [tuple(group) for group in groups]
    total = sum(sum(group) for group in known)
    return sum(sum(group) * len(group) for group in known) / total if total else 0.0


def trying_order(chances: Sequence[float], costs: Sequence[float]) -> tuple[int, ...]:
    """The order in which to look at parts one by one: falling chance by cost.

    Heckerman, Breese and Rommelse, Communications of the ACM 38 (1995): best with one fault, looks that don't depend
    on each other, and repairs that cure.
    """
    return tuple(sorted(range(len(chances)), key=lambda part: (-chances[part] / costs[part], part)))


def repair_cost(
    order: Sequence[int], chances: Sequence[float], looks: Sequence[float], repairs: Sequence[float] = ()
) -> float:
    """The cost of looking in this order until the fault is found and mended, on average.

    Each part is looked at if none before it was at fault, and mended if it is (the same source).
    """
    left, cost = 1.0, 0.0
    for part in order:
        cost += left * looks[part] + chances[part] * (repairs[part] if repairs else 0.0)
        left -= chances[part]
    return cost
