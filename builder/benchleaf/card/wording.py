"""The fixed words of a card, kept as data so that they can be reviewed and translated in one place."""

import json
from functools import cache

from benchleaf.base.resources import table_text
from benchleaf.base.said import fill


@cache
def _table() -> dict[str, dict[str, str]]:
    table: dict[str, dict[str, str]] = json.loads(table_text("card", "wording.json"))
    return table


def word(group: str, key: str, **values: object) -> str:
    """A fixed sentence or label with its blanks filled; KeyError for one that does not exist."""
    return fill(_table()[group][key], **values)


def has_word(group: str, key: str) -> bool:
    """Whether there is such a fixed sentence."""
    return key in _table()[group]
