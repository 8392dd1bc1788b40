"""Computed readings in words: as many digits as a reader can use, in the unit of the limit."""

from decimal import Decimal
from math import inf, isinf

from benchleaf.model.units import unit
from benchleaf.trade.numbers import with_unit

FIGURES = 4
OPEN = "an open circuit"


def amount(value: float, symbol: str) -> str:
    """A value, already in the unit, with four significant figures; an infinite one is an open circuit."""
    if isinf(value):
        return OPEN
    return with_unit(rounded(value), unit(symbol))


def rounded(value: float) -> Decimal:
    """Four significant figures, at most six decimals, no exponent."""
    if abs(value) < 5e-7:
        return Decimal(0)
    short = Decimal(f"{value:.{FIGURES}g}")
    return Decimal(f"{short:f}").quantize(Decimal("0.000001")).normalize() + 0


def span_of(low: float, high: float, symbol: str) -> str:
    """`a to b`, or one value where both print alike."""
    first, last = amount(low, symbol), amount(high, symbol)
    return first if first == last else f"{first} to {last}"


def band(low: float, high: float, symbol: str) -> str:
    """A written limit: from low to high, or one of both."""
    if low == -inf:
        return f"at most {amount(high, symbol)}"
    return f"at least {amount(low, symbol)}" if high == inf else span_of(low, high, symbol)
