"""The fixed sentences of inserted steps, kept as data so that they can be reviewed and translated in one place."""

import json
from functools import cache

from benchleaf.base.resources import table_text
from benchleaf.base.said import fill


@cache
def _sentences() -> dict[str, str]:
    table: dict[str, str] = json.loads(table_text("safety", "sentences.json"))
    return table


def say(key: str, **values: str) -> str:
    """The sentence of this key with its blanks filled; KeyError for a key or blank that does not exist."""
    return fill(_sentences()[key], **values)


def has_sentence(key: str) -> bool:
    """Whether there is such a sentence."""
    return key in _sentences()
