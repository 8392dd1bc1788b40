"""The restricted reader: exact places, bounded repetition, named refusals, and laws that hold for any text at all."""

import json

import pytest
import yaml
from hypothesis import example, given
from hypothesis import strategies as st

from benchleaf.base.finding import Severity
from benchleaf.source import tree
from benchleaf.source.parsers import Parser, PureParser
from benchleaf.source.rules_tree import RULES
from benchleaf.source.scalars import OutOfRange, resolve
from benchleaf.source.text import normal
from benchleaf.source.tree import DEEPEST, LARGEST_ALIAS, LARGEST_EXPANSION, MOST_FINDINGS, read


def spans(text):
    """Key and value places of a flat map as `line:column-line:column`."""
    node, findings = read(text, "a.yaml")
    assert findings == ()
    assert node is not None
    return {entry.key: (place(entry.key_span), place(entry.node.span)) for entry in node.value}


def place(span):
    return f"{span.line}:{span.column}-{span.end_line}:{span.end_column}"


def slugs(text):
    return [(one.slug, place(one.span)) for one in read(text, "a.yaml").findings]


# Places


def test_keys_and_plain_values():
    assert spans("low: 50.2 V   # at rest\n\nhigh:   51.6 V\n") == {
        "low": ("1:1-1:4", "1:6-1:12"),
        "high": ("3:1-3:5", "3:9-3:15"),
    }


def test_columns_are_characters_not_bytes():
    """2, 3 and 4 bytes of UTF-8 each count as one column, as in an editor."""
    assert spans("Ω: Ωµ·m  # µ\n'°C 𝟏': ≤ 𝟐\n") == {"Ω": ("1:1-1:2", "1:4-1:8"), "°C 𝟏": ("2:1-2:7", "2:9-2:12")}


def test_quoted_values_keep_their_quotes_in_the_place():
    assert spans("a: 'x y'  \nb: \"x\n  y\" # c\n") == {"a": ("1:1-1:2", "1:4-1:9"), "b": ("2:1-2:2", "2:4-3:5")}


def test_block_texts_end_with_their_last_line():
    assert spans("a: |\n  x\n   y\n\n# c\nb: >-\n   z  \n\nc: |+\n\n") == {
        "a": ("1:1-1:2", "1:4-3:5"),
        "b": ("6:1-6:2", "6:4-7:5"),
        "c": ("9:1-9:2", "9:4-9:6"),
    }


def test_plain_text_over_lines():
    assert spans("a: x\n  y  # c\nb: z\n") == {"a": ("1:1-1:2", "1:4-2:4"), "b": ("3:1-3:2", "3:4-3:5")}


def test_missing_values_stand_behind_their_colon():
    assert spans("a:\nb: # c\nc: ''\nd:") == {
        "a": ("1:1-1:2", "1:3-1:3"),
        "b": ("2:1-2:2", "2:3-2:3"),
        "c": ("3:1-3:2", "3:4-3:6"),
        "d": ("4:1-4:2", "4:3-4:3"),
    }


def test_maps_and_lists():
    assert spans("a:\n  b: 1\n  c: 2  # d\nd: {e: 1,\n  f: [2, 3] }\ng:\n- 1\n- h: 2\n  i:\nj: [k: 1, 2]\n") == {
        "a": ("1:1-1:2", "2:3-3:7"),
        "d": ("4:1-4:2", "4:4-5:14"),
        "g": ("6:1-6:2", "7:1-9:5"),
        "j": ("10:1-10:2", "10:4-10:13"),
    }


def test_a_single_pair_in_a_list_ends_with_its_value():
    node, _ = read("[a: b  , c]", "a.yaml")
    assert node is not None
    assert [place(item.span) for item in node.value] == ["1:2-1:6", "1:10-1:11"]


def test_anchors_are_not_part_of_the_place():
    assert spans("a: &x  yes\nb: &y\n  # c\n  c: 1\nd: &z [1]\ne: &w\nf: *x\n") == {
        "a": ("1:1-1:2", "1:8-1:11"),
        "b": ("2:1-2:2", "4:3-4:7"),
        "d": ("5:1-5:2", "5:7-5:10"),
        "e": ("6:1-6:2", "6:6-6:6"),
        "f": ("7:1-7:2", "7:4-7:6"),
    }


def test_byte_order_mark_and_line_ends_do_not_shift_anything():
    plain = "a: Ω\nb:\n  - 1\nc: |\n  x\n"
    expected = read(plain, "a.yaml")
    for text in ("\ufeff" + plain, plain.replace("\n", "\r\n"), "\ufeff" + plain.replace("\n", "\r")):
        assert read(text, "a.yaml") == expected


