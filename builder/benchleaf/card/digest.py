"""The digest of a card: SHA-256 over the canonical JSON (RFC 8785) of all that it says, and of nothing else.

What is left out: the state and what follows from signatures, which are computed; the paper, which is layout; and the
version of the tool. Text, lists and maps that are empty are left out too, so that a field that comes later changes no
digest of a card that does not use it; the machine's facts, which have no fixed fields, are kept as they are.
"""

from collections.abc import Mapping
from hashlib import sha256
from typing import Any

import rfc8785

from benchleaf.card.model import Card, plain

OUTSIDE = frozenset({"state", "tool", "paper", "flags", "history"})
FACTS = "facts"


def canonical(data: Any) -> bytes:
    """Plain data as canonical JSON (RFC 8785). ValueError for what that can't hold, such as integers beyond 2^53."""
    return rfc8785.dumps(data)


def content(card: Card | Mapping[str, Any]) -> dict[str, Any]:
    """What is signed of a card, from its record or from its plain data."""
    data = plain(card) if isinstance(card, Card) else card
    signed = _members({key: value for key, value in data.items() if key not in (*OUTSIDE, FACTS)})
    return signed | ({FACTS: dict(data[FACTS])} if data.get(FACTS) else {})


def digest(card: Card | Mapping[str, Any]) -> str:
    """The digest of a card, in hexadecimal; the same for its record and for its plain data."""
    return of_bytes(canonical(content(card)))


def of_bytes(content: bytes) -> str:
    """SHA-256 in hexadecimal."""
    return sha256(content).hexdigest()


def _full(value: Any) -> Any:
    if isinstance(value, Mapping):
        return _members(value)
    if isinstance(value, list | tuple):
        return [_full(item) for item in value]
    return value


def _members(data: Mapping[str, Any]) -> dict[str, Any]:
    # What holds nothing but what is empty is empty itself, so that leaving out twice leaves out no more than once.
    full = {str(key): _full(value) for key, value in data.items()}
    return {key: value for key, value in full.items() if not _empty(value)}


def _empty(value: Any) -> bool:
    return value is None or value is False or value == "" or (isinstance(value, list | tuple | Mapping) and not value)
