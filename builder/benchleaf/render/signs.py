"""Safety signs by their ISO 7010 number: our own drawings, and titles in our own words.

`signs/signs.json` says for each number what it means, and whether the number was seen in public text or comes
from memory.
"""

import json
from functools import cache
from typing import NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.render.fault import RenderFault


class Sign(NamedTuple):
    """A sign: its number, what it means in our words, and where the number is known from."""

    number: str
    title: str
    known: str


@cache
def signs() -> dict[str, Sign]:
    """All signs that have a drawing, by number."""
    rows = json.loads(table_text("render", "signs/signs.json"))["signs"]
    return {row["number"]: Sign(row["number"], row["title"], row["known"]) for row in rows}


def sign(number: str) -> Sign:
    """The sign with this number. Raises RenderFault when there is no drawing of it."""
    found = signs().get(number)
    if found is None:
        raise RenderFault(f"there is no drawing of the safety sign {number}")
    return found


@cache
def drawing(number: str) -> str:
    """The sign as an SVG document with a title. Raises RenderFault when there is no drawing of it."""
    return table_text("render", f"signs/{sign(number).number}.svg")
