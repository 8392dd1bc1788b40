"""YAML that a parser takes, but not as the writer sees it: lines and words that go astray without an error."""

import re
from collections.abc import Iterator

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.source import rules_tree as rules
from benchleaf.source.nodes import Node, brief
from benchleaf.source.trouble import LEAD, tab

_CUT = re.compile(r"[ \t]+#[^\s#]")


def swallowed(span: Span, lines: list[str]) -> Iterator[Finding]:
    """List items that became part of a plain text, which goes on from line to line at `span`."""
    for number in range(span.line, span.end_line):
        line = lines[number].rstrip()
        column = len(line) - len(line.lstrip())
        if line.startswith("- ", column):
            place = Span(span.file, number + 1, column + 1, number + 1, len(line) + 1)
            yield rules.SWALLOWED_ITEM.at(place, "This line was taken as more of the text above, not as an item.")


def indented_by_tabs(lines: list[str], scalars: list[Span], file: str) -> Iterator[Finding]:
    """Lines indented by a tab that the parser lets pass; within the texts at `scalars` a tab is just a character."""
    tabbed = [number for number, line in enumerate(lines, start=1) if "\t" in line]
    if not tabbed:
        return
    within = {row for span in scalars for row in range(span.line + 1, span.end_line + 1)}
    for number in tabbed:
        line = lines[number - 1]
        lead = LEAD.match(line)
        if lead and "\t" in lead.group() and lead.end() < len(line) and number not in within:
            yield tab(line, number, file)


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
