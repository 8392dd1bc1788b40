"""The YAML 1.2.2 specification's examples, with data of our own, through the restricted reader.

Each one keeps the shape of the example whose number it bears (https://yaml.org/spec/1.2.2/): it is read with the data
that the specification gives it, and with exact places, or refused by a named finding for a reason that stands beside
it. The numbers come from memory of the specification; its table 10.3.2 of the core schema is held in full.
"""

from decimal import Decimal

import pytest

from benchleaf.source import tree
from benchleaf.source.parsers import Parser, PureParser
from benchleaf.source.tree import read

# number, text, data; all positions are held against the text by `places_are_exact`.
READ = [
    ("2.1 list of scalars", "- contactor\n- fuse\n- key switch\n", ["contactor", "fuse", "key switch"]),
    ("2.2 map of scalars", "low:  65\nhigh: 0.278\ncount: 147\n", {"low": 65, "high": 0.278, "count": 147}),
    (
        "2.3 map of lists",
        "electrical:\n  - fuse\n  - coil\nhydraulic:\n  - pump\n",
        {"electrical": ["fuse", "coil"], "hydraulic": ["pump"]},
    ),
    (
        "2.4 list of maps",
        "-\n  name: pump\n  mass: 65\n-\n  name: ram\n  mass: 63\n",
        [{"name": "pump", "mass": 65}, {"name": "ram", "mass": 63}],
    ),
    (
        "2.5 list of lists",
        "- [name  , mass]\n- [pump, 19]\n- [ram , 7]\n",
        [["name", "mass"], ["pump", 19], ["ram", 7]],
    ),
    (
        "2.6 map of maps",
        "pump: {mass: 65, ports: 2}\nram: {\n    mass: 63,\n    ports: 4,\n  }\n",
        {"pump": {"mass": 65, "ports": 2}, "ram": {"mass": 63, "ports": 4}},
    ),
    (
        "2.9 one document with two comments",
        "---\na: # first comment\n  - b\nc:\n  # second\n  - d\n",
        {"a": ["b"], "c": ["d"]},
    ),
    (
        "2.10 node that stands in two places",
        "first:\n  - fuse\n  # what follows is marked\n  - &CO coil\nthen:\n  - *CO # repeated\n  - key\n",
        {"first": ["fuse", "coil"], "then": ["coil", "key"]},
    ),
    (
        "2.12 compact maps in a list",
        "---\n# parts\n- part : fuse\n  count: 1\n- part : lead\n  count: 4\n",
        [{"part": "fuse", "count": 1}, {"part": "lead", "count": 4}],
    ),
    ("2.13 literal keeps line ends", "# drawing\n--- |\n  \\//||\\/||\n  // ||  ||__\n", "\\//||\\/||\n// ||  ||__\n"),
    ("2.14 folded turns line ends to spaces", "--- >\n  The deck\n  stays\n  shut.\n", "The deck stays shut.\n"),
    (
        "2.15 folded keeps more-indented and blank lines",
        "--- >\n Lift the deck.\n With two people.\n\n   Hold here\n   and here\n\n Mind the hinge.\n",
        "Lift the deck. With two people.\n\n  Hold here\n  and here\n\nMind the hinge.\n",
    ),
    (
        "2.16 indentation ends a block",
        "name: deck\ndoes: >\n  It covers\n  the bank.\nnote: |\n  Two\n  hinges\n",
        {"name": "deck", "does": "It covers the bank.\n", "note": "Two\nhinges\n"},
    ),
    (
        "2.17 quoted scalars",
        'unicode: "5 \\u03A9"\ncontrol: "1998\\t1999\\n"\nhex: "\\x0d\\x0a is line end"\n'
        "single: '\"Stop!\" it says.'\nquoted: ' # not a ''comment''.'\ntie: '|\\-*-/|'\n",
        {
            "unicode": "5 Ω",
            "control": "1998\t1999\n",
            "hex": "\r\n is line end",
            "single": '"Stop!" it says.',
            "quoted": " # not a 'comment'.",
            "tie": "|\\-*-/|",
        },
    ),
    (
        "2.18 flow scalars over lines",
        'plain:\n  This goes\n  over lines.\n\nquoted: "So does this\n  quoted one.\\n"\n',
        {"plain": "This goes over lines.", "quoted": "So does this quoted one.\n"},
    ),
    (
        "2.19 integers",
        "canonical: 12345\ndecimal: +12345\noctal: 0o14\nhexadecimal: 0xC\n",
        {"canonical": 12345, "decimal": 12345, "octal": 12, "hexadecimal": 12},
    ),
    (
        "2.20 floating point",
        "canonical: 1.23015e+3\nexponential: 12.3015e+02\nfixed: 1230.15\n",
        {"canonical": 1230.15, "exponential": 1230.15, "fixed": 1230.15},
    ),
    (
        "2.21 miscellaneous",
        "null:\nbooleans: [ true, false ]\nstring: '012345'\n",
        {"null": None, "booleans": [True, False], "string": "012345"},
    ),
    (
        "2.22 timestamps are text in the core schema",
        "canonical: 2001-12-15T02:59:43.1Z\ndate: 2002-12-14\n",
        {"canonical": "2001-12-15T02:59:43.1Z", "date": "2002-12-14"},
    ),
    (
        "5.3 block structure indicators",
        "sequence:\n- one\n- two\nmapping:\n  ? sky\n  : blue\n  sea : green\n",
        {"sequence": ["one", "two"], "mapping": {"sky": "blue", "sea": "green"}},
    ),
    (
        "5.4 flow collection indicators",
        "sequence: [ one, two, ]\nmapping: { sky: blue, sea: green }\n",
        {"sequence": ["one", "two"], "mapping": {"sky": "blue", "sea": "green"}},
    ),
    ("5.6 anchor and alias", "anchored: &anchor value\nalias: *anchor\n", {"anchored": "value", "alias": "value"}),
    (
        "5.7 block scalar indicators",
        "literal: |\n  some\n  text\nfolded: >\n  some\n  text\n",
        {"literal": "some\ntext\n", "folded": "some text\n"},
    ),
    ("5.8 quoted scalar indicators", "single: 'text'\ndouble: \"text\"\n", {"single": "text", "double": "text"}),
    (
        "5.12 tabs inside text",
        '# Tabs: \t\t\nquoted: "Quoted \t"\nblock: |\n  void main() {\n  \tprint(1);\n  }\n',
        {"quoted": "Quoted \t", "block": "void main() {\n\tprint(1);\n}\n"},
    ),
    (
        "5.13 escaped characters",
        '- "\\x41 \\u0041 \\U00000041 \\n \\t \\_ \\/ \\\\ \\""\n',
        ['A A A \n \t \xa0 / \\ "'],
    ),
    (
        "6.1 indentation spaces",
        "  # leading comment\nnot indented:\n by one space: |\n    by four\n      spaces\n flow style: [\n   by two,\n"
        "  also by two,\n  still by two,\n  ]\n",
        {
            "not indented": {
                "by one space": "by four\n  spaces\n",
                "flow style": ["by two", "also by two", "still by two"],
            }
        },
    ),
    ("6.2 indentation indicators", "? a\n: - b\n  - - c\n    - d\n", {"a": ["b", ["c", "d"]]}),
    (
        "6.5 empty lines",
        'folding:\n  "Empty line\n\n  as a line feed"\nchomping: |\n  Clipped\n\n',
        {"folding": "Empty line\nas a line feed", "chomping": "Clipped\n"},
    ),
    ("6.6 line folding", ">-\n  trimmed\n\n\n  as\n  space\n", "trimmed\n\nas space"),
    ("6.9 separated comment", "key:    # comment\n  value\n", {"key": "value"}),
    ("6.11 comments over lines", "key:    # comment\n        # more\n  value\n\n", {"key": "value"}),
    ("6.29 node anchors", "first name: &a fuse\nsecond name: *a\n", {"first name": "fuse", "second name": "fuse"}),
    (
        "7.4 double-quoted implicit keys",
        "'implicit' : [\n  \"implicit flow key\" : value,\n ]\n",
        {"implicit": [{"implicit flow key": "value"}]},
    ),
    (
        "7.5 double-quoted line breaks",
        '"folded \nto a space,\t\n \nto a line feed, or \t\\\n \\ \tnothing"\n',
        "folded to a space,\nto a line feed, or \t \tnothing",
    ),
    ("7.7 single-quoted characters", " 'here''s to \"quotes\"'\n", 'here\'s to "quotes"'),
    (
        "7.9 single-quoted lines",
        "' 1st non-empty\n\n 2nd non-empty \n\t3rd non-empty '\n",
        " 1st non-empty\n2nd non-empty 3rd non-empty ",
    ),
    (
        "7.10 plain characters",
        '# outside flow\n- ::vector\n- ": - ()"\n- Up, up, and away!\n- -123\n- page#anchor\n# inside flow\n'
        '- [ ": - ()",\n  "Up, up, and away!",\n  -123,\n  page#anchor ]\n',
        [
            "::vector",
            ": - ()",
            "Up, up, and away!",
            -123,
            "page#anchor",
            [": - ()", "Up, up, and away!", -123, "page#anchor"],
        ],
    ),
    (
        "7.12 plain lines",
        "1st non-empty\n\n 2nd non-empty \n   3rd non-empty\n",
        "1st non-empty\n2nd non-empty 3rd non-empty",
    ),
    ("7.13 flow sequence", "- [ one, two, ]\n- [three ,four]\n", [["one", "two"], ["three", "four"]]),
    (
        "7.14 flow sequence entries",
        "[\n\"double\n quoted\", 'single\n           quoted',\nplain\n text, [ nested ],\nsingle: pair,\n]\n",
        ["double quoted", "single quoted", "plain text", ["nested"], {"single": "pair"}],
    ),
    (
        "7.15 flow mappings",
        "- { one : two , three: four , }\n- {five: six,seven : eight}\n",
        [{"one": "two", "three": "four"}, {"five": "six", "seven": "eight"}],
    ),
    (
        "7.16 flow mapping entries",
        "{\n? explicit: entry,\nimplicit: entry,\n}\n",
        {"explicit": "entry", "implicit": "entry"},
    ),
    (
        "7.17 values left out",
        '{\nunquoted : "separate",\nlink://x/y,\nomitted value: ,\n}\n',
        {"unquoted": "separate", "link://x/y": None, "omitted value": None},
    ),
    (
        "7.18 adjacent values",
        '{\n"adjacent":value,\n"readable": value,\n"empty":\n}\n',
        {"adjacent": "value", "readable": "value", "empty": None},
    ),
    ("7.19 single pair", "[\nfoo: bar\n]\n", [{"foo": "bar"}]),
    ("7.20 single pair, explicit", "[\n? foo\n bar : baz\n]\n", [{"foo bar": "baz"}]),
    ("7.23 flow content", "- [ a, b ]\n- { a: b }\n- \"a\"\n- 'b'\n- c\n", [["a", "b"], {"a": "b"}, "a", "b", "c"]),
    (
        "8.1 block scalar header",
        "- | # Empty header\n literal\n- >1 # Indentation indicator\n  folded\n- |+ # Chomping\n keep\n\n"
        "- >1- # Both\n  strip\n",
        ["literal\n", " folded\n", "keep\n\n", " strip"],
    ),
    (
        "8.2 detected indentation",
        "- |\n detected\n- >\n \n  \n  # detected\n- |1\n  explicit\n- >\n \n detected\n",
        ["detected\n", "\n\n# detected\n", " explicit\n", "\ndetected\n"],
    ),
    (
        "8.4 final line break",
        "strip: |-\n  text\nclip: |\n  text\nkeep: |+\n  text\n",
        {"strip": "text", "clip": "text\n", "keep": "text\n"},
    ),
    (
        "8.5 trailing lines",
        " # Strip\n  # Comments:\nstrip: |-\n  # text\n  \n # Clip\n  # comments:\n\nclip: |\n  # text\n \n"
        " # Keep\n  # comments:\n\nkeep: |+\n  # text\n\n # Trail\n  # comments.\n",
        {"strip": "# text", "clip": "# text\n", "keep": "# text\n\n"},
    ),
    ("8.6 empty scalars", "strip: >-\n\nclip: >\n\nkeep: |+\n\n", {"strip": "", "clip": "", "keep": "\n"}),
    ("8.7 literal scalar", "|\n literal\n \ttext\n\n\n", "literal\n\ttext\n"),
    (
        "8.10 folded lines",
        ">\n\n folded\n line\n\n next\n line\n   * bullet\n\n   * list\n\n last\n line\n\n# Comment\n",
        "\nfolded line\nnext line\n  * bullet\n\n  * list\n\nlast line\n",
    ),
    (
        "8.14 block sequence",
        "block sequence:\n  - one\n  - two : three\n",
        {"block sequence": ["one", {"two": "three"}]},
    ),
    (
        "8.15 entry types",
        "- # Empty\n- |\n block node\n- - one # Compact\n  - two # sequence\n- one: two # Compact mapping\n",
        [None, "block node\n", ["one", "two"], {"one": "two"}],
    ),
    ("8.16 block mapping", "block mapping:\n key: value\n", {"block mapping": {"key": "value"}}),
    (
        "8.18 implicit mapping entries",
        'plain key: in-line value\n"quoted key":\n- entry\n',
        {"plain key": "in-line value", "quoted key": ["entry"]},
    ),
    (
        "8.20 node types",
        '-\n  "flow in block"\n- >\n Block scalar\n- # a map\n  foo : bar\n',
        ["flow in block", "Block scalar\n", {"foo": "bar"}],
    ),
    ("9.2 document markers", "%YAML 1.2\n---\nDocument\n... # Suffix\n", "Document"),
    ("9.3 bare document", "Bare\ndocument\n...\n# No document\n", "Bare document"),
]

