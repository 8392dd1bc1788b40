"""Light markdown: emphasis, code, lists and links are known to cards, and nothing else is."""

import re
from collections.abc import Iterator
from functools import cache

from benchleaf.passes.language_words import Stretch

_SIGNS = frozenset("<!#|>`~=*_[\\")
_BLOCKS = {
    "#": "a heading",
    "|": "a table",
    ">": "a quotation",
    "`": "a block of code",
    "~": "a block of code",
}


@cache
def _line_start() -> re.Pattern[str]:
    return re.compile(
        r"^[ ]{0,3}(#{1,6}(?=\s)|\|(?=.*\|)|>(?=\s)|```+|~~~+)|^[ ]{0,3}([-*_=])(?:[ ]*\2){2,}[ ]*$", re.M
    )


@cache
def _inline() -> re.Pattern[str]:
    return re.compile(r"!\[|</?[A-Za-z][^<>\n]*>|<!--")


@cache
def _code() -> re.Pattern[str]:
    return re.compile(r"`[^`\n]*`")


def foreign(text: str) -> Iterator[tuple[Stretch, str]]:
    """Marks that cards do not know, each with its name."""
    if _SIGNS.isdisjoint(text):
        return
    for found in _line_start().finditer(text):
        yield _stretch(text, *found.span()), _BLOCKS.get((found[1] or "")[:1], "a line across the page")
    plain = _code().sub(lambda code: " " * len(code[0]), text)
    for found in _inline().finditer(plain):
        name = "a picture" if found[0] == "![" else "HTML"
        yield _stretch(text, *found.span()), name


def unbalanced(text: str) -> Iterator[tuple[Stretch, str]]:
    """Marks that open and never close."""
    if "`" in text and text.count("`") % 2:
        where = text.rindex("`")
        yield _stretch(text, where, where + 1), "`"
        return
    plain = _code().sub(lambda code: " " * len(code[0]), text)
    stars = [found for found in re.finditer(r"\*+", plain) if _is_emphasis(plain, *found.span())]
    if sum(len(found[0]) for found in stars) % 2 or sum(len(found[0]) >= 2 for found in stars) % 2:
        yield _stretch(text, *stars[-1].span()), stars[-1][0]


def _is_emphasis(text: str, start: int, end: int) -> bool:
    """A star with space on both sides is a sign, one at the start of a line with a space behind it a list item."""
    before = text[start - 1] if start else "\n"
    after = text[end] if end < len(text) else "\n"
    return not (before.isspace() and after.isspace())


def _stretch(text: str, start: int, end: int) -> Stretch:
    return Stretch(text[start:end], start, end)
