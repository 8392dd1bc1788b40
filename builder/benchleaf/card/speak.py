"""A finished card, or a sheet around it, said in another language: its words and numbers, and nothing else of it."""

from collections.abc import Mapping
from typing import TypeVar

from benchleaf.base.said import ENGLISH, Said, Wording
from benchleaf.card.model import Person
from benchleaf.card.records import StepFacts

Record = TypeVar("Record")

# Fields by which programs know things. A text of the writer's may happen to be spelt like one of them.
KEPT = frozenset(
    [
        "action",
        "against",
        "black",
        "card",
        "decision",
        "digest",
        "end",
        "facts",
        "fastener",
        "file",
        "form",
        "format",
        "id",
        "instrument_key",
        "key",
        "kind",
        "language",
        "leave",
        "letter",
        "measure",
        "nearness",
        "of",
        "paper",
        "pattern",
        "red",
        "role",
        "rule",
        "sequence",
        "side",
        "sign",
        "signs",
        "stands",
        "start",
        "state",
        "to",
        "tool",
        "unit",
        "when",
        "word",
    ]
)
_WORDS_OF: Mapping[type, frozenset[str]] = {Person: frozenset(("role",))}


def speak(record: Record, wording: Wording) -> Record:
    """The record in this language. What decides (facts, ways, limits as numbers) stays as it is."""
    return record if wording == ENGLISH else _spoken(record, wording)


def _spoken(value: Record, wording: Wording) -> Record:
    if isinstance(value, str):
        return wording.speak(value)  # type: ignore[return-value]
    if not isinstance(value, tuple) or isinstance(value, StepFacts):
        return value
    names = getattr(value, "_fields", None)
    if names is None:
        return tuple(_spoken(each, wording) for each in value)  # type: ignore[return-value]
    words = _WORDS_OF.get(type(value), frozenset())
    changed = {
        name: wording.language if name == "language" else _spoken(each, wording)
        for name, each in zip(names, value, strict=True)
        if name == "language" or type(each) is Said or name not in KEPT or name in words
    }
    return value._replace(**changed)  # type: ignore[attr-defined, no-any-return]
