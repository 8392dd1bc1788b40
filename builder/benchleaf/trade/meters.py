"""What a meter's reading is worth: maximum error, uncertainty, the best range, loading of the circuit, category.

Values are floats in one unit of the caller's choice, the same for all arguments of a call, but for resistances (Ω).
"""

import json
import math
import re
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.trade.unread import Unread

# U = k u; k = 2 covers about 95 % of a normal distribution (GUM 6.2.1, G.6.6).
COVERAGE = 2.0


class Uncertainty(NamedTuple):
    """Half-width of the rectangle a meter is specified to, standard uncertainty u, expanded uncertainty U = k u."""

    half_width: float
    standard: float
    expanded: float


def maximum_error(reading: float, percent: float, digits: int, resolution: float, fixed: float = 0.0) -> float:
    """How far the meter may be off: percent of the reading, so many last digits, and a fixed amount."""
    return abs(reading) * percent / 100 + digits * resolution + fixed


def uncertainty(
    reading: float,
    percent: float,
    digits: int,
    resolution: float,
    fixed: float = 0.0,
    coverage: float = COVERAGE,
) -> Uncertainty:
    """Uncertainty of one reading by a type B evaluation (GUM 4.3.7: rectangular, a/√3).

    The digits of a specification hold the resolution already; where none are given it counts of its own, as half a
    last digit to either side (GUM F.2.2.1: 0.29 of it). ValueError for sizes below zero or no coverage.
    """
    if min(percent, digits, resolution, fixed) < 0 or coverage <= 0:
        raise ValueError("accuracy and resolution must not be below zero, coverage must be above it")
    half_width = maximum_error(reading, percent, digits, resolution, fixed)
    standard = half_width / math.sqrt(3)
    if not digits:
        standard = math.hypot(standard, resolution / 2 / math.sqrt(3))
    return Uncertainty(half_width, standard, coverage * standard)


def combined(*standard: float) -> float:
    """Root of the sum of squares of independent standard uncertainties (GUM 5.1.2)."""
    return math.hypot(*standard)


def loaded(source_value: float, source_resistance: float, input_resistance: float) -> float:
    """What a meter of finite input resistance shows of an open voltage behind a resistance (divider, Ohm's law).

    Resistances in Ω; ValueError where they are below zero or the input has none.
    """
    if source_resistance < 0 or input_resistance <= 0:
        raise ValueError("resistances must not be below zero, and the input must have some")
    return source_value * input_resistance / (source_resistance + input_resistance)


def loading_error(source_resistance: float, input_resistance: float) -> float:
    """Share of the true voltage by which loading makes the reading too low: -Rs/(Rs + Rin), from 0 to -1."""
    return loaded(1.0, source_resistance, input_resistance) - 1.0


def best_range(ranges: Sequence[tuple[float, float]], value: float) -> int | None:
    """Place of the smallest range (from, to) that holds a value; None where none does.

    The smallest has the finest digits. A range from 0 also takes the value with leads swapped.
    """
    holding = [
        (high - low, place)
        for place, (low, high) in enumerate(ranges)
        if low <= value <= high or (low == 0 and abs(value) <= high)
    ]
    return min(holding)[1] if holding else None


class Category(NamedTuple):
    """Measurement category 2, 3 or 4, and the voltage to earth for which an instrument is rated in it."""

    level: int
    volts: float

    def __str__(self) -> str:
        """As printed on the instrument."""
        return f"CAT {_NUMERALS[self.level]} {self.volts:g} V"


_NUMERALS = {2: "II", 3: "III", 4: "IV"}


def parse_category(text: str) -> Category | Unread:
    """Read `CAT III 600 V`."""
    plain = re.fullmatch(r"(?i)\s*cat[. ]*(ii|iii|iv|[234])[ ,/-]*([0-9]{2,4}) ?v\s*", text)
    if plain is None:
        return Unread(f"`{text}` is no measurement category.", "Write it as on the instrument, as in `CAT III 600 V`.")
    levels = {name.casefold(): level for level, name in _NUMERALS.items()}
    numeral = plain[1].casefold()
    return Category(levels.get(numeral) or int(numeral), float(plain[2]))


def category_fits(rated: Sequence[Category], needed: Category) -> bool:
    """Whether an instrument with these ratings may measure where `needed` is asked: as high a category and voltage.

    Source: IEC 61010-2-030. Circuits not connected to mains need no category, but the voltage all the same: ask for
    CAT II there, the lowest that instruments are marked with.
    """
    return any(each.level >= needed.level and each.volts >= needed.volts for each in rated)


@cache
def _impulses() -> list[list[float]]:
    rows: list[list[float]] = json.loads(table_text("trade", "categories.json"))["rows"]
    return rows


def impulse_voltage(category: Category) -> float | None:
    """Impulse in V that the category's circuits may carry at that voltage (IEC 61010-2-030); None beyond 1000 V."""
    for up_to, *impulses in _impulses():
        if category.volts <= up_to:
            return float(impulses[category.level - 2])
    return None
