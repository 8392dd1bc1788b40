"""Broken YAML: each case is told once, at the place where the mend is due, in words that say what is due there."""

import pytest

from benchleaf.source import tree
from benchleaf.source.parsers import Parser, PureParser
from benchleaf.source.tree import read

# What was written, where the finding stands, and words that its sentence holds. A caret line would only blur the
# columns of short texts, so that places are numbers here.
CASES = [
    ("title: Charger: no supply\n", 1, 15, "a colon and a space needs quotes"),
    ("a: b: c: d\n", 1, 5, "a colon and a space needs quotes"),
    ("a:b\nc: d\n", 1, 1, "After the colon in `a:b` a space is missing"),
    ("a: 1\nb\nc: 2\n", 2, 1, "`b` stands among keys, but has no colon"),
    ("a: text\n  b: c\n", 2, 3, "`b: c` is indented below a line that already has its value"),
    ("a: 1\n b: 2\n", 2, 2, "is indented below a line that already has its value"),
    ("steps:\n  - look: a\n      at: b\n", 3, 7, "is indented below a line that already has its value"),
    ('a: "unclosed\nb: 2\n', 1, 4, "The quotation mark that opens here is never closed"),
    ("a: 'unclosed\n", 1, 4, "The quotation mark that opens here is never closed"),
    ('a: "b\nc: "d"\n', 2, 5, "Nothing may follow in the line after a closing quotation mark"),
    ('a: "x" y\n', 1, 8, "Nothing may follow in the line after a closing quotation mark"),
    ("a: 'it's'\n", 1, 8, "Nothing may follow in the line after a closing quotation mark"),
    ('"a" b: c\n', 1, 5, "Nothing may follow in the line after a closing quotation mark"),
    ("a: [x] y\n", 1, 8, "Nothing may follow in the line after a closing bracket"),
    ("a: [1, 2\nb: 2\n", 1, 4, "The `[` that opens here is never closed"),
    ("a: {x: 1\nb: 2\n", 1, 4, "The `{` that opens here is never closed"),
    ("a: [\n", 1, 4, "The `[` that opens here is never closed"),
    ("a: [\n  1,\n  {b:\n", 3, 3, "The `{` that opens here is never closed"),
    ("a: [1, 2\n   3: 4]\n", 2, 5, "Before this, a comma or the closing `]` is missing"),
    ("a: {x: 1\n  y: 2}\n", 2, 4, "Before this, a comma or the closing `}` is missing"),
    ("a: [1, 2}\n", 1, 9, "`}` closes here what `[` opened"),
    ("a: {b: [1, 2}, c: 3}\n", 1, 13, "`}` closes here what `[` opened"),
    ("a: [x]]\n", 1, 7, "Nothing is open that this `]` could belong to"),
    ("{a: b}}\n", 1, 7, "Nothing is open that this `}` could belong to"),
    ("a: ]\n", 1, 4, "Before this `]` something is missing"),
    ("a: [,]\n", 1, 5, "Before this `,` something is missing"),
    ("a: [b,,c]\n", 1, 7, "Before this `,` something is missing"),
    ("- [ ::vector ]\n", 1, 5, "A text that begins with a colon needs quotes here"),
    ("- a\nb: c\n", 2, 1, "stands among the items of a list, but does not begin with `- `"),
    ("a:\n  - 1\n  b: 2\n", 3, 3, "stands among the items of a list, but does not begin with `- `"),
    ("steps:\n  - look: a\n  at: b\n", 3, 3, "stands among the items of a list, but does not begin with `- `"),
    ("a:\n  - b\n - c\n", 3, 2, "A list item stands here among keys"),
    ("a:\n   b: 1\n  c: 2\n", 3, 3, "The indentation of `c: 2` fits no line above"),
    ("  a: 1\nb: 2\n", 2, 1, "`b: 2` "),
    ("[1]\na: b\n", 2, 1, "`a: b` "),
    (": x\n", 1, 1, "Before this colon a key is missing"),
    ("a: @x\n", 1, 4, "A text cannot begin with `@` unless it stands in quotes"),
    ("a: `x\n", 1, 4, "A text cannot begin with a backtick unless it stands in quotes"),
    ("a: %x\n", 1, 4, "A text cannot begin with `%` unless it stands in quotes"),
    ("%x: 1\n", 1, 1, "cannot begin with `%`"),
    ("a: *\n", 1, 4, "A text cannot begin with `*` unless it stands in quotes"),
    ("a: & b\n", 1, 4, "A text cannot begin with `&` unless it stands in quotes"),
    ('a: "x\\q"\n', 1, 6, "Between double quotes `\\` begins a code"),
    ('a: "\\xZZ"\n', 1, 5, "Between double quotes `\\` begins a code"),
    ("a: - b\n", 1, 4, "A list item cannot begin in the middle of a line"),
    ("a: ? b\n", 1, 4, "A text cannot begin with `? ` unless it stands in quotes"),
    ("a: |text\nb: 2\n", 1, 5, "the text begins on the next line"),
]

TABS = [
    ("a:\n\tb: 1\n", 2, 1),
    ("a: 1\n\tb: 1\n", 2, 1),
    ("a:\n  b: 1\n \tc: 2\n", 3, 2),
    ("-\ta: 1\n", 1, 2),
    ("a: [x,\n\ty]\nb: 2\n", 2, 1),
    ("a: |\n\tx\n", 2, 1),
    ("a: x\n\ty", 2, 1),
]


@pytest.fixture(params=[Parser, PureParser], ids=["libyaml", "python"])
def parser(request, monkeypatch):
    monkeypatch.setattr(tree, "Parser", request.param)


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("text", "line", "column", "words"), CASES)
def test_broken_yaml_is_told_in_place(text, line, column, words):
    node, findings = read(text, "a.yaml")
    assert node is None
    assert [(one.slug, one.span.line, one.span.column) for one in findings] == [("source.syntax", line, column)]
    assert words in findings[0].sentence
    assert findings[0].mend


@pytest.mark.parametrize(("text", "line", "column"), TABS)
def test_tabs_that_indent(text, line, column):
    _, findings = read(text, "a.yaml")
    assert [(one.slug, one.span.line, one.span.column) for one in findings] == [("source.tab", line, column)]


@pytest.mark.parametrize(
    "text", ["a: |\n  x\n  \ty\n", 'a: "x\n\ty"\n', "a:\tb\n", "# \tx\na: b\n", "a: b\t# c\n", "a: b\n\t\n"]
)
def test_tabs_that_do_not_indent(text):
    assert read(text, "a.yaml").findings == ()


def test_what_was_opened_is_shown_beside():
    (finding,) = read("a: {b: [1, 2}, c: 3}\n", "a.yaml").findings
    (related,) = finding.related
    assert (related.span.line, related.span.column) == (1, 8)


@pytest.mark.parametrize("text", [case[0] for case in CASES])
def test_no_parser_speaks(text):
    """The words of both parsers, which talk of tokens and streams, are never shown."""
    for finding in read(text, "a.yaml").findings:
        said = f"{finding.sentence} {finding.mend}".lower()
        assert not any(
            word in said for word in ("expected", "token", "stream", "scanning", "parsing", "mapping", "scalar")
        )
