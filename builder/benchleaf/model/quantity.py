"""A quantity as written: digits, a unit, nothing else; what is not surely right is refused with the right spelling.

Grammar: [sign] digits [. digits] [space] unit. The sign is `-`, `−` or `+`; no comma, no exponent, no zeros in front.
Digits may stand in threes parted by U+202F, as the cards print them; no other separator is read.
"""

import re
from decimal import Context, Decimal
from fractions import Fraction
from typing import Any, NamedTuple

from benchleaf.model.fault import FAULT_CODES, Fault, pointed, within
from benchleaf.model.quantity_faults import why_not
from benchleaf.model.units import Unit, find, instead, same_prefix, unit, usual_unit

__all__ = ["FAULT_CODES", "Fault", "Quantity", "fit", "make", "parse"]

# As many digits as IEEE 754 decimal128 has: for quotients that never end.
DIGITS = Context(prec=34)
_FORM = re.compile(
    "([+\\-−]?)"
    "((?:0|[1-9][0-9]{0,14}|[1-9][0-9]{0,2}(?:\u202f[0-9]{3}){1,4})"
    "(?:\\.[0-9]{3}(?:\u202f[0-9]{3}){0,3}\u202f[0-9]{1,3}(?![0-9/])|\\.[0-9]{1,15})?)"
    "([ \u00a0\u2009\u202f]*)"
    "([^0-9 \u00a0\u2009\u202f].*|1/.+)"
)
_SPACES = str.maketrans("\u00a0\u2009\u202f", "   ")


class Quantity(NamedTuple):
    """A value with its unit.

    `value` keeps the digits as written (25.0 stays 25.0), `text` the whole text. Equality compares what is written;
    `same` and the order signs compare sizes, exactly.
    """

    value: Decimal
    unit: Unit
    text: str

    @property
    def dimension(self) -> str:
        """Name of the dimension, such as `voltage`."""
        return self.unit.dimension

    @property
    def base(self) -> Fraction:
        """The exact value in the dimension's base unit."""
        over, under = self.value.as_integer_ratio()
        factor, offset = self.unit.factor, self.unit.offset
        size = Fraction(over * factor.numerator, under * factor.denominator)
        return size + offset if offset else size

    @property
    def notes(self) -> tuple[Fault, ...]:
        """Advice on the way it is written: a missing space (SI Brochure, 9th edition, 5.4.3)."""
        form = _FORM.fullmatch(self.text)
        if form is None or form[3] or (form[4][0] in "°′" and self.dimension == "angle"):
            return ()
        sentence = f"`{self.text}` has no space between the number and the unit."
        return (pointed("no-space", sentence, self.text, form.start(4), form.start(4), change=" "),)

    def exactly(self, wanted: Unit | str) -> Fraction:
        """The exact value in another unit of the same dimension; raises ValueError for one of another dimension."""
        target = unit(wanted, self.dimension) if isinstance(wanted, str) else wanted
        if target.dimension != self.dimension:
            raise ValueError(f"{self.text} is not a {target.dimension}")
        return (self.base - target.offset) / target.factor

    def to(self, wanted: Unit | str) -> Decimal:
        """As `exactly`, as a decimal number: exact where that ends within 34 digits, else rounded there."""
        value = self.exactly(wanted)
        return DIGITS.divide(Decimal(value.numerator), Decimal(value.denominator))

    def number(self, wanted: Unit | str | None = None) -> float:
        """As a floating-point number, in the base unit or the unit asked for."""
        return float(self.base if wanted is None else self.exactly(wanted))

    def same(self, other: "Quantity") -> bool:
        """Whether both are of one size and dimension, however they are written."""
        return self.dimension == other.dimension and self.base == other.base

    def __lt__(self, other: tuple[Any, ...]) -> bool:
        return self.base < self._comparable(other)

    def __le__(self, other: tuple[Any, ...]) -> bool:
        return self.base <= self._comparable(other)

    def __gt__(self, other: tuple[Any, ...]) -> bool:
        return self.base > self._comparable(other)

    def __ge__(self, other: tuple[Any, ...]) -> bool:
        return self.base >= self._comparable(other)

    def _comparable(self, other: tuple[Any, ...]) -> Fraction:
        if not isinstance(other, Quantity) or self.dimension != other.dimension:
            named = other.dimension if isinstance(other, Quantity) else "no quantity"
            raise TypeError(f"{self.dimension} and {named} cannot be compared")
        return other.base


