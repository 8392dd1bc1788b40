"""A parser's complaint with the text around it, and the places in that text."""

import re
from typing import NamedTuple

from benchleaf.base.finding import Finding, Related
from benchleaf.base.span import Span
from benchleaf.source import rules_tree as rules

_WORD = re.compile(r"\S+")
LEAD = re.compile(r"[ \t]*(?:[-?:][ \t]+)*")


class Trouble(NamedTuple):
    """A parser's complaint: what it was doing since `began`, and what stopped it at `at` (lines and columns from 0)."""

    text: str
    file: str
    lines: list[str]
    doing: str
    problem: str
    began: tuple[int, int] | None
    at: tuple[int, int]

    @property
    def line(self) -> str:
        """The line that stopped the parser."""
        return self.lines[self.at[0]]

    @property
    def before(self) -> str:
        """What stands in the same line before the place that stopped the parser."""
        return self.line[: self.at[1]].rstrip()

    @property
    def here(self) -> str:
        """The character that stopped the parser; empty at the end of a line."""
        return self.line[self.at[1] : self.at[1] + 1]

    @property
    def start(self) -> tuple[int, int]:
        """Where what went wrong began, as far as the parser knows."""
        return self.at if self.began is None else self.began

    def tell(self, sentence: str, mend: str = "", *, place: tuple[int, int] | None = None, since: str = "") -> Finding:
        """The finding, at `place` or else where the parser stopped; `since` says what began at `start`."""
        related = (Related(word(self.text, self.file, *self.start), since),) if since and self.began else ()
        span = word(self.text, self.file, *(place or self.at))
        return rules.SYNTAX.at(span, sentence, mend=mend, related=related)


def tab(line: str, number: int, file: str) -> Finding:
    """The finding for a line indented by a tab."""
    column = line.find("\t") + 1 or 1
    return rules.TAB.at(Span(file, number, column, number, column + 1), "A tab indents this line; indent with spaces.")


def word(text: str, file: str, line: int, column: int) -> Span:
    """The place of the word that starts at a line and column counted from 0."""
    lines = text.split("\n", line + 1)
    match = _WORD.match(lines[line], column)
    end = match.end() if match else min(column + 1, max(column, len(lines[line])))
    return Span(file, line + 1, column + 1, line + 1, end + 1)


def indent_of(line: str) -> int:
    """The column, counted from 0, of what a line holds after indentation and dashes."""
    match = LEAD.match(line)
    return match.end() if match else 0
