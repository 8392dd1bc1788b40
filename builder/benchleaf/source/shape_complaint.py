"""A keyword of the schema that a value fails, with all that a sentence about it needs."""

from typing import Any, NamedTuple

from benchleaf.source.nodes import Entry, Node


class Complaint(NamedTuple):
    """A keyword of the schema that a value fails.

    `node` is the value, `entry` the key that holds it (None for an item of a list, and for the whole file), `parent`
    what it stands in. `schemas` are those parts of the schema that speak of this value, from the widest to the one
    whose `keyword` fails; `through` is the whole way there. For a key that is wrong itself, `node` is the map and
    `key` its entry. `facts` is what the keyword adds: the missing `property`, the `unexpected` keys, the `options`,
    the `limit`, the `types`.
    """

    keyword: str
    facts: dict[str, Any]
    path: tuple[str | int, ...]
    node: Node
    entry: Entry | None
    parent: Node | None
    key: Entry | None
    schemas: tuple[dict[str, Any], ...]
    through: tuple[str | int, ...]

    @property
    def schema(self) -> dict[str, Any]:
        """The part of the schema that the value fails."""
        return self.schemas[-1]

    @property
    def message(self) -> str:
        """What the schema itself says of values that fail it."""
        return str(self.schema.get("errorMessage", ""))
