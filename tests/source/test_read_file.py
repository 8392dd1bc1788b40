"""One file on its whole way from path to checked tree."""

import pytest

from benchleaf.base.finding import Severity
from benchleaf.source.read import read_file
from benchleaf.source.rules_format import RULES
from benchleaf.source.source_rules import RULES as ALL_RULES
from benchleaf.source.text import Unreadable

SHOP = "format: benchleaf/shop/1\nname: Marram Works service\n"


@pytest.fixture
def reading(tmp_path):
    """Reads a text as the shop file of a workspace."""

    def of(text, kind="shop"):
        path = tmp_path / "procedures" / "shop.yaml"
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode())
        return read_file(path, tmp_path, kind)

    return of


def told(document):
    return [(one.slug, one.span.line, one.span.column) for one in document.findings]


def test_right_file(reading):
    document = reading(SHOP)
    assert (document.file, document.kind, document.findings) == ("procedures/shop.yaml", "shop", ())
    assert document.text is not None
    assert document.text.lines == ("format: benchleaf/shop/1", "name: Marram Works service", "")
    assert document.node is not None
    assert document.node.plain() == {"format": "benchleaf/shop/1", "name": "Marram Works service"}
    assert document.node.span.file == "procedures/shop.yaml"


def test_each_stage_stops_the_next(reading):
    assert told(reading(b"\xff")) == [("source.not-utf-8", 1, 1)]
    assert reading(b"\xff").text is None
    assert told(reading("a: [\n")) == [("source.syntax", 1, 4)]
    assert told(reading("format: benchleaf/shop/2\nnme: 5\n")) == [("source.format-newer", 1, 9)]
    assert told(reading(SHOP + "nme: 5\n")) == [("source.unknown-field", 3, 1)]
    assert reading(SHOP + "nme: 5\n").node is None


def test_findings_of_tree_and_shape_come_together(reading):
    assert told(reading(SHOP + "paper: A44\nname: again\n")) == [
        ("source.unknown-value", 3, 8),
        ("source.duplicate-key", 4, 1),
    ]


def test_advice_leaves_the_node(reading):
    document = reading("# yaml-language-server: $schema=../.benchleaf/schema/machine.schema.json\n" + SHOP)
    assert told(document) == [("source.modeline", 1, 54)]
    assert document.findings[0].severity is Severity.ADVICE
    assert (document.findings[0].change, document.findings[0].span.end_column) == ("shop", 61)
    assert document.node is not None


@pytest.mark.parametrize(
    "line",
    [
        "# yaml-language-server: $schema=../.benchleaf/schema/shop.schema.json",
        "# yaml-language-server: $schema=https://example.org/own.json",
        "# The shop",
    ],
)
def test_other_first_lines_are_let_be(reading, line):
    assert reading(f"{line}\n{SHOP}").findings == ()


@pytest.mark.parametrize(
    ("text", "slug", "column", "change"),
    [
        ("name: x\n", "source.format-missing", 1, None),
        ("{}\n", "source.format-missing", 1, None),
        ("fromat: benchleaf/shop/1\n", "source.format-missing", 1, "format"),
        ("format: benchleaf/shopp/1\n", "source.format-unknown", 9, "benchleaf/shop/1"),
        ("format: benchleaf/shop\n", "source.format-unknown", 9, "benchleaf/shop/1"),
        ("format: benchleaf/shop/0\n", "source.format-unknown", 9, "benchleaf/shop/1"),
        ("format: benchleaf/shop/1.0\n", "source.format-unknown", 9, "benchleaf/shop/1"),
        ("format: 1\n", "source.format-unknown", 9, "benchleaf/shop/1"),
        ("format: [benchleaf/shop/1]\n", "source.format-unknown", 9, None),
        ("format:\n", "source.format-unknown", 8, None),
        ("format: benchleaf/machine/1\n", "source.format-misplaced", 9, None),
        ("format: benchleaf/machine/2\n", "source.format-misplaced", 9, None),
        ("format: benchleaf/shop/2\n", "source.format-newer", 9, None),
        ("format: benchleaf/shop/12\n", "source.format-newer", 9, None),
    ],
)
def test_wrong_formats_are_told_first_and_alone(reading, text, slug, column, change):
    document = reading(text + "wrong: [1, 1]\nwrong: 2\n" if text != "{}\n" else text)
    assert told(document) == [(slug, 1, column)]
    assert document.findings[0].change == change
    assert document.node is None


def test_file_that_is_no_map(reading):
    assert told(reading("- format: benchleaf/shop/1\n")) == [("source.wrong-type", 1, 1)]


def test_file_outside_the_workspace(tmp_path):
    root = tmp_path / "work"
    (root / "procedures").mkdir(parents=True)
    (tmp_path / "shop.yaml").write_text(SHOP)
    document = read_file(root / ".." / "shop.yaml", root, "shop")
    assert [(one.slug, one.span.file) for one in document.findings] == [("source.outside-workspace", "../shop.yaml")]
    (root / "procedures" / "shop.yaml").symlink_to(tmp_path / "shop.yaml")
    document = read_file(root / "procedures" / "shop.yaml", root, "shop")
    assert [one.slug for one in document.findings] == ["source.outside-workspace"]


def test_missing_file(tmp_path):
    with pytest.raises(Unreadable, match="it does not exist"):
        read_file(tmp_path / "procedures" / "shop.yaml", tmp_path, "shop")


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.slug)
def test_examples_of_the_manual_are_true(reading, rule):
    assert {one.slug for one in reading(rule.bad).findings} >= {rule.slug}
    assert not {one.slug for one in reading(rule.good).findings} & {one.slug for one in RULES}


def test_every_rule_has_its_whole_manual():
    assert len({rule.slug for rule in ALL_RULES}) == len(ALL_RULES) > 40
    for rule in ALL_RULES:
        assert rule.family == "source"
        assert all((rule.why, rule.mend, rule.bad, rule.good, rule.source))
        assert rule.why.endswith(".")
        assert not rule.mend.endswith(".")
