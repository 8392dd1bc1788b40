"""A limit as bounds in SI units, and the side on which a reading lies."""

from math import inf, isinf
from typing import NamedTuple

from benchleaf.model.limit import Limit
from benchleaf.model.sides import ABOVE, BELOW, OUTSIDE
from benchleaf.model.units import Unit, unit
from benchleaf.passes.circuits_points import UNSIGNED

INSIDE = "inside"
# What meters call open.
OPEN_FROM = 1e7


class Bounds(NamedTuple):
    """Bounds of a reading in SI units, and the unit in which the limit is written.

    `of` is the step whose reading this one is compared with, by `compared`: the difference to it (`drop`, `within`)
    or the ratio (`share`) is what the bounds are about.
    """

    low: float
    high: float
    unit: Unit
    of: str = ""
    compared: str = ""

    def side(self, value: float) -> str:
        """Where a value lies: inside, below or above, or outside for limits that compare."""
        # A rounding error is no fault.
        slack = 1e-9 * max(abs(value), *(abs(bound) for bound in (self.low, self.high) if not isinf(bound)), 0.0)
        if isinf(value):
            slack = 0.0
        if self.low - slack <= value <= self.high + slack:
            return INSIDE
        if self.compared:
            return OUTSIDE
        return BELOW if value < self.low else ABOVE


def bounds(limit: Limit) -> Bounds | None:
    """The bounds of a limit; None for one about wandering or several readings, or one whose numbers don't fit."""
    if limit.open:
        return Bounds(OPEN_FROM, inf, unit("Mohm"), compared="open")
    if limit.nominal is not None and limit.tolerance is not None:
        return _about(limit)
    if limit.drop is not None:
        most = limit.drop.at_most.quantity
        return Bounds(-inf, most.number(), most.unit, limit.drop.from_.name, "drop")
    if limit.within is not None:
        within = limit.within.value.quantity
        if within.dimension == "ratio":
            return Bounds(1 - within.number(), 1 + within.number(), within.unit, limit.within.of.name, "share")
        return Bounds(-within.number(), within.number(), within.unit, limit.within.of.name, "within")
    if limit.share is not None:
        low, high = limit.share.low, limit.share.high
        some = low or high
        if some is None:
            return None
        lowest, highest = low.quantity.number() if low else -inf, high.quantity.number() if high else inf
        return Bounds(lowest, highest, some.quantity.unit, limit.share.of.name, "share")
    either = limit.low or limit.high
    if either is None:
        return None
    bottom = limit.low.quantity.number() if limit.low else -inf
    return Bounds(bottom, limit.high.quantity.number() if limit.high else inf, either.quantity.unit)


def _about(limit: Limit) -> Bounds | None:
    if limit.nominal is None or limit.tolerance is None:
        return None
    middle, width = limit.nominal.quantity, limit.tolerance.quantity
    reach = abs(middle.number()) * width.number() if width.dimension == "ratio" else width.number()
    return Bounds(middle.number() - reach, middle.number() + reach, middle.unit)


def signless(limit: Limit, value: float) -> float:
    """A value as the meter shows it: without its sign for alternating quantities."""
    return abs(value) if limit.measure.name in UNSIGNED else value


def in_unit(value: float, of: Unit) -> float:
    """A value of SI size in a unit; infinite stays infinite."""
    return value if isinf(value) else (value - float(of.offset)) / float(of.factor)
