"""Whether a meter decides a limit: uncertainty at its edges, guard band, ratio; the one source of checks and cards.

All sizes are exact fractions in the base unit of what is measured. U is the expanded uncertainty at k = 2 (GUM 6.2.1);
a guard band is the smaller of U and the meter's own largest error. Two readings of one meter in one range share the
error of its gain, so that a limit on their difference meets that part in the difference only (GUM 5.2.2, F.1.2.3);
where one reading is watched, the error of its zero falls out too.
"""

from collections.abc import Iterable
from fractions import Fraction
from math import sqrt
from typing import NamedTuple

from benchleaf.model.basics import Amount
from benchleaf.model.limit import Limit
from benchleaf.model.quantity import Quantity, fit
from benchleaf.model.shop import Meter, MeterRange
from benchleaf.passes.quantities_limits import RATIO, Size, bounds, dimension_of, read
from benchleaf.passes.quantities_tables import difference_of, ranges_for, usual_input_resistance
from benchleaf.trade.guard import guard_width, one_sided_share, uncertainty_ratio
from benchleaf.trade.meters import COVERAGE, best_range, combined, loading_error, uncertainty

_PERCENT = Fraction(1, 100)


class Around(NamedTuple):
    """What a reading depends on besides its limit and meter.

    `level` is about how large the readings are that a limit compares, None where nobody can say; `series` the
    resistance in Ω behind which the points lie.
    """

    level: Fraction | None = None
    series: Fraction = Fraction(0)


class Edge(NamedTuple):
    """One side of a limit: its value, U there, the guard band, the meter's last digit, and what loading takes away."""

    value: Fraction
    expanded: Fraction
    guard: Fraction
    step: Fraction
    loading: Fraction = Fraction(0)


class Decision(NamedTuple):
    """What a meter makes of a limit: `ratio` for two sides (TUR), `share` of U in the limit for a side alone.

    A difference that counts both ways has one edge, a ratio and a share.
    """

    low: Edge | None
    high: Edge | None
    ratio: float | None
    share: float | None

    @property
    def edges(self) -> tuple[Edge, ...]:
        """The sides that there are."""
        return tuple(edge for edge in (self.low, self.high) if edge)

    @property
    def expanded(self) -> Fraction:
        """U where it is largest."""
        return max(edge.expanded for edge in self.edges)


class _Spec(NamedTuple):
    """The accuracy of a range: share of the reading, and what does not depend on it, in the base unit."""

    percent: float
    digits: int
    resolution: Fraction
    fixed: Fraction
    zero: Fraction

    @property
    def constant(self) -> Fraction:
        return self.digits * self.resolution + self.fixed

    @property
    def watched(self) -> "_Spec":
        """What is left of it in the change of one reading that is watched: its gain, and the last digit.

        The meter stays where it is, and so does the error of its zero (GUM F.1.2.3). Without digits all of it is left.
        """
        if not self.resolution:
            return self
        return self._replace(digits=min(self.digits, 1), fixed=Fraction(0))


def ranges_of(meter: Meter, limit: Limit) -> tuple[MeterRange, ...]:
    """The ranges that take the reading: of the right kind and, if the limit asks for one, with the test voltage."""
    kinds = ranges_for(limit.measure.name)
    found = [each for kind in kinds for each in meter.ranges.get(kind, ())]
    wanted = limit.test_voltage
    if wanted is None:
        return tuple(found)
    return tuple(
        each for each in found if each.test_voltage is None or each.test_voltage.quantity.same(wanted.quantity)
    )


