"""What each kind of energy does to people, and what keeps them from it: a data file a kind, rows with source."""

import json
from collections.abc import Mapping
from functools import cache
from typing import Any, NamedTuple

from benchleaf.base.resources import table_text

KINDS = (
    "battery",
    "mains",
    "dc",
    "capacitor",
    "spring",
    "height",
    "hydraulic",
    "pneumatic",
    "motion",
    "heat",
    "chemical",
)
OCCASIONS = ("stays", "live", "charge", "charge-lithium", "lift", "moving", "hands", "relieving")


class WarningText(NamedTuple):
    """The wording of one warning with blanks for names and sizes; `signs` are ISO 7010 numbers."""

    word: str
    hazard: str
    consequence: str
    avoidance: str
    signs: tuple[str, ...]
    source: str


class Equip(NamedTuple):
    """A piece of protective equipment and its mandatory sign."""

    sign: str
    name: str


class Hazard(NamedTuple):
    """One kind of energy: sign, name, warnings by occasion, equipment, first aid; a battery also by chemistry."""

    kind: str
    sign: str
    name: str
    warnings: Mapping[str, WarningText]
    gear: tuple[Equip, ...]
    gear_live: tuple[Equip, ...]
    emergency: tuple[str, ...]
    chemistry: Mapping[str, tuple[tuple[Equip, ...], tuple[str, ...]]]


def _warning(row: Mapping[str, Any]) -> WarningText:
    return WarningText(
        row["word"], row["hazard"], row["consequence"], row["avoidance"], tuple(row["signs"]), row["source"]
    )


def _equipment(rows: list[Mapping[str, str]]) -> tuple[Equip, ...]:
    return tuple(Equip(row["sign"], row["name"]) for row in rows)


@cache
def hazard(kind: str) -> Hazard:
    """The table of one kind of energy; KeyError for a kind that is none of `KINDS`."""
    if kind not in KINDS:
        raise KeyError(kind)
    row = json.loads(table_text("trade/hazards", f"{kind}.json"))
    return Hazard(
        kind,
        row["sign"],
        row["name"],
        {occasion: _warning(row[occasion]) for occasion in OCCASIONS if occasion in row},
        _equipment(row.get("gear", [])),
        _equipment(row.get("gear_live", [])),
        tuple(row.get("emergency", [])),
        {
            name: (_equipment(each.get("gear", [])), tuple(each.get("emergency", [])))
            for name, each in row.get("chemistry", {}).items()
        },
    )


@cache
def hazard_words() -> Mapping[str, tuple[WarningText, Equip | None]]:
    """The hazards that no condition governs, by the word under which a step or part names them."""
    rows = json.loads(table_text("trade/hazards", "words.json"))
    return {
        name: (_warning(row), Equip(row["gear"]["sign"], row["gear"]["name"]) if "gear" in row else None)
        for name, row in rows.items()
    }