# Nodes


def test_node_answers_for_maps_only():
    node, _ = read("a: 1\nb: [x, y]\n", "a.yaml")
    assert node is not None
    assert node.keys() == ("a", "b")
    items = node.get("b")
    assert items is not None
    assert (node.get("c"), items.get("a"), items.keys()) == (None, None, ())
    assert [item.raw for item in items.value] == ["x", "y"]


def test_keys_are_text_whatever_they_look_like():
    node, _ = read("on: 1\n1..8: 2\n10: 3\ntrue: 4\nnull: 5\n0x1F: 6\n", "a.yaml")
    assert node is not None
    assert node.keys() == ("on", "1..8", "10", "true", "null", "0x1F")


def test_quoted_scalars_are_text():
    node, _ = read("[\"1\", '2']\n", "a.yaml")
    assert node is not None
    assert [(item.kind, item.value, item.raw, item.quoted) for item in node.value] == [
        ("text", "1", "1", True),
        ("text", "2", "2", True),
    ]


# Refusals


def test_duplicate_keys_are_each_told_with_the_first_place():
    node, findings = read("a: 1\nb: {c: 1, d: 2, \"c\": 3}\na: 2\n'a': 3\n", "a.yaml")
    assert [(one.slug, place(one.span), [place(rel.span) for rel in one.related]) for one in findings] == [
        ("source.duplicate-key", "2:17-2:20", ["2:5-2:6"]),
        ("source.duplicate-key", "3:1-3:2", ["1:1-1:2"]),
        ("source.duplicate-key", "4:1-4:4", ["1:1-1:2"]),
    ]
    assert node is not None
    assert node.plain() == {"a": 1, "b": {"c": 1, "d": 2}}


def test_duplicate_in_another_map_is_none():
    assert slugs("a: {c: 1}\nb: {c: 1, a: 2}\n") == []


def test_tags():
    assert slugs("a: !!str 1\nb: ! x\nc: !t\n  d: 1\n") == [
        ("source.tag", "1:4-1:9"),
        ("source.tag", "2:4-2:5"),
        ("source.tag", "3:4-3:6"),
    ]


def test_merge_key_is_refused_and_its_quoted_twin_is_text():
    assert slugs("a: &a {b: 1}\nc:\n  <<: *a\n") == [("source.merge-key", "3:3-3:5")]
    assert slugs('"<<": 1\n') == []


def test_unknown_alias_and_alias_in_itself():
    assert slugs("a: *b\n") == [("source.alias-unknown", "1:4-1:6")]
    assert slugs("a: &a [1, *a]\n") == [("source.alias-in-itself", "1:11-1:13")]


def test_aliases_within_bounds_are_copies_at_their_place():
    node, findings = read("a: &a {b: [1, 2]}\nc: *a\n", "a.yaml")
    assert findings == ()
    assert node is not None
    assert node.plain() == {"a": {"b": [1, 2]}, "c": {"b": [1, 2]}}
    assert place(node.value[1].node.span) == "2:4-2:6"


def anchored(size):
    """A list that counts `size` values, itself among them, and its alias."""
    return f"a: &a [{', '.join('x' * (size - 1))}]\n"


def test_largest_alias():
    assert slugs(anchored(LARGEST_ALIAS) + "b: *a\n") == []
    assert slugs(anchored(LARGEST_ALIAS + 1) + "b: *a\n") == [("source.alias-too-large", "2:4-2:6")]


def test_largest_expansion_of_a_file():
    times = LARGEST_EXPANSION // 10
    assert slugs(anchored(10) + f"b: [{', '.join(['*a'] * times)}]\n") == []
    assert [slug for slug, _ in slugs(anchored(10) + f"b: [{', '.join(['*a'] * (times + 1))}]\n")] == [
        "source.alias-too-large"
    ]


def test_alias_bomb_stops_at_once():
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 9)}]" for n in range(1, 12)]
    assert slugs("\n".join(lines)) == [("source.alias-too-large", "4:10-4:13")]


def test_depth():
    deep = DEEPEST - 1
    assert slugs("a: " + "[" * deep + "]" * deep) == []
    assert slugs("a: " + "[" * DEEPEST + "]" * DEEPEST) == [("source.too-deep", f"1:{3 + DEEPEST}-1:{4 + DEEPEST}")]
    assert [slug for slug, _ in slugs("- " * 5000 + "x")] == ["source.too-deep"]
    assert [slug for slug, _ in slugs("[" * 5000)] == ["source.too-deep"]


