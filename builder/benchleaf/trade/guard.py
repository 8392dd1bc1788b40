"""Deciding by a reading that is not exact: guard bands, grey zones, uncertainty ratio, and the risk of being wrong.

Limits, readings and uncertainties are floats in one unit; a limit that is not there is None.
"""

import math
from itertools import pairwise
from typing import NamedTuple

# How many standard deviations away the rest of a normal distribution no longer counts (1e-15).
_FAR = 8


class Zone(NamedTuple):
    """An interval of readings; None at a side that has no limit."""

    low: float | None
    high: float | None

    @property
    def is_empty(self) -> bool:
        """Whether no reading lies inside."""
        return self.low is not None and self.high is not None and self.low > self.high

    def holds(self, reading: float) -> bool:
        """Whether a reading lies inside, the ends included."""
        return (self.low is None or reading >= self.low) and (self.high is None or reading <= self.high)


class Risks(NamedTuple):
    """Global risks: that a thing is bad and passes (consumer's), and that it is good and does not (producer's)."""

    consumer: float
    producer: float


def guarded(low: float | None, high: float | None, guard: float) -> Zone:
    """The acceptance interval: each limit moved inward by the guard band w.

    w = U is the rule of ILAC-G8:09/2019 and ISO 14253-1 (2013) without further agreement. The zone is empty where
    the guard bands meet: then no reading is surely good. ValueError for a guard below zero.
    """
    if guard < 0:
        raise ValueError("the guard band must not be below zero")
    return Zone(None if low is None else low + guard, None if high is None else high - guard)


def guard_width(expanded: float, largest_error: float) -> float:
    """The guard band that suffices for a single reading: U, or the meter's largest error where that is less.

    U of a rectangle at k = 2 is 1.15 of its half-width: more than the meter can be off.
    """
    return min(expanded, largest_error)


def grey_zones(low: float | None, high: float | None, expanded: float) -> tuple[Zone, ...]:
    """Where simple acceptance can't tell: ±U around each limit that is there."""
    return tuple(Zone(limit - expanded, limit + expanded) for limit in (low, high) if limit is not None)


def uncertainty_ratio(low: float, high: float, expanded: float) -> float:
    """Width of the limits over 2 U; infinite for a reading without uncertainty (ANSI/NCSL Z540.3)."""
    if high < low or expanded < 0:
        raise ValueError("low must not be above high, nor U below zero")
    return (high - low) / (2 * expanded) if expanded else math.inf


def one_sided_share(limit: float, expanded: float) -> float:
    """U as a share of a limit that stands alone; infinite for a limit of zero."""
    return expanded / abs(limit) if limit else math.inf


def normal_share(z: float) -> float:
    """Share of a normal distribution below z standard deviations, exact in both tails."""
    return 0.5 * math.erfc(-z / math.sqrt(2))


def specific_risk(reading: float, standard: float, low: float | None, high: float | None) -> float:
    """Probability that the true value lies outside the limits, given the reading: the risk of a wrong 'good'.

    Normal distribution around the reading with standard uncertainty u, nothing known beforehand. Source: JCGM 106,
    clause 7.
    """
    if standard < 0:
        raise ValueError("a standard uncertainty must not be below zero")
    if standard == 0:
        return 0.0 if Zone(low, high).holds(reading) else 1.0
    below = 0.0 if low is None else normal_share((low - reading) / standard)
    above = 0.0 if high is None else normal_share((reading - high) / standard)
    return min(1.0, below + above)


def worst_risk(guard_share: float, coverage: float = 2.0) -> float:
    """Specific risk of a reading at the acceptance limit, for a guard band w = r U on one side: 1 - Φ(k r)."""
    return normal_share(-coverage * guard_share)


def guard_factor(risk: float) -> float:
    """The guard band in standard uncertainties that keeps the specific risk at one limit, by bisection: 1.645 for 5 %.

    ValueError for a risk that is not between 0 and 1/2.
    """
    if not 0 < risk <= 0.5:
        raise ValueError("the risk must lie above 0 and at most at one half")
    near, far = 0.0, 40.0
    while far - near > 1e-13:
        middle = (near + far) / 2
        near, far = (middle, far) if normal_share(-middle) > risk else (near, middle)
    return (near + far) / 2


def global_risks(mean: float, spread: float, standard: float, limits: Zone, accepted: Zone) -> Risks:
    """Risks over all things measured, whose true values are normal with this mean and standard deviation.

    R_C is the integral of p(η) P(accepted | η) over η outside the limits, R_P that of p(η) P(refused | η) inside.
    Source: JCGM 106, clause 9.5. By Simpson's rule between points close enough for twelve places.
    """
    if min(spread, standard) <= 0:
        raise ValueError("spread and standard uncertainty must be above zero")
    points = {mean + place * spread / 2 for place in range(-2 * _FAR, 2 * _FAR + 1)}
    start, end = min(points), max(points)
    points |= {edge for edge in (limits.low, limits.high) if edge is not None}
    edges = [edge for edge in (accepted.low, accepted.high) if edge is not None]
    points |= {edge + place * standard / 2 for edge in edges for place in range(-2 * _FAR, 2 * _FAR + 1)}
    marks = sorted(point for point in points if start <= point <= end)
    consumer = producer = 0.0
    for left, right in pairwise(marks):
        inside = limits.holds((left + right) / 2)
        part = _simpson(left, right, mean, spread, standard, accepted, refused=inside)
        consumer, producer = (consumer, producer + part) if inside else (consumer + part, producer)
    return Risks(consumer, producer)


def _simpson(
    left: float, right: float, mean: float, spread: float, standard: float, accepted: Zone, *, refused: bool
) -> float:
    steps = 8
    width = (right - left) / steps
    total = 0.0
    for step in range(steps + 1):
        value = left + step * width
        density = math.exp(-(((value - mean) / spread) ** 2) / 2) / (spread * math.sqrt(2 * math.pi))
        # The reading is spread around the true value as the true value is around a reading.
        outside = 1.0 if accepted.is_empty else specific_risk(value, standard, accepted.low, accepted.high)
        weight = 1 if step in (0, steps) else 4 if step % 2 else 2
        total += weight * density * (outside if refused else 1 - outside)
    return total * width / 3
