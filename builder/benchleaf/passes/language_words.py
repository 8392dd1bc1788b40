"""Sentences and words of a text, counted as ASD-STE100 counts them.

A group with hyphens is one word, a number with its unit is one word, and a text in brackets is a sentence of its own
(counting rules from memory).
"""

import json
import re
from functools import cache
from typing import Any, NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.model.units import find


class Stretch(NamedTuple):
    """A part of a text with its place in it."""

    text: str
    start: int
    end: int


@cache
def table() -> dict[str, Any]:
    """The word lists (`language.json`; common practice, no source)."""
    made: dict[str, Any] = json.loads(table_text("passes", "language.json"))
    return made


@cache
def words_of(key: str) -> frozenset[str]:
    """One of the word lists."""
    return frozenset(table()[key])


@cache
def _sentence_end() -> re.Pattern[str]:
    return re.compile(r"[.!?]+[\"'”’*_`)]*(?=\s|$)|\n[ \t]*(?=\n|[-*•][ \t]|[0-9]+[.)][ \t])")


@cache
def _brackets() -> re.Pattern[str]:
    return re.compile(r"\([^()]*\)")


@cache
def _token() -> re.Pattern[str]:
    return re.compile(r"\S+")


@cache
def _number() -> re.Pattern[str]:
    return re.compile(r"[+\-−±]?[0-9]+(?:[.,][0-9]+)*")


@cache
def _number_with_unit() -> re.Pattern[str]:
    number = r"(?<![\w.,/-])([+\-−±]?[0-9]+(?:[.,][0-9]+)?)[ \u00a0\u2009\u202f]?"
    ends = '\\s,;:!?()\\[\\]"“”*`'
    return re.compile(f"{number}([^0-9.'{ends}][^{ends}]*)")


def sentences(text: str) -> tuple[Stretch, ...]:
    """The sentences of a text; items of a list are sentences too."""
    found: list[Stretch] = []
    start = 0
    for mark in _sentence_end().finditer(text):
        if mark[0][0] == "." and _goes_on(text, start, mark.start(), mark.end()):
            continue
        _add(found, text, start, mark.end())
        start = mark.end()
    _add(found, text, start, len(text))
    return tuple(found)


def _goes_on(text: str, start: int, stop: int, end: int) -> bool:
    """Whether the point ends an abbreviation rather than a sentence."""
    word = text[max(start, text.rfind(" ", start, stop) + 1) : stop + 1].lstrip("(").lower()
    following = text[end:].lstrip()[:1]
    return word in words_of("abbreviations") or following.islower()


def _add(found: list[Stretch], text: str, start: int, end: int) -> None:
    inner = text[start:end].strip(" \t\n-*•")
    if any(letter.isalnum() for letter in inner):
        first = text.index(inner, start)
        whole = text[first:end].rstrip()
        found.append(Stretch(whole, first, first + len(whole)))


def count(sentence: str) -> int:
    """The words of a sentence without what stands in brackets; those of its longest bracket if they are more."""
    inside = [_count(bracket[1:-1]) for bracket in _brackets().findall(sentence)] if "(" in sentence else []
    outside = _count(_brackets().sub(" ", sentence)) if inside else _count(sentence)
    return max(outside, *inside) if inside else outside


def _count(text: str) -> int:
    words = 0
    after_number = False
    for token in text.split():
        bare = token.strip(".,;:!?\"'“”‘’*_`[]()")
        if after_number and bare and find(bare) is not None:
            after_number = False
            continue
        if any(letter.isalnum() for letter in bare):
            words += 1
        after_number = _number().fullmatch(bare) is not None
    return words


def tokens(text: str) -> tuple[Stretch, ...]:
    """The words of a text in small letters, without the marks around them."""
    made = []
    for found in _token().finditer(text):
        bare = found[0].strip(".,;:!?\"'“”‘’*_`()[]")
        if bare:
            start = found.start() + found[0].index(bare)
            made.append(Stretch(bare.lower(), start, start + len(bare)))
    return tuple(made)


def numbers_with_units(text: str) -> tuple[Stretch, ...]:
    """Quantities in running text: a number and a unit that the unit table knows."""
    if not any(letter.isdigit() for letter in text):
        return ()
    made = []
    for found in _number_with_unit().finditer(text):
        unit = found[2].rstrip(".")
        if unit not in words_of("not_units") and find(unit) is not None:
            end = found.end() - (len(found[2]) - len(unit))
            made.append(Stretch(text[found.start() : end], found.start(), end))
    return tuple(made)