# number, text, slug, place, and why this reader is narrower than the specification.
REFUSED = [
    (
        "2.7 two documents",
        "# day\n---\n- a\n- b\n---\n- c\n",
        "source.several-documents",
        (5, 1),
        "a file is one procedure",
    ),
    ("2.11 map between lists", "? - a\n  - b\n: - c\n", "source.key-not-text", (1, 3), "a key names a field"),
    ("2.20 infinity", "negative: -.inf\n", "source.number-out-of-range", (1, 11), "no limit is infinite"),
    ("2.20 not a number", "not: .nan\n", "source.number-out-of-range", (1, 6), "no limit is undefined"),
    ("2.23 explicit tags", "---\nnot-date: !!str 2002-04-28\n", "source.tag", (2, 11), "the schema says the type"),
    (
        "2.24 global tags",
        "%TAG ! tag:x,2002:\n---\n!shape\n- a\n",
        "source.directive",
        (1, 1),
        "no tags, so no handles",
    ),
    ("2.25 unordered set", "--- !!set\n? a\n? b\n", "source.tag", (1, 5), "the schema says the type"),
    ("2.26 ordered map", "--- !!omap\n- a: 65\n", "source.tag", (1, 5), "maps keep their order anyway"),
    ("2.28 log of documents", "---\na: 1\n---\nb: 2\n", "source.several-documents", (3, 1), "a file is one procedure"),
    ("5.2 misplaced byte order mark", "- a\n- \ufeffb\n", "source.unwelcome-character", (2, 3), "it cannot be seen"),
    ("5.5 comment alone", "# Comment only.\n", "source.empty-file", (1, 1), "an empty file was most likely not saved"),
    ("5.10 reserved indicator @", "at: @text\n", "source.syntax", (1, 5), "reserved by the specification too"),
    ("5.10 reserved indicator `", "grave: `text\n", "source.syntax", (1, 8), "reserved by the specification too"),
    ("5.13 escaped bell", 'a: "Ring \\a"\n', "source.unwelcome-character", (1, 4), "no card can print it"),
    ("5.13 escaped NUL", 'a: "\\0"\n', "source.unwelcome-character", (1, 4), "no card can print it"),
    ("5.14 invalid escape", 'Bad: "\\c"\n', "source.syntax", (1, 7), "invalid by the specification too"),
    ("6.3 separation by tab", "- foo: bar\n- -\tbaz\n", "source.tab", (2, 4), "what hangs on it has no visible depth"),
    ("6.13 reserved directive", "%YAML 1.1\n---\na: b\n", "source.directive", (1, 1), "YAML 1.1 reads `no` as false"),
    ("6.20 tag handles", "%TAG !e! tag:x:\n---\n!e!foo a\n", "source.directive", (1, 1), "no tags"),
    ("6.28 non-specific tag", "- ! 12\n", "source.tag", (1, 3), "no tags"),
    (
        "7.1 alias of an alias of a later anchor",
        "a: *b\nb: &b c\n",
        "source.alias-unknown",
        (1, 4),
        "invalid there too",
    ),
    ("7.3 empty keys in a flow map", "{\n  ? foo : ,\n  : bar,\n}\n", "source.syntax", (3, 3), "a key names a field"),
    ("7.21 map as a key", "- [ {JSON: like}:adjacent ]\n", "source.key-not-text", (1, 5), "a key names a field"),
    ("7.22 implicit key over lines", "[ foo\n bar: invalid ]\n", "source.syntax", (2, 5), "invalid there too"),
    ("7.10 two colons inside flow", "- [ ::vector ]\n", "source.syntax", (1, 5), "libyaml takes a colon for a key's"),
    ("8.3 longer blank first line", "- |\n  \n text\n", "source.syntax", (3, 2), "invalid there too"),
    ("8.17 explicit key in lines", "? |\n  block key\n: - one\n", "source.key-not-text", (1, 3), "a key is one line"),
    (
        "8.19 compact maps as keys",
        "- ? earth: blue\n  : moon: white\n",
        "source.key-not-text",
        (1, 5),
        "a key names a field",
    ),
    ("9.5 text at the margin", "%YAML 1.2\n--- |\n%!PS\n...\n", "source.syntax", (3, 1), "libyaml wants it indented"),
    (
        "10.1 map with a merge key",
        "a: &a {b: c}\nd:\n  <<: *a\n",
        "source.merge-key",
        (3, 3),
        "no merge in the core schema",
    ),
]


