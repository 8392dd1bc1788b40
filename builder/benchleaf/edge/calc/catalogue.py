"""What each calculation takes and gives (`calcs.json`): names, keys, kinds of value, bounds, results with units."""

import json
from collections.abc import Mapping
from functools import cache
from typing import NamedTuple

from benchleaf.base.resources import table_text


class Key(NamedTuple):
    """One key of a calculation.

    `kind` is a dimension of quantities, or a form of its own (`thread`, `whole`, `word` …). `above` and `least` bound
    the value in the dimension's base unit; `unless` names keys beside which this one has no place.
    """

    name: str
    kind: str
    about: str
    may: bool
    default: str
    above: float | None
    least: float | None
    unless: tuple[str, ...]
    words: tuple[str, ...]


class Calculation(NamedTuple):
    """A calculation: keys in order, results with their units, and which keys go together.

    Of each tuple in `either` one key must stand, of each in `together` all or none. `parts` says by the value of
    the key `chooser` which of the other keys are needed; `defaults` fills those that may be left out.
    """

    name: str
    does: str
    keys: tuple[Key, ...]
    results: Mapping[str, str]
    example: str
    either: tuple[tuple[str, ...], ...]
    together: tuple[tuple[str, ...], ...]
    chooser: str
    parts: Mapping[str, tuple[str, ...]]
    defaults: Mapping[str, str]

    def key(self, name: str) -> Key | None:
        """The key of that name; None where there is none."""
        return next((key for key in self.keys if key.name == name), None)


@cache
def calculations() -> dict[str, Calculation]:
    """All calculations by name, in the order in which they are listed."""
    found = {}
    for name, row in json.loads(table_text("edge/calc", "calcs.json")).items():
        parts = dict(row.get("by", {}))
        found[name] = Calculation(
            name,
            row["does"],
            tuple(_key(each) for each in row["keys"]),
            row["results"],
            f"benchleaf calc {row['example']}",
            tuple(map(tuple, row.get("either", ()))),
            tuple(map(tuple, row.get("together", ()))),
            parts.pop("key", ""),
            {choice: tuple(keys) for choice, keys in parts.items()},
            row.get("defaults", {}),
        )
    return found


def _key(row: dict[str, object]) -> Key:
    return Key(
        str(row["name"]),
        str(row["is"]),
        str(row["about"]),
        bool(row.get("may")),
        str(row.get("default", "")),
        _bound(row.get("above")),
        _bound(row.get("least")),
        _names(row.get("unless")),
        _names(row.get("words")),
    )


def _bound(value: object) -> float | None:
    return float(value) if isinstance(value, int | float) else None


def _names(value: object) -> tuple[str, ...]:
    return tuple(map(str, value)) if isinstance(value, list) else ()
