"""YAML that is right, but most likely not what the writer sees: lines and words that went astray without an error."""

import re
from collections.abc import Iterator

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.source import rules_tree as rules
from benchleaf.source.nodes import Node, brief

_CUT = re.compile(r"[ \t]+#[^\s#]")


def swallowed(span: Span, lines: list[str]) -> Iterator[Finding]:
    """List items that became part of a plain text, which goes on from line to line at `span`."""
    for number in range(span.line, span.end_line):
        line = lines[number].rstrip()
        column = len(line) - len(line.lstrip())
        if line.startswith("- ", column):
            place = Span(span.file, number + 1, column + 1, number + 1, len(line) + 1)
            yield rules.SWALLOWED_ITEM.at(place, "This line was taken as more of the text above, not as an item.")


def cut(node: Node, text: str) -> Iterator[Finding]:
    """Plain texts below `node` that end where a `#` that touches its next word begins a comment."""
    if not _CUT.search(text):
        return
    lines = text.split("\n")
    for span in _plain_texts(node):
        line = lines[span.end_line - 1].rstrip()
        if _CUT.match(line, span.end_column - 1):
            column = line.index("#", span.end_column - 1) + 1
            place = Span(span.file, span.end_line, column, span.end_line, len(line) + 1)
            sentence = f"`{brief(line[column - 1 :])}` is read as a comment, not as part of the text before it."
            yield rules.CUT_TEXT.at(place, sentence)


def _plain_texts(node: Node) -> Iterator[Span]:
    pending = [node]
    while pending:
        one = pending.pop()
        if one.kind == "map":
            pending += [entry.node for entry in one.value]
        elif one.kind == "list":
            pending += one.value
        elif one.kind == "text" and not one.quoted:
            yield one.span