@pytest.fixture(params=[Parser, PureParser], ids=["libyaml", "python"])
def parser(request, monkeypatch):
    """Reads by libyaml, and by PyYAML's own parser, which takes its place where libyaml is missing."""
    monkeypatch.setattr(tree, "Parser", request.param)


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("text", "data"), [row[1:] for row in READ], ids=[row[0] for row in READ])
def test_example_is_read(text, data):
    node, findings = read(text, "example.yaml")
    assert findings == ()
    assert node is not None
    assert node.plain() == data
    places_are_exact(node, text)


@pytest.mark.usefixtures("parser")
@pytest.mark.parametrize(("text", "slug", "place"), [row[1:4] for row in REFUSED], ids=[row[0] for row in REFUSED])
def test_example_is_refused(text, slug, place):
    node, findings = read(text, "example.yaml")
    assert node is None
    assert [(one.slug, (one.span.line, one.span.column)) for one in findings][:1] == [(slug, place)]
    assert {one.slug for one in findings} <= {slug, "source.tag"}


def places_are_exact(node, text):
    """Held against the text itself: a plain scalar's place holds its text, and any scalar's place holds it again."""
    lines = text.split("\n")
    for one in below(node):
        if one.span.line == one.span.end_line and one.kind not in ("map", "list") and not one.quoted:
            assert between(lines, one.span) in (one.raw, "*CO", "*anchor", "*a")
        elif one.kind not in ("map", "list") and between(lines, one.span)[:1] in "\"'":
            again, findings = read(between(lines, one.span) + "\n", "again.yaml")
            assert (again and again.value, findings) == (one.value, ())
        elif one.kind in ("map", "list") and between(lines, one.span)[:1] in "[{":
            assert between(lines, one.span)[-1] in "]}"