def decide(limit: Limit, meter: Meter, around: Around) -> Decision | None:
    """What the meter makes of the limit; None where it has no fitting range, or nobody knows which one it reads in."""
    dimension = dimension_of(limit)
    ranges = ranges_of(meter, limit)
    if not ranges or not dimension:
        return None
    if limit.by_temperature:
        rows = [limit._replace(low=row.low, high=row.high, by_temperature=()) for row in limit.by_temperature]
        made = [decision for row in rows if (decision := decide(row, meter, around))]
        return min(made, key=_firmness) if len(made) == len(rows) else None
    if limit.share:
        return _of_share(limit, ranges, dimension, around)
    difference = difference_limit(limit)
    if difference is not None:
        edge = _of_difference(difference, ranges, dimension, around, watched=bool(limit.steady or limit.falls_by))
        return _either_way(edge) if limit.within else _one_sided(edge, upper=True)
    low, high = bounds(limit)
    if dimension == "temperature-difference":
        edges = [None if side is None else _between_two(side, ranges, dimension, around) for side in (low, high)]
    else:
        taken = _loaded_share(meter, ranges, dimension, around)
        edges = [None if side is None else _of_reading(side, ranges, dimension, taken) for side in (low, high)]
    if any(side is not None and edge is None for side, edge in zip((low, high), edges, strict=True)):
        return None
    return _decision(edges[0], edges[1])


def difference_limit(limit: Limit) -> Quantity | None:
    """The most by which readings may differ, for the forms that limit a difference."""
    amounts = (
        limit.within.value if limit.within else None,
        limit.drop.at_most if limit.drop else None,
        limit.spread.at_most if limit.spread else None,
        limit.steady.within if limit.steady else None,
        limit.falls_by.at_most if limit.falls_by else None,
    )
    return next((amount.quantity for amount in amounts if amount), None)


def _firmness(decision: Decision) -> float:
    if decision.ratio is not None:
        return decision.ratio
    return 1 / decision.share if decision.share else float("inf")


def _decision(low: Edge | None, high: Edge | None) -> Decision | None:
    if low and high:
        widest = max(low.expanded, high.expanded)
        if high.value <= low.value:
            return None
        return Decision(low, high, uncertainty_ratio(float(low.value), float(high.value), float(widest)), None)
    return _one_sided(low or high, upper=low is None)


def _one_sided(edge: Edge | None, *, upper: bool) -> Decision | None:
    if edge is None:
        return None
    share = one_sided_share(float(edge.value), float(edge.expanded)) if edge.value else None
    return Decision(None, edge, None, share) if upper else Decision(edge, None, None, share)


def _either_way(edge: Edge | None) -> Decision | None:
    """A difference that may lie so far to either side: a band around nothing, twice as wide."""
    alone = _one_sided(edge, upper=True)
    if edge is None or alone is None or not edge.value:
        return alone
    return alone._replace(ratio=uncertainty_ratio(-float(edge.value), float(edge.value), float(edge.expanded)))


def _of_reading(value: Fraction, ranges: Iterable[MeterRange], dimension: str, taken: Fraction) -> Edge | None:
    """An edge that a single reading is held against; `taken` is the share by which loading lowers it."""
    found = _range_at(value, ranges, dimension)
    spec = _spec(found, dimension) if found else None
    if spec is None:
        return None
    own = uncertainty(
        float(value - spec.zero), spec.percent, spec.digits, float(spec.resolution), float(spec.fixed), COVERAGE
    )
    loading = abs(value) * taken
    expanded = COVERAGE * combined(own.standard, float(loading) / sqrt(3))
    rest = Fraction(0) if spec.digits else spec.resolution / 2
    largest = abs(value - spec.zero) * _exact(spec.percent) * _PERCENT + spec.constant + rest + loading
    return Edge(value, _exact(expanded), _guard(expanded, largest), spec.resolution, loading)


def _between_two(value: Fraction, ranges: Iterable[MeterRange], dimension: str, around: Around) -> Edge | None:
    found = _range_at(around.level, ranges, dimension)
    spec = _spec(found, dimension) if found else None
    return _of_two(value, spec, value) if spec else None


def _of_difference(
    most: Quantity, ranges: Iterable[MeterRange], dimension: str, around: Around, *, watched: bool
) -> Edge | None:
    found = _range_at(around.level, ranges, dimension)
    spec = _spec(found, dimension) if found else None
    if spec is None:
        return None
    spec = spec.watched if watched else spec
    if most.dimension == RATIO != dimension:
        return _as_share(most.base, spec, around) if around.level else None
    read_as = fit(most, difference_of(dimension))
    if not isinstance(read_as, Quantity):
        return None
    size = Fraction(read_as.value) * read_as.unit.factor
    return _of_two(size, spec, size)


