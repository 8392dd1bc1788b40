"""Numbers and quantities as the cards print them, by the SI Brochure and the shop's choice of units.

SI Brochure, 9th edition: a space between number and unit, `%` and `°C` included, none before the signs of plane angle
(5.4.3, 5.4.7); digits in threes parted by a thin space, four digits together, never by point or comma (5.4.4); the
decimal mark by language (5.4.4). The space is U+202F, so that a number never parts from its unit at the end of a line.
"""

import json
from collections.abc import Mapping, Sequence
from decimal import Decimal
from functools import cache
from typing import NamedTuple

from benchleaf.base import said
from benchleaf.base.resources import table_text
from benchleaf.model.quantity import Quantity
from benchleaf.model.units import Unit, unit
from benchleaf.trade.rounding import Role, convert, convert_band

SPACE = "\N{NARROW NO-BREAK SPACE}"
MINUS = "\N{MINUS SIGN}"
# Two, three and four digits stay together.
GROUPED_FROM = 5

# Spellings, or anything that is one as text.
Shown = Mapping[str, Sequence[object]]


class PrintedBand(NamedTuple):
    """Limits as printed, in each of the shop's units; empty text for a limit that is not there.

    `text` is the band from low to high, or from one side: `50.2 V to 51.6 V`, `≥ 50.2 V`, `≤ 51.6 V`, or the nominal
    value alone.
    """

    low: str
    nominal: str
    high: str
    text: str


def number(value: Decimal, locale: str = "en") -> str:
    """A number with all its digits; raises ValueError for a language whose decimal mark is not known."""
    mark = _language(locale)["mark"]
    whole, _, decimals = f"{abs(value):f}".partition(".")
    grouped = _in_threes(whole[::-1])[::-1] + (mark + _in_threes(decimals) if decimals else "")
    return (MINUS if value < 0 else "") + grouped


def mark_of(locale: str) -> tuple[str, str]:
    """The decimal mark of a language, and what stands between the ends of a band; ValueError as for `number`."""
    language = _language(locale)
    return language["mark"], language["to"]


def with_unit(value: Decimal, of: Unit, locale: str = "en") -> str:
    """A number with its unit, as `36 N·m`, `75 %`, `90°`; a pure ratio (unit 1) and the number stand alone."""
    if of.symbol == "1":
        return number(value, locale)
    gap = "" if of.dimension == "angle" and of.symbol in "°′" else SPACE
    return number(value, locale) + gap + of.symbol.replace(" ", SPACE)


def printed(quantity: Quantity, units: Shown, role: Role = "plain", locale: str = "en") -> str:
    """A quantity in the units that the shop shows: the first, then the others in brackets: `36 N·m (27 lbf·ft)`.

    `units` maps a dimension to spellings of its units; a dimension that is not there is printed as written. A limit
    is rounded inward by its `role`. Raises KeyError for a spelling that is no unit of that dimension.
    """
    converted = [convert(quantity, shown, role) for shown in _shown(quantity, units)]
    return said.number(_in_brackets([with_unit(each.printed, each.unit, locale) for each in converted]))


def printed_band(
    low: Quantity | None, nominal: Quantity | None, high: Quantity | None, units: Shown, locale: str = "en"
) -> PrintedBand:
    """Limits of one dimension, in the units that the shop shows, never wider than written.

    A unit in which no band lies inside is left out; as written it stands in any case. Raises ValueError for limits
    that `convert_band` refuses.
    """
    given = next((each for each in (low, nominal, high) if each is not None), None)
    if given is None:
        raise ValueError("a band needs at least one limit")
    bands = [band for shown in _shown(given, units) if (band := convert_band(low, nominal, high, shown))]
    bands = bands or [band for band in [convert_band(low, nominal, high, given.unit)] if band]
    rows: list[tuple[str, str, str, str]] = []
    for band in bands:
        texts = ["" if x is None else with_unit(x, band.unit, locale) for x in (band.low, band.nominal, band.high)]
        rows.append((texts[0], texts[1], texts[2], _sentence(texts[0], texts[1], texts[2], locale)))
    columns = [[row[column] for row in rows] for column in range(4)]
    return PrintedBand(*(said.number(_in_brackets(column)) for column in columns))


@cache
def _languages() -> dict[str, dict[str, str]]:
    table: dict[str, dict[str, str]] = json.loads(table_text("trade", "numbers.json"))
    return table


def _language(locale: str) -> dict[str, str]:
    language = locale.replace("_", "-").partition("-")[0].lower()
    if language not in _languages():
        raise ValueError(f"how {locale} writes numbers is not known; known are {', '.join(_languages())}")
    return _languages()[language]


def _in_threes(digits: str) -> str:
    if len(digits) < GROUPED_FROM:
        return digits
    return SPACE.join(digits[start : start + 3] for start in range(0, len(digits), 3))


def _shown(quantity: Quantity, units: Shown) -> list[Unit]:
    names = units.get(quantity.dimension, ())
    return [unit(str(name), quantity.dimension) for name in names] or [quantity.unit]


def _in_brackets(texts: Sequence[str]) -> str:
    different = list(dict.fromkeys(text for text in texts if text))
    if len(different) < 2:
        return "".join(different)
    return f"{different[0]} ({'; '.join(different[1:])})"


def _sentence(low: str, nominal: str, high: str, locale: str) -> str:
    if low and low == high:
        return low
    if low and high:
        return f"{low} {_language(locale)['to']} {high}"
    if low or high:
        return f"≥{SPACE}{low}" if low else f"≤{SPACE}{high}"
    return nominal
