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
OCCASIONS = ("stays", "live", "charge", "charge-lithium", "handle-lithium", "lift", "moving", "hands", "relieving")


NEARNESSES = ("hands", "probe", "near", "controls", "senses")
SEVERITIES = ("grave", "slight", "none")


class WarningText(NamedTuple):
    """One row: what hurts, what it does, how to keep clear of it, with blanks for names and sizes.

    `severity` is grave (death or serious injury), slight (minor or moderate injury) or none (property only), from the
    `threshold` on where there is one; `below` is that under it, empty where nobody needs a warning. `likelihood` says
    by nearness whether it `will` or `could` come to that if it is not avoided. `signs` are ISO 7010 numbers.
    """

    severity: str
    likelihood: Mapping[str, str]
    hazard: str
    consequence: str
    avoidance: str
    signs: tuple[str, ...]
    source: str
    threshold: str = ""
    below: str = ""


class Limit(NamedTuple):
    """A published limit that a shop may tighten: in its dimension's base unit, as text, and which way is tighter."""

    name: str
    dimension: str
    size: float
    text: str
    tighter: str
    source: str


class Equip(NamedTuple):
    """A piece of protective equipment and its mandatory sign."""

    sign: str
    name: str


class Hazard(NamedTuple):
    """One kind of energy: sign, name, usual reach, warnings by occasion, equipment, aid; batteries by chemistry."""

    kind: str
    sign: str
    name: str
    reach: str
    warnings: Mapping[str, WarningText]
    gear: tuple[Equip, ...]
    gear_live: tuple[Equip, ...]
    emergency: tuple[str, ...]
    chemistry: Mapping[str, tuple[tuple[Equip, ...], tuple[str, ...]]]


def signal_word(severity: str, likelihood: str) -> str:
    """The signal word by the definitions of ANSI Z535.6 (from memory).

    Danger: will result in death or serious injury if not avoided; warning: could result in it; caution: could result in
    minor or moderate injury; notice: not about injury.
    """
    if severity == "grave":
        return "danger" if likelihood == "will" else "warning"
    return "caution" if severity == "slight" else "notice"


def _warning(row: Mapping[str, Any]) -> WarningText:
    return WarningText(
        row["severity"],
        row["likelihood"],
        row["hazard"],
        row["consequence"],
        row["avoidance"],
        tuple(row["signs"]),
        row["source"],
        row.get("threshold", ""),
        row.get("below", ""),
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
        row["reach"],
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
def limits() -> Mapping[str, Limit]:
    """The published limits of the tables by name."""
    rows = json.loads(table_text("trade/hazards", "limits.json"))
    return {
        name: Limit(name, row["dimension"], row["number"], row["size"], row["tighter"], row["source"])
        for name, row in rows.items()
    }


@cache
def hazard_words() -> Mapping[str, tuple[WarningText, Equip | None]]:
    """The hazards that no condition governs, by the word under which a step or part names them."""
    rows = json.loads(table_text("trade/hazards", "words.json"))
    return {
        name: (_warning(row), Equip(row["gear"]["sign"], row["gear"]["name"]) if "gear" in row else None)
        for name, row in rows.items()
    }