def _of_share(limit: Limit, ranges: Iterable[MeterRange], dimension: str, around: Around) -> Decision | None:
    found = _range_at(around.level, ranges, dimension)
    spec = _spec(found, dimension) if found else None
    if spec is None or not around.level or limit.share is None:
        return None
    low, high = (
        None if side is None else _as_share(side.quantity.base, spec, around)
        for side in (limit.share.low, limit.share.high)
    )
    return _decision(low, high)


def _as_share(share: Fraction, spec: _Spec, around: Around) -> Edge:
    """An edge in shares of the earlier reading."""
    level = abs(around.level or Fraction(1))
    of_two = _of_two(share * level, spec, (1 - share) * level)
    return Edge(share, of_two.expanded / level, of_two.guard / level, spec.resolution / level)


def _of_two(value: Fraction, spec: _Spec, apart: Fraction) -> Edge:
    """An edge that the difference of two readings so far apart is held against."""
    gain = abs(apart) * _exact(spec.percent) * _PERCENT
    rest = Fraction(0) if spec.digits else spec.resolution / 2
    standard = combined(float(gain) / sqrt(3), *[float(each) / sqrt(3) for each in 2 * (spec.constant, rest)])
    expanded = COVERAGE * standard
    return Edge(value, _exact(expanded), _guard(expanded, gain + 2 * (spec.constant + rest)), spec.resolution)


def _guard(expanded: float, largest: Fraction) -> Fraction:
    width = guard_width(expanded, float(largest))
    return largest if width == float(largest) else _exact(width)


def _exact(value: float) -> Fraction:
    """A computed size without the noise of its last binary places."""
    return Fraction(f"{value:.12g}")


def _range_at(value: Fraction | None, ranges: Iterable[MeterRange], dimension: str) -> MeterRange | None:
    """The range with the finest digits that holds a value; the only one where the value is not known."""
    known = list(ranges)
    if value is None:
        return known[0] if len(known) == 1 else None
    ends = [(_end(each.from_, dimension), _end(each.to, dimension)) for each in known]
    place = best_range([(float(start or 0), float(end or 0)) for start, end in ends], float(value))
    return None if place is None else known[place]


def _end(amount: Amount | None, dimension: str) -> Fraction | None:
    size = read(amount, dimension)
    return size.quantity.base if isinstance(size, Size) else None


def _spec(each: MeterRange, dimension: str) -> _Spec | None:
    """None where the accuracy counts digits of an unknown size, or is given in a unit of something else."""
    accuracy = each.accuracy.accuracy
    unit = difference_of(dimension)
    step = read(each.resolution, unit)
    resolution = _width(step.quantity) if isinstance(step, Size) else Fraction(0)
    if accuracy.digits and not resolution:
        return None
    fixed = fit(accuracy.fixed, unit) if accuracy.fixed else None
    if fixed is not None and not isinstance(fixed, Quantity):
        return None
    # A share of the reading counts from the zero of the scale that the meter shows.
    shown = read(each.to, dimension)
    zero = shown.quantity.unit.offset if isinstance(shown, Size) else Fraction(0)
    return _Spec(float(accuracy.percent), accuracy.digits, resolution, _width(fixed) if fixed else Fraction(0), zero)


def _width(quantity: Quantity) -> Fraction:
    return Fraction(quantity.value) * quantity.unit.factor


def _loaded_share(meter: Meter, ranges: Iterable[MeterRange], dimension: str, around: Around) -> Fraction:
    """By what share the meter's input lowers a voltage behind the resistance of the source."""
    if dimension != "voltage" or not around.series:
        return Fraction(0)
    stated = meter.input_resistance or next((each.input_resistance for each in ranges if each.input_resistance), None)
    resistance = stated.quantity.number() if stated else usual_input_resistance()
    return _exact(-loading_error(float(around.series), resistance)) if resistance > 0 else Fraction(1)
