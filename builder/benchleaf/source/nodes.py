"""The nodes of a source file: values that know their place."""

from typing import Any, NamedTuple

from benchleaf.base.span import Span


class Node(NamedTuple):
    """A value with its place.

    `kind` and the type of `value`: `map` tuple[Entry, ...]; `list` tuple[Node, ...]; `text` str; `integer` int;
    `decimal` Decimal, which keeps `25.0` apart from `25`; `truth` bool; `nothing` None. `raw` is a scalar's text
    without its quotes; `quoted` tells whether it had any.
    """

    span: Span
    kind: str
    value: Any
    raw: str = ""
    quoted: bool = False

    def get(self, key: str) -> "Node | None":
        """The value of a map's key; None if the key is not there or this is no map."""
        if self.kind == "map":
            for entry in self.value:
                if entry.key == key:
                    node: Node = entry.node
                    return node
        return None

    def keys(self) -> tuple[str, ...]:
        """A map's keys as written; empty for anything else."""
        return tuple(entry.key for entry in self.value) if self.kind == "map" else ()

    def plain(self) -> Any:
        """The value as JSON has it, for validators: dict, list, str, int, float, bool, None."""
        if self.kind == "map":
            return {entry.key: entry.node.plain() for entry in self.value}
        if self.kind == "list":
            return [item.plain() for item in self.value]
        return float(self.value) if self.kind == "decimal" else self.value


class Entry(NamedTuple):
    """One key of a map and its value; keys are text, even those that look like numbers or truth values."""

    key: str
    key_span: Span
    node: Node


class Frame:
    """A map or list that is still open. A map whose `key_span` is None waits for a key."""

    __slots__ = ("anchor", "is_key", "items", "key", "key_span", "places", "start")

    def __init__(self, start: tuple[int, int], anchor: str | None, is_map: bool, is_key: bool) -> None:
        self.start = start
        self.anchor = anchor
        self.is_key = is_key
        self.items: list[Any] = []
        self.places: dict[str, Span] | None = {} if is_map else None
        self.key: str | None = None
        self.key_span: Span | None = None


def measure(node: Node, most: int) -> tuple[int, int]:
    """How many values a node holds, itself among them, and how many levels; counting stops beyond `most` values."""
    size = height = 0
    pending = [(node, 0)]
    while pending and size <= most:
        one, level = pending.pop()
        size += 1
        if one.kind == "map":
            pending += [(entry.node, level + 1) for entry in one.value]
        elif one.kind == "list":
            pending += [(item, level + 1) for item in one.value]
        height = max(height, level + (one.kind in ("map", "list")))
    return size, height


def brief(text: str) -> str:
    """A text cut to what a sentence can quote."""
    line = " ".join(text.split())
    return line if len(line) <= 40 else line[:37] + "..."
