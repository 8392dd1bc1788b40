"""What is known of dimensions and kinds of measurement beyond their units (`quantities.json`).

The table is common practice, no source.
"""

import json
from functools import cache
from typing import Any

from benchleaf.base.resources import table_text
from benchleaf.model.quantity import Quantity, parse


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("passes", "quantities.json"))
    return table


def ranges_for(kind: str) -> tuple[str, ...]:
    """The kinds of range with which a kind of measurement can be read, its own first."""
    return (kind, *_table()["also_read_by"].get(kind, ()))


def difference_of(dimension: str) -> str:
    """The dimension of the difference of two values: that of two temperatures is no temperature."""
    return str(_table()["difference_of"].get(dimension, dimension))


@cache
def _names(key: str) -> frozenset[str]:
    return frozenset(_table()[key])


def never_negative(dimension: str) -> bool:
    """Whether a size of this dimension below zero does not exist."""
    return dimension in _names("never_negative")


def reading_may_be_negative(dimension: str) -> bool:
    """Whether a reading of it may count both ways from its zero, though a size may not: a shift, a pull, a twist."""
    return dimension in _names("signed_readings")


def on_a_scale(dimension: str) -> bool:
    """Whether zero is a place on a scale rather than nothing at all."""
    return dimension in _names("on_a_scale")


def usual_input_resistance() -> float:
    """The input resistance in Ω of a multimeter whose own is not stated."""
    found = parse(str(_table()["usual_input_resistance"]), "resistance")
    assert isinstance(found, Quantity)
    return found.number()


def never_compared(text: str) -> bool:
    """Whether a name speaks of a winding, a contact or insulation, whose resistance says nothing of another's."""
    words = text.casefold().replace("-", " ").split()
    return not _names("own_resistance").isdisjoint(words)


def counts_up_only(kind: str) -> bool:
    """Whether a kind of measurement has no reading below zero though its dimension has."""
    return kind in _names("counts_up_only")
