"""Names inside texts: what is a name and what is words, and the `{blanks}` that a block or `each` leaves open."""

import re
from collections.abc import Mapping
from functools import cache
from itertools import islice, product
from typing import NamedTuple

MOST_VALUES = 200


class Blank(NamedTuple):
    """A `{name}` in a text, with its place in it."""

    name: str
    start: int
    end: int


@cache
def _identifier() -> re.Pattern[str]:
    return re.compile(r"[a-z][a-z0-9]*(?:-[a-z0-9]+)*")


@cache
def _blank() -> re.Pattern[str]:
    return re.compile(r"\{([a-z][a-z0-9]*(?:-[a-z0-9]+)*)\}")


@cache
def _span_of_numbers() -> re.Pattern[str]:
    return re.compile(r"([0-9]{1,4})\s*\.\.\s*([0-9]{1,4})")


def is_identifier(text: str) -> bool:
    """Whether the text is one name: lower-case words and digits joined by hyphens."""
    return _identifier().fullmatch(text) is not None


def blanks_in(text: str) -> tuple[Blank, ...]:
    """The blanks of a text, in order."""
    if "{" not in text:
        return ()
    return tuple(Blank(found[1], *found.span()) for found in _blank().finditer(text))


def filled(text: str, values: Mapping[str, str]) -> str:
    """The text with each blank that has a value replaced by it."""
    if "{" not in text:
        return text
    return _blank().sub(lambda found: values.get(found[1], found[0]), text)


def each_value(text: str) -> tuple[str, ...]:
    """What a blank of `each` stands for in turn: `1..8` gives the numbers, `left, right` the words.

    Empty for a range that runs backwards or has more than 200 values.
    """
    numbers = _span_of_numbers().fullmatch(text.strip())
    if numbers:
        first, last = int(numbers[1]), int(numbers[2])
        return tuple(str(number) for number in range(first, last + 1)) if 0 <= last - first < MOST_VALUES else ()
    return tuple(word.strip() for word in text.split(",") if word.strip())[:MOST_VALUES]


def spellings(text: str, each: Mapping[str, str]) -> tuple[str, ...]:
    """The texts, 200 at most, that a text with blanks of `each` stands for; itself where it has none of them."""
    names = [name for name in dict.fromkeys(blank.name for blank in blanks_in(text)) if name in each]
    if not names:
        return (text,)
    choices = [each_value(each[name]) for name in names]
    return tuple(
        filled(text, dict(zip(names, chosen, strict=True))) for chosen in islice(product(*choices), MOST_VALUES)
    )
