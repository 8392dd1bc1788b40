"""The kinds of measurement: what each is called, its dimension, whether power must be on, how close it brings a person.

The table `measures.json` is common practice, no source; what a step says of itself (`power`, `by`) goes before it.
"""

import json
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, Literal, NamedTuple

from benchleaf.base.resources import table_text

Power = Literal["on", "off", "either"]
Nearness = Literal["near", "probe", "hands"]


class Measure(NamedTuple):
    """A kind of measurement.

    `power` is what the reading wants of the machine, `near` how close it brings a person where nothing else is said
    of the instrument, `label` and `instrument` are words for people.
    """

    kind: str
    label: str
    dimension: str
    power: Power
    near: Nearness
    instrument: str


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("model", "measures.json"))
    return table


@cache
def measures() -> Mapping[str, Measure]:
    """Kind, such as `dc-voltage`, to what is known of it."""
    return MappingProxyType({kind: Measure(kind, *row) for kind, row in _table()["measures"].items()})


@cache
def nearness_by() -> Mapping[str, Nearness]:
    """How close a measurement brings a person by what it is made with: `clamp`, `installed gauge`, `tape`, …"""
    return MappingProxyType(_table()["by"])