def test_depth_counts_what_an_alias_brings():
    inner = "a: &a " + "[" * 40 + "]" * 40 + "\n"
    assert slugs(inner + "b: " + "[" * 23 + "*a" + "]" * 23 + "\n") == []
    assert slugs(inner + "b: " + "[" * 24 + "*a" + "]" * 24 + "\n") == [("source.too-deep", "2:28-2:30")]


def test_several_documents_and_directives():
    assert slugs("a: 1\n---\nb: 2\n---\nc: 3\n") == [("source.several-documents", "2:1-2:4")]
    assert slugs("%YAML 1.1\n---\na: 1\n") == [("source.directive", "1:1-2:4")]
    assert slugs("%YAML 2.0\n---\na: 1\n") == [("source.directive", "1:1-1:6")]
    assert slugs("---\na: 1\n...\n") == []


@pytest.mark.parametrize("text", ["", "\n \n", "# only this\n", "---\n", "null\n", "---\n...\n", "\ufeff"])
def test_empty_files(text):
    assert [slug for slug, _ in slugs(text)] == ["source.empty-file"]


def test_keys_that_are_no_text():
    assert slugs("a: {{name}}\n") == [("source.key-not-text", "1:5-1:6")]
    assert slugs("? [a]\n: b\n") == [("source.key-not-text", "1:3-1:4")]
    assert slugs('"": 1\n') == [("source.key-not-text", "1:1-1:3")]
    assert slugs("a: &a x\n*a : 1\n") == [("source.key-not-text", "2:1-2:3")]
    assert slugs('"a\\nb": 1\n') == [("source.key-not-text", "1:1-1:7")]


def test_characters_that_nobody_sees():
    assert slugs("a: x\n b: y\u202ez\n") == [("source.unwelcome-character", "2:6-2:7")]
    assert slugs("é: \x00\n") == [("source.unwelcome-character", "1:4-1:5")]
    assert slugs("a: b\u2028c\n") == [("source.unwelcome-character", "1:5-1:6")]
    assert slugs("a: \ud800\n") == [("source.unwelcome-character", "1:4-1:5")]


def test_characters_that_no_card_can_print():
    assert slugs('a: "x\\0"\nb: "\\n\\t"\nc: "\\e"\n') == [
        ("source.unwelcome-character", "1:4-1:9"),
        ("source.unwelcome-character", "3:4-3:8"),
    ]


def test_special_spaces_where_an_ordinary_one_is_due():
    assert slugs("a:\n\u00a0 b: 1\n") == [("source.unwelcome-character", "2:1-2:2")]
    assert slugs("a:\u00a0b\n") == [("source.unwelcome-character", "1:3-1:4")]
    assert slugs("a: 42\u00a0N·m and 5\u202f%\n") == []


def test_swallowed_items():
    """Without a finding the second spare would be part of the first one's name."""
    assert slugs("spares:\n  - fuse 3 A\n    - lamp\n    and more\n    - lead\n") == [
        ("source.swallowed-item", "3:5-3:11"),
        ("source.swallowed-item", "5:5-5:11"),
    ]
    assert slugs("text: |\n  a\n  - b\nquoted: 'a\n  - b'\nlist:\n  - a\n  - b\n") == []


def test_texts_that_a_comment_cut():
    assert slugs("a: Find bolt #3 here\nb: [x #1\n ]\n") == [
        ("source.cut-text", "1:14-1:21"),
        ("source.cut-text", "2:7-2:9"),
    ]
    assert slugs("a: x # note\nb: 'x' #3\nc: x#3\n#d: x\ne: [x] #f\ng: |\n  x #3\n") == []
    assert [one.severity for one in read("a: x #3\n", "a.yaml").findings] == [Severity.WARNING]


def test_findings_of_one_file_are_bounded():
    _, findings = read("a: 1\n" * 5000, "a.yaml")
    assert len(findings) == MOST_FINDINGS


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_examples_of_the_manual_are_true(rule):
    bad, good = read(rule.bad, "a.yaml"), read(rule.good, "a.yaml")
    assert {one.slug for one in bad.findings} == {rule.slug}
    assert good.findings == ()
    assert good.node is not None


# Laws

ATOMS = st.sampled_from(
    [
        "a",
        "é",
        "😀",
        ":",
        ": ",
        ",",
        ", ",
        " ",
        "  ",
        "\n",
        "\n  ",
        "\n- ",
        "- ",
        "[",
        "]",
        "{",
        "}",
        '"',
        "'",
        "#",
        " # c",
        "|",
        "|\n  x",
        ">",
        "&a ",
        "*a",
        "!t ",
        "---\n",
        "...\n",
        "%",
        "\t",
        "? ",
        "1",
        ".5",
        "0x1",
        "null",
        "\\",
        "<<: ",
        "@",
        "\r\n",
        "key: v\n",
        "  k: w\n",
        "\ufeff",
        "\u2028",
    ]
)
YAMLISH = st.lists(ATOMS, max_size=30).map("".join)