def make(value: Decimal | int, wanted: Unit | str) -> Quantity:
    """A quantity from a computed value, written as the file would have it; KeyError for an unknown unit."""
    decimal, of = Decimal(value), unit(wanted) if isinstance(wanted, str) else wanted
    return Quantity(decimal, of, f"{decimal:f} {of.symbol}")


def parse(text: str, dimension: str | None = None) -> Quantity | Fault:
    """Read a quantity, or say what is wrong with the text.

    With a `dimension` the unit is read as one of that dimension, and one of another is a fault. Negative values are
    read: whether a field takes them is the field's business.
    """
    form = _FORM.fullmatch(text)
    if form is None:
        return _inside(text, dimension) if text.strip() not in ("", text) else why_not(text, dimension)
    sign, digits, _, name = form.groups()
    found = find(name, dimension) or find(name) or _spaced(name, dimension)
    if found is None:
        return why_not(text, dimension)
    value = Decimal(digits.replace("\u202f", "") if "\u202f" in digits else digits)
    quantity = Quantity(-value if sign in ("-", "−") else value, found, text)
    return quantity if dimension in (None, found.dimension) else fit(quantity, dimension)


def _inside(text: str, dimension: str | None) -> Quantity | Fault:
    """A text with spaces around it: read without them, faults pointing at the right part all the same."""
    inner = text.strip()
    read = parse(inner, dimension)
    return within(read, text, text.index(inner)) if isinstance(read, Fault) else read


def _spaced(name: str, dimension: str | None) -> Unit | None:
    """The unit of a name with no-break or thin spaces in it, or spaces behind it."""
    plain = name.translate(_SPACES).rstrip()
    return None if plain == name else find(plain, dimension) or find(plain)


def fit(quantity: Quantity, dimension: str) -> Quantity | Fault:
    """The quantity read as one of `dimension`, as `5 K` as a temperature difference; or the fault that it is none."""
    if quantity.dimension == dimension:
        return quantity
    form = _FORM.fullmatch(quantity.text)
    start, end = form.span(4) if form else (0, len(quantity.text))
    other = find(quantity.text[start:end].translate(_SPACES).rstrip(), dimension)
    if other is not None:
        return Quantity(quantity.value, other, quantity.text)
    sentence = f"`{quantity.text}` is {_named(quantity.dimension)}; {_named(dimension)} is due here."
    meant = instead(quantity.unit.symbol, dimension)
    alike = same_prefix(quantity.unit, dimension)
    usual = f"Write `{quantity.text[:start]}{alike.symbol}` if that is meant." if alike else ""
    usual = usual or f"Write it in `{usual_unit(dimension).symbol}` or its like."
    mend = _FROM_GAUGE.get((quantity.dimension, dimension), usual)
    change = None if meant is None else meant.symbol
    return pointed("wrong-dimension", sentence, quantity.text, start, end, change=change, mend=mend)


_FROM_GAUGE = {
    ("pressure", "absolute-pressure"): "Add the pressure of the air around, and write `bar(a)` or `psia`.",
    ("absolute-pressure", "pressure"): "Take away the pressure of the air around, and write `bar(g)` or `psig`.",
}


def _named(dimension: str) -> str:
    words = dimension.replace("-", " ")
    return f"{'an' if words[0] in 'aeiou' else 'a'} {words}"
