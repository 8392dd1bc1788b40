"""DEVELOPERS.md and the changelog name what exists, and the tables that repeat the code are as the code is."""

import json
import re
import subprocess

import pytest

from benchleaf.base.resources import schema_names, schema_text
from benchleaf.build.rules import all_rules
from benchleaf.edge.cli import COMMANDS
from benchleaf.passes.order import PASSES

PATH = re.compile(
    r"(?<![\w./:*-])(?:(?:\.?[\w-]+/)*[\w-]+\.(?:md|toml|yaml|json|py|sh|txt|html|css|js)\b|(?:\.?[\w-]+/)+[\w.-]*)"
)
# What only the reader's own machine has: what is built, and words in capitals to be filled in.
OF_THE_READER = re.compile(
    r"(?:out|dist|\.venv|\.benchleaf)/|procedures/df-1/|card\.json$|(?:.*/)?(?!README|DEVELOPERS|CHANGELOG)[A-Z]{2,}"
)
SLUG = re.compile(
    r"`((?:{})\.[a-z0-9-]+)`".format("|".join(sorted({rule.family for rule in all_rules()} | {"circuit"})))
)
DOCUMENTS = ("readme", "developers", "changelog")


@pytest.fixture(params=DOCUMENTS)
def document(request):
    return request.getfixturevalue(request.param)


def code(text):
    """All that a document writes as code outside fenced blocks."""
    return re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```$", "", text, flags=re.MULTILINE | re.DOTALL))


def properties(schema):
    """Names of all fields, and all words that a field may hold, anywhere in a schema."""
    if isinstance(schema, dict):
        for key, value in schema.items():
            if key == "properties":
                yield from value
            if key == "enum":
                yield from map(str, value)
            yield from properties(value)
    elif isinstance(schema, list):
        for value in schema:
            yield from properties(value)


def test_nothing_that_documents_repeat_is_out_of_date(script):
    assert script.stale() == [], "run .venv/bin/python builder/scripts/refresh_documents.py"


def test_what_is_out_of_date_is_seen(script, developers):
    """A severity changed by hand, a row dropped, an unknown part."""
    slug = all_rules()[0].slug
    for spoilt in (
        re.sub(rf"\| `{slug}` \| \w+ \|", f"| `{slug}` | trifle |", developers),
        re.sub(rf"\| `{slug}` .*\n", "", developers),
        developers.replace(f"| `{PASSES[0].name}` |", "| `sleep` |"),
    ):
        assert spoilt != developers
        assert script.refreshed(spoilt) == script.refreshed(developers) != spoilt
    with pytest.raises(KeyError):
        script.refreshed("<!-- made: moonshine -->\n<!-- end -->\n")


def test_a_change_must_fit_once(script):
    assert script.edited("a\nb\nc\n", " a\n-b\n+B\n c\n") == "a\nB\nc\n"
    for text in ("a\nc\n", "a\nb\nc\na\nb\nc\n"):
        with pytest.raises(ValueError, match="not once"):
            script.edited(text, " a\n-b\n c\n")


def test_every_rule_is_listed_with_its_severity(developers):
    listed = re.findall(r"^\| `([a-z]+\.[a-z0-9-]+)` \| (\w+)", developers, re.MULTILINE)
    assert listed == [(rule.slug, "removed" if rule.removed else rule.severity.value) for rule in all_rules()]


def test_every_slug_named_is_a_rule(document):
    known = {rule.slug for rule in all_rules()}
    assert [slug for slug in SLUG.findall(document) if slug not in known] == []


def test_every_path_named_exists(document, root):
    """From the root or from the package; a bare name of a theme's file in some theme."""
    places = [root, root / "builder" / "benchleaf", *(root / "themes").iterdir()]
    named = [name for words in code(document) for name in PATH.findall(words) if not OF_THE_READER.match(name)]
    assert [name for name in named if not any((place / name).exists() for place in places)] == []


def test_every_module_named_in_dots_exists(document, root):
    named = re.findall(r"\bbenchleaf(?:\.[a-z_]+)+", document)
    files = [root / "builder" / name.replace(".", "/") for name in named]
    assert [str(path) for path in files if not path.is_dir() and not path.with_suffix(".py").exists()] == []


def test_every_command_line_names_what_exists(document, script, root):
    """Scripts and tests of fenced blocks, and the commands of benchleaf wherever they stand."""
    known = {name for name, _ in COMMANDS}
    lines = [line for block in script.blocks(document) if block.language == "sh" for line in block.text.splitlines()]
    for line in lines:
        for word in line.split():
            if re.fullmatch(r"(?:builder|tests|procedures)/[\w/.-]+", word):
                assert (root / word).exists(), line
    told = re.findall(r"^(?:.*&& )?benchleaf ([a-z]+)", "\n".join([*lines, *code(document)]), re.MULTILINE)
    assert [name for name in told if name not in known] == []


def test_stages_are_those_of_the_pipeline(developers, table, root):
    source = (root / "builder/benchleaf/build/pipeline.py").read_text("utf-8")
    stages = [found for line in re.findall(r"^ +# (\d .+)$", source, re.MULTILINE)
              for found in re.findall(r"(\d) ([a-z]+)", line.partition(":")[0])]  # fmt: skip
    assert len(stages) > 6
    assert [row[:2] for row in table(developers, "stage")] == stages


def test_rooms_are_those_of_the_package(developers, table, root):
    rooms = {path.parent.name for path in (root / "builder/benchleaf").glob("*/__init__.py")}
    rows = table(developers, "floor")
    assert {row[1].strip("`") for row in rows} == rooms
    for number, room in (row[:2] for row in rows):
        first = (root / "builder/benchleaf" / room.strip("`") / "__init__.py").read_text("utf-8").partition("\n")[0]
        assert first.startswith(f'"""Floor {number}: ') or room == "`safety`", room


