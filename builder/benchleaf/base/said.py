"""Words of our own that remember what they were made of, so that a finished card can be said in another language.

To everybody else they are plain English text. What is done to them with the means of plain text (joining, cutting,
formatting) makes them forget: join and head them by `row` and `capital`, and fill patterns by `fill`.
"""

import re
from collections.abc import Callable, Iterable, Mapping
from types import MappingProxyType
from typing import NamedTuple

_POINT = re.compile(r"(?<=\d)\.(?=\d)")
_TO = " to "
_NONE: Mapping[str, str] = MappingProxyType({})


class Said(str):
    """English text with its making.

    `kind`: pattern (`pattern` filled with `values`) | row (`values` with `pattern` between them) | number (a printed
    number or band) | capital (its one value with a capital first letter).
    """

    __slots__ = ("kind", "pattern", "values")
    kind: str
    pattern: str
    values: tuple[tuple[str, str], ...]

    def __reduce__(self) -> tuple[Callable[..., "Said"], tuple[str, str, str, tuple[tuple[str, str], ...]]]:
        return _made, (str(self), self.kind, self.pattern, self.values)


def _made(text: str, kind: str, pattern: str, values: tuple[tuple[str, str], ...]) -> Said:
    said = Said(text)
    said.kind, said.pattern, said.values = kind, pattern, values
    return said


def fill(pattern: str, **values: object) -> Said:
    """A fixed sentence or label with its blanks filled. KeyError for a blank without a value."""
    kept = tuple((name, value if isinstance(value, str) else str(value)) for name, value in values.items())
    return _made(pattern.format(**values), "pattern", pattern, kept)


def row(pieces: Iterable[str], between: str = " ") -> str:
    """Pieces behind each other; empty ones are left out."""
    kept = tuple(("", piece) for piece in pieces if piece)
    if len(kept) < 2:
        return kept[0][1] if kept else ""
    return _made(between.join(piece for _, piece in kept), "row", between, kept)


def number(text: str) -> Said:
    """A printed number or band, with its units: its decimal marks and its `to` are those of English."""
    return _made(text, "number", "", ())


def capital(text: str) -> str:
    """The text with a capital first letter and all else as it is."""
    raised = text[:1].upper() + text[1:]
    return raised if type(text) is str else _made(raised, "capital", "", (("", text),))


def listed(names: Iterable[str]) -> str:
    """Names as running text: `a`, `a and b`, `a, b and c`."""
    each = tuple(names)
    if len(each) < 2:
        return each[0] if each else ""
    return fill("{first} and {last}", first=row(each[:-1], ", "), last=each[-1])


def either(names: Iterable[str]) -> str:
    """Names of which one holds: `a`, `a or b`, `a, b or c`."""
    each = tuple(names)
    if len(each) < 2:
        return each[0] if each else ""
    return fill("{first} or {last}", first=row(each[:-1], ", "), last=each[-1])


class Wording(NamedTuple):
    """How to say things in a language; `ENGLISH` says them as they are.

    `patterns` are the fixed ones by their English text, `own` the translated texts of a procedure, its machine and its
    shop. `mark` is the decimal mark, `to` stands between the ends of a band. `direction`: ltr | rtl. `note` is what
    each page says of a wording that nobody has signed off; empty for one that stands. `digest` tells wordings apart.
    """

    language: str = "en"
    patterns: Mapping[str, str] = _NONE
    own: Mapping[str, str] = _NONE
    mark: str = "."
    to: str = "to"
    direction: str = "ltr"
    note: str = ""
    digest: str = ""

    def __hash__(self) -> int:
        """By what tells wordings apart: their texts are maps."""
        return hash((self.language, self.digest))

    def say(self, pattern: str, **values: object) -> str:
        """A fixed sentence or label in this language, its blanks filled."""
        return self.speak(fill(pattern, **values))

    def speak(self, text: str) -> str:
        """The same in this language; a text of the writer's as its translation has it, or as it stands."""
        if type(text) is not Said:
            return self.own.get(text, text)
        if text.kind == "number":
            return _POINT.sub(self.mark, text).replace(_TO, f" {self.to} ")
        spoken = [(name, self.speak(value)) for name, value in text.values]
        if text.kind == "row":
            return text.pattern.join(value for _, value in spoken)
        if text.kind == "capital":
            return spoken[0][1][:1].upper() + spoken[0][1][1:]
        return self.patterns.get(text.pattern, text.pattern).format(**dict(spoken))


ENGLISH = Wording()
