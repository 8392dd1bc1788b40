"""Restricted YAML to nodes that know their place: `read` never raises and never guesses.

YAML 1.2.2 by its core schema, without tags, merge keys and a second document; aliases only within bounds.
"""

import re
from bisect import bisect_right
from collections.abc import Callable
from itertools import accumulate, islice
from typing import Any, NamedTuple

from yaml.error import YAMLError
from yaml.events import (
    AliasEvent,
    DocumentStartEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from benchleaf.base.finding import Finding, Related, in_order
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.source import rules_tree as rules
from benchleaf.source import syntax
from benchleaf.source.lookalikes import cut, indented_by_tabs, swallowed
from benchleaf.source.nodes import Entry, Frame, Node, brief, measure
from benchleaf.source.parsers import Parser
from benchleaf.source.rules_text import UNWELCOME_CHARACTER
from benchleaf.source.scalars import MAY_NOT_BE_TEXT, OutOfRange, resolve
from benchleaf.source.text import normal, unprintable, unwelcome
from benchleaf.source.trouble import word

__all__ = ["DEEPEST", "LARGEST_ALIAS", "LARGEST_EXPANSION", "Entry", "Node", "Read", "read"]

DEEPEST = 64
LARGEST_ALIAS = 100
LARGEST_EXPANSION = 1000
MOST_FINDINGS = 100

_Place = tuple[int, int]
# Both parsers give marks to every event; the type stubs leave them open.
_Event = Any
_BLANKS_WITH_TAB = r"(?m)^[ ]*\t[ \t]*$"
# Anchors and tags, with what may stand between them and their value.
_PROPERTIES = r"(?:[&!]\S*(?:\s+|#[^\n]*\n)*)*"


class Read(NamedTuple):
    """What a text holds; `node` is None where the findings leave its meaning open."""

    node: Node | None
    findings: tuple[Finding, ...]


def read(text: str, file: str) -> Read:
    """Parse a text that findings call `file`."""
    text = normal(text)
    findings = unwelcome(text, file)
    return Read(None, findings) if findings else _Composer(text, file).compose()


class _Stop(Exception):
    """Reading on would only bring follow-up findings."""


class _Composer:
    def __init__(self, text: str, file: str) -> None:
        # A line of blanks holds nothing, also where a tab among them would stop the parser.
        self.text = re.sub(_BLANKS_WITH_TAB, "", text) if "\t" in text else text
        self.file = file
        self.findings: list[Finding] = []
        self.open_question = False
        self.stack: list[Frame] = []
        self.anchors: dict[str, Node | None] = {}
        self.expanded = 0
        self.documents = 0
        self.root: Node | None = None
        self.long_scalars: list[Span] = []
        self.long_plain: list[Span] = []
        self.line_starts: list[int] = []

    def compose(self) -> Read:
        try:
            self._walk(Parser(self.text).get_event)
            self._afterwards()
        except YAMLError as error:
            self.open_question = True
            self.findings.append(syntax.told(error, self.text, self.file))
        except _Stop:
            pass
        if not self.findings and (self.root is None or self.root.kind == "nothing"):
            self._refuse(rules.EMPTY_FILE, Span(self.file), "This file holds nothing.")
        return Read(None if self.open_question else self.root, in_order(self.findings))

    def _walk(self, next_event: Callable[[], Any]) -> None:
        while True:
            event = next_event()
            kind = type(event)
            if kind is ScalarEvent:
                self._scalar(event)
            elif kind is MappingStartEvent or kind is SequenceStartEvent:
                self._start(event, kind is MappingStartEvent)
            elif kind is MappingEndEvent or kind is SequenceEndEvent:
                self._end(event)
            elif kind is AliasEvent:
                self._alias(event)
            elif kind is DocumentStartEvent:
                self._document(event)
            elif kind is StreamEndEvent:
                return

    def _document(self, event: _Event) -> None:
        self.documents += 1
        place = self._span(event)
        if self.documents > 1:
            self._refuse(rules.SEVERAL_DOCUMENTS, place, "A second document begins here; a file holds one.")
            raise _Stop
        if event.tags or event.version not in (None, (1, 2)):
            self._refuse(rules.DIRECTIVE, place, "This directive asks for another reading than YAML 1.2.")

    def _scalar(self, event: _Event) -> None:
        first, last = event.start_mark, event.end_mark
        line, column, end_line, end_column = first.line + 1, first.column + 1, last.line + 1, last.column + 1
        if event.anchor is not None or event.tag is not None:
            line, column = self._content(event)
        style = event.style
        raw = event.value
        if style == "|" or style == ">":
            end_line, end_column = self._place(first.index + len(self.text[first.index : last.index].rstrip()))
        elif not raw and not style and last.index >= len(self.text):
            # At the end libyaml counts one line more than there is.
            line, column = end_line, end_column = self._place(len(self.text))
        span = Span(self.file, line, column, end_line, end_column)
        if end_line != line:
            (self.long_scalars if style else self.long_plain).append(span)
        if self._awaits_key():
            self._key(self.stack[-1], span, raw, bare=not style)
            if event.anchor is not None:
                self.anchors[event.anchor] = Node(span, "text", raw, raw, bool(style))
        elif style:
            if style == '"' and (name := unprintable(raw)):
                sentence = f"This text holds {name}, written as a code, which cannot be printed."
                self._refuse(UNWELCOME_CHARACTER, span, sentence)
            self._add(Node(span, "text", raw, raw, True), event.anchor)
        elif raw and raw[0] not in MAY_NOT_BE_TEXT:
            self._add(Node(span, "text", raw, raw), event.anchor)
        else:
            self._add(self._resolved(span, raw), event.anchor)

    def _resolved(self, span: Span, raw: str) -> Node:
        try:
            kind, value = resolve(raw)
        except OutOfRange:
            kind, value = "text", raw
            sentence = f"`{brief(raw)}` is beyond what a measured or counted number can be."
            self._refuse(rules.NUMBER_OUT_OF_RANGE, span, sentence)
        return Node(span, kind, value, raw)

    def _key(self, frame: Frame, span: Span, raw: str, *, bare: bool) -> None:
        """Take a scalar as the next key; where it can't be one, `key` stays None and its value will be dropped."""
        places = frame.places if frame.places is not None else {}
        frame.key_span = span
        if bare and raw == "<<":
            self._refuse(rules.MERGE_KEY, span, "`<<` would merge another map in here; write the keys out.")
        elif not raw or "\n" in raw:
            self._refuse(rules.KEY_NOT_TEXT, span, "A key is one line of text." if raw else "A key is missing here.")
        elif raw in places:
            related = (Related(places[raw], "It stands here first."),)
            sentence = f"The key `{brief(raw)}` stands twice in the same map."
            self._tell(rules.DUPLICATE_KEY.at(span, sentence, related=related))
        else:
            frame.key = raw
            places[raw] = span

    def _start(self, event: _Event, is_map: bool) -> None:
        first = event.start_mark
        start = (first.line + 1, first.column + 1)
        if event.anchor is not None or event.tag is not None:
            start = self._content(event)
        if event.anchor is not None:
            self.anchors[event.anchor] = None
        if len(self.stack) == DEEPEST:
            sentence = f"Here the nesting grows deeper than {DEEPEST} levels."
            self._refuse(rules.TOO_DEEP, self._span(event), sentence)
            raise _Stop
        is_key = self._awaits_key()
        if is_key:
            sentence = f"A key is one line of text, not a {'map' if is_map else 'list'}."
            self._refuse(rules.KEY_NOT_TEXT, self._span(event), sentence)
        self.stack.append(Frame(start, event.anchor, is_map, is_key))

    def _end(self, event: _Event) -> None:
        frame = self.stack.pop()
        first, last = event.start_mark, event.end_mark
        items = tuple(frame.items)
        # A block, or a single pair in a list, has no closing bracket: it ends where its last item does.
        if first.index != last.index and self.text[first.index] in "]}":
            end = (last.line + 1, last.column + 1)
        elif items:
            span = items[-1].span if frame.places is None else items[-1].node.span
            end = (span.end_line, span.end_column)
        else:
            end = (first.line + 1, first.column + 1)
        kind = "list" if frame.places is None else "map"
        node = Node(Span(self.file, *frame.start, *end), kind, items)
        if frame.is_key:
            self.stack[-1].key_span = node.span
        else:
            self._add(node, frame.anchor)

    def _alias(self, event: _Event) -> None:
        span = self._span(event)
        name = event.anchor
        node = self.anchors.get(name)
        if self._awaits_key():
            self._refuse(rules.KEY_NOT_TEXT, span, "A key is one line of text, not an alias.")
            self.stack[-1].key_span = span
            return
        if node is None:
            node = Node(span, "nothing", None)
            if name in self.anchors:
                self._refuse(rules.ALIAS_IN_ITSELF, span, f"`*{brief(name)}` stands within what it would repeat.")
            else:
                self._refuse(rules.ALIAS_UNKNOWN, span, f"No `&{brief(name)}` stands above this alias.")
        size, height = measure(node, LARGEST_ALIAS)
        self.expanded += size
        if size > LARGEST_ALIAS or self.expanded > LARGEST_EXPANSION:
            sentence = (
                f"`*{brief(name)}` repeats too much: at most {LARGEST_ALIAS} values, {LARGEST_EXPANSION} in a file."
            )
            self._refuse(rules.ALIAS_TOO_LARGE, span, sentence)
            raise _Stop
        if len(self.stack) + height > DEEPEST:
            self._refuse(rules.TOO_DEEP, span, f"Here the nesting grows deeper than {DEEPEST} levels.")
            raise _Stop
        self._add(node._replace(span=span), None)

    def _add(self, node: Node, anchor: str | None) -> None:
        if anchor is not None:
            self.anchors[anchor] = node
        if not self.stack:
            self.root = node
            return
        frame = self.stack[-1]
        if frame.places is None:
            frame.items.append(node)
            return
        if frame.key is not None and frame.key_span is not None:
            frame.items.append(Entry(frame.key, frame.key_span, node))
        frame.key = frame.key_span = None

    def _awaits_key(self) -> bool:
        if not self.stack:
            return False
        frame = self.stack[-1]
        return frame.places is not None and frame.key_span is None

    def _afterwards(self) -> None:
        """What the events do not show: tabs that indent, and lines that went astray without an error."""
        lines = self.text.split("\n")
        self.findings.extend(indented_by_tabs(lines, self.long_scalars + self.long_plain, self.file))
        for span in self.long_plain[:MOST_FINDINGS]:
            self.findings.extend(islice(swallowed(span, lines), MOST_FINDINGS))
        if self.root is not None:
            self.findings.extend(islice(cut(self.root, self.text), MOST_FINDINGS))

    def _refuse(self, rule: Rule, span: Span, sentence: str) -> None:
        """Tell a finding that leaves the meaning of the file open."""
        self.open_question = True
        self._tell(rule.at(span, sentence))

    def _tell(self, finding: Finding) -> None:
        self.findings.append(finding)
        if len(self.findings) >= MOST_FINDINGS:
            self.open_question = True
            raise _Stop

    def _content(self, event: _Event) -> _Place:
        """Where the value behind an anchor or a tag starts; a tag is refused."""
        first, last = event.start_mark, event.end_mark
        match = re.compile(_PROPERTIES).match(self.text, first.index)
        index = match.end() if match else first.index
        if event.tag is not None:
            sentence = "A text that begins with `!` needs quotes; tags have no meaning here."
            self._refuse(rules.TAG, word(self.text, self.file, first.line, first.column), sentence)
        return self._place(min(index, last.index) if type(event) is ScalarEvent else index)

    def _place(self, index: int) -> _Place:
        if not self.line_starts:
            self.line_starts = [0, *accumulate(len(line) + 1 for line in self.text.split("\n"))]
        line = bisect_right(self.line_starts, index)
        return line, index - self.line_starts[line - 1] + 1

    def _span(self, event: _Event) -> Span:
        first, last = event.start_mark, event.end_mark
        return Span(self.file, first.line + 1, first.column + 1, last.line + 1, last.column + 1)