@given(st.one_of(st.text(), YAMLISH))
@example("? #\n  x")
@example("a: b\n\t")
def test_any_text_is_read_or_refused(text):
    """`read` never raises and never guesses: either a node or an error."""
    node, findings = read(text, "a.yaml")
    errors = {one.slug for one in findings if one.severity is Severity.ERROR}
    assert errors if node is None else errors <= KEPT
    lines = normal(text).split("\n")
    for one in findings:
        assert one.span.file == "a.yaml"
        inside(one.span, lines)


# Errors that may leave the meaning of the rest as it stands, so that the tree is still told.
KEPT = {"source.duplicate-key", "source.tab", "source.swallowed-item"}


@given(YAMLISH)
@example("a: &x\n  - b\nc: {d: e}\n")
@example("? #\n  x")
def test_places_nest_and_hold_their_text(text):
    node, _ = read(text, "a.yaml")
    if node is not None and "*a" not in text:
        nested(node, normal(text).split("\n"))


def nested(node, lines):
    inside(node.span, lines)
    if node.kind == "map":
        for entry in node.value:
            within(entry.key_span, node.span)
            within(entry.node.span, node.span)
            assert end(entry.key_span) <= start(entry.node.span)
            nested(entry.node, lines)
    elif node.kind == "list":
        for item in node.value:
            within(item.span, node.span)
            nested(item, lines)
    elif not node.quoted and node.span.line == node.span.end_line:
        assert lines[node.span.line - 1][node.span.column - 1 : node.span.end_column - 1] == node.raw


def start(span):
    return span.line, span.column


def end(span):
    return span.end_line, span.end_column


def within(inner, outer):
    assert start(outer) <= start(inner) <= end(inner) <= end(outer)


def inside(span, lines):
    assert start(span) <= end(span)
    for line, column in (start(span), end(span)):
        assert 1 <= line <= len(lines)
        assert 1 <= column <= len(lines[line - 1]) + 1


PRINTABLE = st.characters(exclude_categories=("Cc", "Cf", "Cs", "Zl", "Zp"), exclude_characters="\ufffe\uffff")
JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(-1e300, 1e300, allow_subnormal=False)
    | st.text(PRINTABLE, max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.text("abc:#- é\"'[", min_size=1, max_size=6), inner, max_size=4)
    ),
    max_leaves=12,
)


@given(JSON, st.sampled_from([None, 1, 4]))
def test_json_is_yaml(data, indent):
    """YAML 1.2.2, section 1.3: JSON's subset is read as JSON reads it."""
    text = json.dumps({"root": data}, indent=indent, ensure_ascii=False)
    node, findings = read(text, "a.json")
    assert findings == ()
    assert node is not None
    assert node.plain() == json.loads(text)


@given(YAMLISH)
def test_structure_is_that_of_another_loader(text):
    """PyYAML's own composer and constructor, told to leave every scalar text, find the same maps, lists and texts."""
    node, findings = read(text, "a.yaml")
    # PyYAML stops at a tab in an empty line, and at an anchor that is used again.
    if node is None or findings or "\t" in text or text.count("&a") > 1:
        return
    other = yaml.load(normal(text), Loader=yaml.CBaseLoader)
    assert same(node, other)


def same(node, other):
    if node.kind == "map":
        return list(node.keys()) == list(other) and all(same(entry.node, other[entry.key]) for entry in node.value)
    if node.kind == "list":
        return len(node.value) == len(other) and all(map(same, node.value, other))
    return node.raw == other


@given(YAMLISH)
def test_both_parsers_tell_the_same_tree(text):
    """Where libyaml is missing, PyYAML's own parser takes its place; it is narrower about tabs and comments only."""
    if "\t" in text or "|#" in text or ">#" in text:
        return
    trees = []
    for parser in (Parser, PureParser):
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(tree, "Parser", parser)
            node, _ = read(text, "a.yaml")
            trees.append(node.plain() if node is not None else None)
    assert trees[0] == trees[1]


@given(st.text("0123456789+-._eExXobabcfinNtrul~:, ", max_size=12))
def test_resolving_is_total(raw):
    try:
        kind, value = resolve(raw)
    except OutOfRange:
        return
    assert kind in ("text", "integer", "decimal", "truth", "nothing")
    assert kind != "text" or value == raw
