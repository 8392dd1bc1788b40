"""The units in which a reading may be entered, with exact factors to the unit in which its limit is written.

`offered.json` names for each dimension what meters of the trade show (common practice, no source); the limit's own unit
is always among them.
"""

import json
from functools import cache
from typing import NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.model.measures import measures
from benchleaf.model.quantity import Quantity, parse
from benchleaf.model.units import Unit, find


class Offered(NamedTuple):
    """A unit: a value v in it is `v * times + plus` in the limit's unit; both as exact fractions, `9/5`."""

    symbol: str
    times: str
    plus: str


@cache
def offered(symbol: str, measure: str) -> tuple[Offered, ...]:
    """What may be chosen for a reading whose limit is written in `symbol`; that unit alone where none is its like."""
    known = measures().get(measure)
    own = find(symbol, known.dimension if known else None) or find(symbol)
    if own is None:
        return (Offered(symbol, "1", "0"),)
    others = (find(name, own.dimension) for name in _table().get(own.dimension, ()))
    units = [unit for unit in others if unit is not None]
    if own.symbol not in [unit.symbol for unit in units]:
        units.append(own)
    return tuple(_to(unit, own) for unit in units)


def _to(unit: Unit, own: Unit) -> Offered:
    return Offered(unit.symbol, str(unit.factor / own.factor), str((unit.offset - own.offset) / own.factor))


@cache
def _table() -> dict[str, list[str]]:
    table: dict[str, list[str]] = json.loads(table_text("card", "offered.json"))
    return table


def seconds(text: str) -> int:
    """A time as a card prints it (`60 min`, `1 h (60 min)`), in whole seconds, rounded up; 0 for text without one."""
    found = parse(text.partition(" (")[0].replace("\u202f", " ").replace(",", "."))
    if not isinstance(found, Quantity) or found.dimension != "time":
        return 0
    return -int(-found.to("s") // 1)