def test_folders_of_tests_are_all_told(developers, table, root):
    told = set(re.findall(r"`tests/(\w+)`", " ".join(row[0] for row in table(developers, "folder"))))
    there = {path.parent.name for path in (root / "tests").glob("*/test_*.py")}
    assert told == there


def test_what_the_format_can_say_is_in_the_schemas(developers, table, root):
    """Each field is one, each check a rule or said in words, each test a file."""
    known = {name for schema in schema_names() for name in properties(json.loads(schema_text(schema)))} | {"none"}
    rows = table(developers, "what")
    assert len(rows) > 30
    for what, field, check, test, state in rows:
        named = re.findall(r"`([a-z_]+)`", field)
        assert [name for name in named if name not in known] == [], what
        assert check and state, what
        assert test == "none" or all((root / name).is_file() for name in re.findall(r"`([^`]+)`", test)), what
        assert test != "none" or state == "not there", what


def test_scripts_explain_themselves(root):
    for name in ("refresh_documents.py", "take_pictures.py", "make_units.py", "make_draft07.py"):
        assert (root / "builder/scripts" / name).read_text("utf-8").startswith('"""')
    said = subprocess.run(["sh", "builder/lock/refresh.sh", "--no-such"], cwd=root, capture_output=True, text=True)
    assert said.returncode == 2


def test_the_changelog_begins_with_what_is_not_released(changelog):
    heads = re.findall(r"^## (.+)$", changelog, re.MULTILINE)
    assert heads[0] == "Unreleased" and len(heads) == len(set(heads))
    part = changelog.partition("## Unreleased")[2].partition("\n## ")[0]
    entries = re.findall(r"^- (.*?)(?=^- |^#|\Z)", part, re.MULTILINE | re.DOTALL)
    assert len(entries) > 5
    assert [entry for entry in entries if not entry.strip().endswith(".")] == []
    assert {f"`{name}`" for name, _ in COMMANDS} <= set(re.findall(r"`[a-z]+`", part))