def between(lines, span):
    chosen = lines[span.line - 1 : span.end_line]
    chosen[-1] = chosen[-1][: span.end_column - 1]
    chosen[0] = chosen[0][span.column - 1 :]
    return "\n".join(chosen)


def below(node):
    yield node
    if node.kind == "map":
        for entry in node.value:
            yield from below(entry.node)
    elif node.kind == "list":
        for item in node.value:
            yield from below(item)


# YAML 1.2.2, section 10.3.2: every row of the table of tag resolution, both sides of each of its borders.
CORE = {
    "nothing": ["null", "Null", "NULL", "~", ""],
    "truth": ["true", "True", "TRUE", "false", "False", "FALSE"],
    "integer": ["0", "-0", "+12", "-19", "010", "0o7", "0o17", "0x3A", "0xdeadbeef", "9007199254740991"],
    "decimal": ["0.", "-0.0", ".5", "+12e03", "-2E+05", "1e3", "25.0", "12.3e-4", "0.50"],
    "text": [
        "nULL",
        "nil",
        "tRUE",
        "yes",
        "no",
        "on",
        "off",
        "Y",
        "n",
        "0o8",
        "0o",
        "-0o7",
        "+0x1",
        "0x",
        "0xG",
        "0b1",
        "1_000",
        "12:30",
        "12:30:45",
        "190:20:30",
        "2027-03-01",
        "1e",
        "e3",
        ".",
        "+",
        "-.",
        "1.2.3",
        "1..8",
        ".in",
        ".infinity",
        "inf",
        "nan",
        "NaN",
        "１",
        "٣",
        "0x 1",
        "50 %",
        "5 min",
        "10 s",
        "+-1",
        "--1",
    ],
}
VALUES = {
    "010": 10,
    "0o7": 7,
    "0o17": 15,
    "0x3A": 58,
    "+12": 12,
    "-19": -19,
    "true": True,
    "FALSE": False,
    "~": None,
    "25.0": Decimal("25.0"),
    "1e3": Decimal("1e3"),
    ".5": Decimal("0.5"),
    "0.": Decimal("0"),
    "-2E+05": Decimal(-200000),
}


