"""Writes benchleaf/model/units.json from units.yaml, with every factor worked out by pint in exact fractions.

Run `python builder/scripts/make_units.py` after a change to units.yaml; `--check` only says whether the table is fresh.
"""

import json
import sys
from fractions import Fraction
from itertools import product
from pathlib import Path
from typing import Any

import pint
import yaml

SOURCE = Path(__file__).with_name("units.yaml")
TARGET = Path(__file__).parents[1] / "benchleaf" / "model" / "units.json"

TYPED = {
    "·": ("·", "⋅", ".", " "),
    "²": ("²", "2", "^2"),
    "³": ("³", "3", "^3"),
    "µ": ("µ", "μ", "u"),
    "Ω": ("Ω", "\N{OHM SIGN}", "ohm", "Ohm"),
    "°C": ("°C", "degC", "℃"),
    "°F": ("°F", "degF", "℉"),
}
DIGITS = 34


def typed(spelling: str) -> list[str]:
    """The spelling itself and every way of typing it without its special characters."""
    parts: list[tuple[str, ...]] = []
    rest = spelling
    while rest:
        mark = next((mark for mark in sorted(TYPED, key=len, reverse=True) if rest.startswith(mark)), rest[0])
        parts.append(TYPED.get(mark, (mark,)))
        rest = rest[len(mark) :]
    return ["".join(choice) for choice in product(*parts)]


def written(number: Fraction, exact: bool) -> str:
    """The number as a decimal where that is finite, else as a fraction; `DIGITS` figures where it holds π."""
    if not exact:
        places = DIGITS - len(str(abs(number.numerator) // number.denominator))
        return written(Fraction(round(number * 10**places), 10**places), True)
    rest, places = number.denominator, 0
    while rest % 10 == 0:
        rest, places = rest // 10, places + 1
    for prime in (2, 5):
        while rest % prime == 0:
            rest, places = rest // prime, places + 1
    if rest != 1:
        return str(number)
    text = str(abs(number.numerator * 10**places // number.denominator)).rjust(places + 1, "0")
    whole, decimals = (text[:-places], text[-places:].rstrip("0")) if places else (text, "")
    return ("-" if number < 0 else "") + whole + (f".{decimals}" if decimals else "")


def magnitudes(registry: Any, expression: str, base: str) -> tuple[Fraction, Fraction]:
    """Factor and offset of a unit in terms of the base unit, asked of pint: where its zero and its one lie."""
    unit, target = registry.parse_units(expression), registry.parse_units(base)
    zero, one = (Fraction(registry.Quantity(Fraction(size), unit).to(target).magnitude) for size in (0, 1))
    return one - zero, zero


def table(source: dict[str, Any]) -> dict[str, Any]:
    """The whole of units.json as plain data; raises ValueError where two units claim one spelling."""
    registry: Any = pint.UnitRegistry(non_int_type=Fraction)
    shared = {frozenset(pair) for pair in source["shared"]}
    rows: list[list[Any]] = []
    spellings: dict[str, list[int]] = {}
    for dimension, entry in source["dimensions"].items():
        base = entry["units"][entry["base"]][0]
        for symbol, (expression, code, *further) in entry["units"].items():
            exact = symbol not in source["inexact"]
            factor, offset = magnitudes(registry, expression, base)
            for spelling in dict.fromkeys(way for name in (symbol, *further) for way in typed(name)):
                claims = spellings.setdefault(spelling, [])
                if any(frozenset((rows[claim][1], dimension)) not in shared for claim in claims[:1]):
                    raise ValueError(f"{spelling!r} is {symbol} ({dimension}) and {rows[claims[0]][0]}")
                claims.append(len(rows))
            rows.append([symbol, dimension, written(factor, exact), written(offset, exact), code, int(exact)])
    for wrong in source["mends"]:
        if wrong in spellings:
            raise ValueError(f"{wrong!r} is accepted and yet listed as wrong")
    return {
        "bases": {name: entry["base"] for name, entry in source["dimensions"].items()},
        "usual": {name: entry["usual"] for name, entry in source["dimensions"].items() if "usual" in entry},
        "units": rows,
        "spellings": spellings,
        "mends": source["mends"],
        "instead": source["instead"],
    }


def text() -> str:
    """What units.json must hold: compact JSON, one line for each of its parts."""
    whole = table(yaml.safe_load(SOURCE.read_text(encoding="utf-8")))
    parts = (f'"{name}":' + json.dumps(part, ensure_ascii=False, separators=(",", ":")) for name, part in whole.items())
    return "{" + ",\n".join(parts) + "}\n"


def main() -> int:
    """Write the table, or with `--check` compare it: 0 fresh, 1 stale."""
    fresh = text()
    if "--check" in sys.argv[1:]:
        return int(TARGET.read_text(encoding="utf-8") != fresh)
    TARGET.write_text(fresh, encoding="utf-8")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
