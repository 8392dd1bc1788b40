"""Converted values with as many digits as the written one carries, and limits that never widen.

Sources: NIST SP 811 (2008), B.7.1 (half to even) and B.7.2 (a converted value keeps the digits that are consistent
with the greatest rounding error of the written one); ASME A112.18.1-2018, annex A.2 e), for limits, which are rounded
without violating the original ones.

A written value may be off by half its last place. B.7.2 weighs that against half the last place of the converted
value: 36 ft (1.4 %) is 11.0 m (0.45 %), not 11 m (4.5 %), since 0.45 % is the nearer in ratio. So the last place kept
is the power of ten nearest, in ratio, to the converted last place. At least two significant figures are kept, which
B.7.2 leaves to the end use: `3 bar` is not to be printed as 40 psi.
"""

from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from functools import lru_cache
from math import ceil, floor
from typing import Literal, NamedTuple

from benchleaf.model.quantity import Quantity
from benchleaf.model.units import Unit, unit

Role = Literal["plain", "nominal", "low", "high"]

FEWEST_FIGURES = 2
# More than any written value has; an inward rounding that has not opened by then never will.
FINEST = 40

_ROUNDED: dict[Role, Callable[[Fraction], int]] = {"plain": round, "nominal": round, "low": ceil, "high": floor}


class Converted(NamedTuple):
    """A value in another unit.

    `value` is exact, or has 34 digits where it never ends; `printed` has the digits that the written value carries.
    `exact`: the factor between the units holds by definition. `rounded`: `printed` is not the exact value.
    """

    value: Decimal
    printed: Decimal
    unit: Unit
    exact: bool
    rounded: bool


class Band(NamedTuple):
    """The limits in another unit, within the written ones; None for a limit that is not there."""

    low: Decimal | None
    nominal: Decimal | None
    high: Decimal | None
    unit: Unit
    rounded: bool


def last_place(value: Decimal) -> int:
    """Power of ten of the last digit as written: -1 for 25.0, 0 for 1500."""
    exponent = value.as_tuple().exponent
    if not isinstance(exponent, int):
        raise ValueError(f"{value} has no digits")
    return min(exponent, 0)


def place_in(quantity: Quantity, wanted: Unit) -> int:
    """Power of ten of the last place to keep when the quantity is told in another unit."""
    return place_of(Fraction(10) ** last_place(quantity.value) * quantity.unit.factor / wanted.factor)


def place_of(step: Fraction) -> int:
    """The power of ten nearest to a positive step in ratio, the finer one for a tie."""
    power = _magnitude(step)
    # The border between two powers of ten is at the square root of ten; squared, it needs no root.
    return power + 1 if (step / Fraction(10) ** power) ** 2 > 10 else power


def half_even(value: Fraction | Decimal, place: int) -> Decimal:
    """The value rounded to a place, a power of ten, half to even (SP 811, B.7.1)."""
    return _rounded(Fraction(value), place, "plain")


@lru_cache(maxsize=4096)
def convert(quantity: Quantity, wanted: Unit | str, role: Role = "plain") -> Converted:
    """The quantity in another unit of its dimension; a `low` is rounded up, a `high` down, anything else half to even.

    Raises ValueError for a unit of another dimension.
    """
    target = _target(quantity, wanted)
    exact = quantity.exactly(target)
    if target == quantity.unit:
        printed = quantity.value
    else:
        printed = _rounded(exact, _kept(exact, place_in(quantity, target)), role)
    defined = quantity.unit.exact and target.exact
    return Converted(quantity.to(target), printed, target, defined, Fraction(printed) != exact)


def convert_band(
    low: Quantity | None, nominal: Quantity | None, high: Quantity | None, wanted: Unit | str
) -> Band | None:
    """The limits in another unit: low rounded up, high down, nominal half to even and kept between the two.

    One more digit is taken, as often as it needs, where the band would close or lose more than half its width. None
    where nothing that can be printed in that unit lies inside: a band of no width whose value never ends there.
    Raises ValueError for another dimension, for low above high, and where no limit is given.
    """
    given = [each for each in (low, nominal, high) if each is not None]
    if not given:
        raise ValueError("a band needs at least one limit")
    if low is not None and high is not None and low > high:
        raise ValueError(f"{low.text} is above {high.text}")
    target = _target(given[0], wanted)
    if all(each.unit == target for each in given):
        low_value, nominal_value, high_value = (None if x is None else x.value for x in (low, nominal, high))
        return Band(low_value, nominal_value, high_value, target, False)
    for finer in range(FINEST):
        band = _inward(low, nominal, high, target, finer)
        if low is None or high is None or _is_open(band, high.exactly(target) - low.exactly(target)):
            return band
    return None


def _target(quantity: Quantity, wanted: Unit | str) -> Unit:
    return unit(wanted, quantity.dimension) if isinstance(wanted, str) else wanted


def _magnitude(value: Fraction) -> int:
    """Power of ten of the first significant digit of a positive value."""
    power = len(str(value.numerator)) - len(str(value.denominator))
    return power if Fraction(10) ** power <= value else power - 1


def _kept(value: Fraction, place: int) -> int:
    """The place, or a finer one where fewer than `FEWEST_FIGURES` of the value would be left."""
    return place if value == 0 else min(place, _magnitude(abs(value)) - FEWEST_FIGURES + 1)


def _rounded(value: Fraction, place: int, role: Role) -> Decimal:
    steps = _ROUNDED[role](value / Fraction(10) ** place)
    # Written out, since arithmetic on decimals rounds to the digits of its context.
    return Decimal(f"{steps}E{place}") if place <= 0 else Decimal(steps * 10**place)


def _inward(low: Quantity | None, nominal: Quantity | None, high: Quantity | None, target: Unit, finer: int) -> Band:
    """The band with `finer` more digits than the written one carries."""

    def at(limit: Quantity | None, role: Role) -> Decimal | None:
        if limit is None:
            return None
        value = limit.exactly(target)
        return _rounded(value, _kept(value, place_in(limit, target)) - finer, role)

    bottom, middle, top = at(low, "low"), at(nominal, "nominal"), at(high, "high")
    if middle is not None and nominal is not None:
        if bottom is not None and low is not None and low <= nominal:
            middle = max(middle, bottom)
        if top is not None and high is not None and nominal <= high:
            middle = min(middle, top)
    pairs = ((low, bottom), (nominal, middle), (high, top))
    rounded = any(x is not None and y is not None and x.exactly(target) != Fraction(y) for x, y in pairs)
    return Band(bottom, middle, top, target, rounded)


def _is_open(band: Band, width: Fraction) -> bool:
    """Whether a rounded band keeps at least half its true width."""
    if band.low is None or band.high is None:
        return True
    left = Fraction(band.high) - Fraction(band.low)
    return left >= 0 and left * 2 >= width