@pytest.mark.parametrize(("kind", "raw"), [(kind, raw) for kind, all_raw in CORE.items() for raw in all_raw])
def test_core_schema(kind, raw):
    node, findings = read(f"key: {raw}\n", "core.yaml")
    assert findings == ()
    assert node is not None
    value = node.get("key")
    assert value is not None
    assert value.kind == kind
    if raw in VALUES:
        assert value.value == VALUES[raw]
        assert type(value.value) is type(VALUES[raw])
    if kind == "text":
        assert value.value == value.raw


@pytest.mark.parametrize(
    "raw",
    [
        ".inf",
        "-.inf",
        "+.INF",
        ".Inf",
        ".nan",
        ".NaN",
        ".NAN",
        "1e400",
        "-1e400",
        "1e-400",
        "9007199254740992",
        "0x20000000000000",
        "1" * 41,
        "0." + "1" * 40,
    ],
)
def test_numbers_that_no_reading_can_be(raw):
    node, findings = read(f"a: 1\nkey: {raw}\n", "core.yaml")
    assert node is None
    assert [(f.slug, f.span.line, f.span.column) for f in findings] == [("source.number-out-of-range", 2, 6)]


def test_decimals_keep_their_digits():
    node, _ = read("[25.0, 25, 3.10, 1.00e1]\n", "core.yaml")
    assert node is not None
    assert [str(item.value) for item in node.value] == ["25.0", "25", "3.10", "10.0"]
    assert [item.raw for item in node.value] == ["25.0", "25", "3.10", "1.00e1"]
