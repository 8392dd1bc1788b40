"""Limits: the right dimension in every field, a band that a reading can lie in."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.model.basics import Amount
from benchleaf.model.bind import finding_of
from benchleaf.model.limit import AtTemperature, Limit
from benchleaf.model.measures import measures
from benchleaf.model.quantity import Fault, Quantity, fit
from benchleaf.passes import quantities_rules as rules
from benchleaf.passes.quantities_tables import counts_up_only, difference_of, never_negative, reading_may_be_negative

RATIO = "ratio"
# In Pa: the air around at its heaviest (common practice, no source).
ATMOSPHERE_HIGHEST = 108500
# In Ω: the least that anybody calls insulation (common practice, no source; EN 60204-1 asks for 1 MΩ, from memory).
LEAST_INSULATION = 1000


class Size(NamedTuple):
    """An amount read in the dimension that its place asks for."""

    quantity: Quantity
    span: Span

    @property
    def text(self) -> str:
        """As written."""
        return self.quantity.text


class Bounds(NamedTuple):
    """The values of a reading between which a limit lies, in the base unit; None where it has no such side."""

    low: Fraction | None = None
    high: Fraction | None = None


def dimension_of(limit: Limit) -> str:
    """The dimension of what is measured; empty for an unknown kind, which the shape check has told."""
    measure = measures().get(limit.measure.name)
    return measure.dimension if measure else ""


def read(amount: Amount | None, dimension: str) -> Size | Finding | None:
    """The amount as one of that dimension; a finding where it is none."""
    if amount is None:
        return None
    fitted = fit(amount.quantity, dimension)
    return finding_of(fitted, amount.span) if isinstance(fitted, Fault) else Size(fitted, amount.span)


def of_limit(name: str, limit: Limit) -> Iterator[Finding]:
    """Everything that is wrong with the numbers of one limit."""
    if not limit.source:
        yield rules.WITHOUT_SOURCE.at(limit.span, f"The limit `{name}` does not say where its number comes from.")
    dimension = dimension_of(limit)
    if not dimension:
        return
    yield from _band(limit, dimension)
    yield from _tolerance(limit, dimension)
    yield from _differences(limit, dimension)
    yield from _share(limit)
    yield from _by_temperature(limit, dimension)
    yield from _process(name, limit, dimension)


def bounds(limit: Limit) -> Bounds:
    """Between which readings the limit lies; empty for limits that compare readings, or that cannot be read."""
    dimension = dimension_of(limit)
    if limit.tolerance and limit.nominal:
        nominal, tolerance = read(limit.nominal, dimension), _tolerance_size(limit, dimension)
        if not isinstance(nominal, Size) or not isinstance(tolerance, Size):
            return Bounds()
        width = _width(nominal, tolerance)
        return Bounds(nominal.quantity.base - width, nominal.quantity.base + width)
    rows = limit.by_temperature or (limit,)
    lows = [low.quantity.base for row in rows if isinstance(low := read(row.low, dimension), Size)]
    highs = [high.quantity.base for row in rows if isinstance(high := read(row.high, dimension), Size)]
    return Bounds(min(lows, default=None), max(highs, default=None))


def _width(nominal: Size, tolerance: Size) -> Fraction:
    if tolerance.quantity.dimension == RATIO and nominal.quantity.dimension != RATIO:
        return abs(nominal.quantity.base) * tolerance.quantity.base
    # A tolerance of 2 °C is a difference: the zero of the scale does not count.
    return Fraction(tolerance.quantity.value) * tolerance.quantity.unit.factor


def _tolerance_size(limit: Limit, dimension: str) -> Size | Finding | None:
    if limit.tolerance is None:
        return None
    share = limit.tolerance.quantity.dimension == RATIO
    return read(limit.tolerance, RATIO if share else difference_of(dimension))


def _band(limit: Limit | AtTemperature, dimension: str) -> Iterator[Finding]:
    nominal = limit.nominal if isinstance(limit, Limit) else None
    sides = {
        "low": read(limit.low, dimension),
        "nominal": read(nominal, dimension),
        "high": read(limit.high, dimension),
    }
    yield from (side for side in sides.values() if isinstance(side, Finding))
    sizes = {side: size for side, size in sides.items() if isinstance(size, Size)}
    for side, size in sizes.items():
        if isinstance(limit, Limit):
            yield from _pressure(limit.measure.name, size)
            yield from _insulation(limit.measure.name, size)
        if size.quantity.base < 0 and never_negative(dimension) and not reading_may_be_negative(dimension):
            sentence = f"A reading of `{size.text}` does not exist (`{side}`)."
            yield rules.IMPOSSIBLE.at(size.span, sentence, mend=without_sign(size.text))
        elif dimension == "temperature" and size.quantity.base < 0:
            yield rules.IMPOSSIBLE.at(size.span, f"`{size.text}` lies below absolute zero.")
    placed = list(sizes.items())
    for (name, size), (next_name, next_size) in pairwise(placed):
        if size.quantity.base > next_size.quantity.base:
            sentence = f"`{name}` is {size.text}, above `{next_name}`, {next_size.text}."
            yield rules.OUT_OF_ORDER.at(next_size.span, sentence)
    if "low" in sizes and "high" in sizes and sizes["low"].quantity.base == sizes["high"].quantity.base:
        sentence = f"`low` and `high` are both {sizes['high'].text}: no reading lies between them."
        yield rules.EMPTY_BAND.at(sizes["high"].span, sentence)


def unsigned(text: str) -> str:
    """A quantity as written, without its minus sign."""
    return text.strip().lstrip("-−").lstrip()


def without_sign(text: str) -> str:
    """The cure for a size below zero."""
    return f"Write `{unsigned(text)}` if that is meant."


def _pressure(kind: str, size: Size) -> Iterator[Finding]:
    """Gauge pressures below zero are vacuum, and none lies below no pressure at all."""
    if size.quantity.dimension != "pressure" or size.quantity.base >= 0:
        return
    if size.quantity.base < -ATMOSPHERE_HIGHEST:
        sentence = f"`{size.text}` lies below no pressure at all."
        yield rules.IMPOSSIBLE.at(size.span, sentence)
    elif counts_up_only(kind):
        sentence = f"A pressure of `{size.text}` lies below that of the air around, which is a vacuum."
        mend = f"Write `{unsigned(size.text)}`, or `measure: vacuum` if it is one."
        yield rules.IMPOSSIBLE.at(size.span, sentence, mend=mend)


def _insulation(kind: str, size: Size) -> Iterator[Finding]:
    """Some ohms are no insulation."""
    if kind == "insulation-resistance" and 0 < size.quantity.base < LEAST_INSULATION:
        symbol = size.quantity.unit.symbol
        meant = f"{size.quantity.value} {'MΩ' if symbol == 'mΩ' else 'kΩ'}"
        sentence = f"`{size.text}` is a short circuit, not insulation."
        yield rules.IMPOSSIBLE.at(size.span, sentence, mend=f"Write `{meant}` if that is meant.")


def _tolerance(limit: Limit, dimension: str) -> Iterator[Finding]:
    tolerance = _tolerance_size(limit, dimension)
    if isinstance(tolerance, Finding):
        yield tolerance
    nominal = read(limit.nominal, dimension)
    if not isinstance(tolerance, Size) or not isinstance(nominal, Size):
        return
    width = _width(nominal, tolerance)
    if tolerance.quantity.value < 0:
        sentence = f"A tolerance of `{tolerance.text}` has no meaning; it counts both ways."
        yield rules.IMPOSSIBLE.at(tolerance.span, sentence, mend=without_sign(tolerance.text))
    elif width == 0:
        sentence = f"A tolerance of `{tolerance.text}` leaves no room around {nominal.text}."
        yield rules.EMPTY_BAND.at(tolerance.span, sentence)
    elif tolerance.quantity.dimension == RATIO != dimension and tolerance.quantity.base >= 1:
        yield rules.TOLERANCE_TOO_WIDE.at(tolerance.span, f"A tolerance of {tolerance.text} lets everything pass.")
    elif never_negative(dimension) and width > nominal.quantity.base:
        sentence = f"A tolerance of {tolerance.text} reaches below zero from {nominal.text}."
        yield rules.TOLERANCE_TOO_WIDE.at(tolerance.span, sentence)


def _differences(limit: Limit, dimension: str) -> Iterator[Finding]:
    """The amounts of limits that compare readings: differences, or shares in per cent."""
    amounts = [
        limit.within.value if limit.within else None,
        limit.drop.at_most if limit.drop else None,
        limit.spread.at_most if limit.spread else None,
        limit.steady.within if limit.steady else None,
        limit.falls_by.at_most if limit.falls_by else None,
    ]
    for amount in amounts:
        share = amount is not None and amount.quantity.dimension == RATIO
        size = read(amount, RATIO if share else difference_of(dimension))
        if isinstance(size, Finding):
            yield size
        elif size and size.quantity.value < 0:
            sentence = f"A difference of `{size.text}` has no meaning; write its size."
            yield rules.IMPOSSIBLE.at(size.span, sentence, mend=without_sign(size.text))
        elif size and size.quantity.value == 0 and not limit.drop and not limit.falls_by:
            yield rules.EMPTY_BAND.at(size.span, f"`{size.text}` leaves no room: no two readings are the same.")


def _share(limit: Limit) -> Iterator[Finding]:
    share = limit.share
    if share and share.low and share.high:
        low, high = share.low, share.high
        if low.quantity.base > high.quantity.base:
            yield rules.OUT_OF_ORDER.at(high.span, f"`low` is {low}, above `high`, {high}.")
        elif low.quantity.base == high.quantity.base:
            yield rules.EMPTY_BAND.at(high.span, f"`low` and `high` are both {high}: no share lies between them.")


def _by_temperature(limit: Limit, dimension: str) -> Iterator[Finding]:
    before: AtTemperature | None = None
    for row in limit.by_temperature:
        yield from _band(row, dimension)
        if row.at.quantity.base <= 0:
            yield rules.IMPOSSIBLE.at(row.at.span, f"No machine is as cold as `{row.at}`.")
        elif before and row.at.quantity.base <= before.at.quantity.base:
            sentence = f"The row at {row.at} stands after the row at {before.at}; rows go from cold to warm."
            yield rules.RANGE_OUT_OF_ORDER.at(row.at.span, sentence)
        before = row


def _process(name: str, limit: Limit, dimension: str) -> Iterator[Finding]:
    """How what is made is spread: in the right dimension, and with its middle inside the limit."""
    process = limit.process
    if process is None:
        return
    mean, deviation = read(process.mean, dimension), read(process.standard_deviation, difference_of(dimension))
    yield from (each for each in (mean, deviation) if isinstance(each, Finding))
    if isinstance(deviation, Size) and deviation.quantity.value <= 0:
        yield rules.IMPOSSIBLE.at(deviation.span, f"A standard deviation of `{deviation.text}` is no spread.")
    low, high = bounds(limit)
    if not isinstance(mean, Size):
        return
    size = mean.quantity.base
    if (low is not None and size < low) or (high is not None and size > high):
        sentence = f"The mean of all that is made, {mean.text}, lies outside the limit `{name}`."
        yield rules.PROCESS_OUTSIDE.at(mean.span, sentence)
