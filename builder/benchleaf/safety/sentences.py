"""The fixed sentences of inserted steps, kept as data so that they can be reviewed and translated in one place."""

import json
import re
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


def blanks(key: str, text: str) -> dict[str, str] | None:
    """What fills the blanks where `text` is the sentence of this key, None where it is another; undoes `say`."""
    pattern = re.sub(r"\\\{(\w+)\\\}", r"(?P<\1>.+?)", re.escape(_sentences()[key]))
    found = re.fullmatch(pattern, text)
    return found.groupdict() if found else None
