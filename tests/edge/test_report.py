"""A verdict as text, JSON and SARIF: what a person, a script and a collector of findings read."""

import json
import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from benchleaf.base import resources
from benchleaf.base.finding import Finding, Related, Severity
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.build.verdict import Standing, Verdict
from benchleaf.edge import report, report_json, report_sarif
from benchleaf.edge.console import visible

GOLDEN = Path(__file__).parents[1] / "golden"
FILE = "procedures/rc-48/no-drive.yaml"
LINES = {
    FILE: (
        "steps:",
        "  - remove: drive-motr",
        "\tat: 模型 x",
        "  - look: " + "The long way round. " * 10 + "Look at the plug.",
        "    info: |",
        "      Two",
        "      lines.",
    )
}
FINDINGS = (
    Finding("source.no-file", Severity.ERROR, Span("procedures/rc-48/machine.yaml"), "There is no machine file."),
    Finding(
        "names.unknown",
        Severity.ERROR,
        Span(FILE, 2, 13, 2, 23),
        "The machine has no part `drive-motr`.",
        why="A step that names nothing sends people to the wrong place.",
        mend="Write `drive-motor`.",
        related=(Related(Span("procedures/rc-48/machine.yaml", 30, 3, 30, 14), "The nearest part stands here."),),
        change="drive-motor",
    ),
    Finding("names.unknown", Severity.ERROR, Span(FILE, 3, 9, 3, 10), "There is no part `x`."),
    Finding("language.long-sentence", Severity.WARNING, Span(FILE, 4, 211, 4, 228), "This sentence is long."),
    Finding("document.advice", Severity.ADVICE, Span(FILE, 5, 11, 7, 12), "Say it in one line."),
)
STANDINGS = (
    Standing("motor-replace", "rc-48", "procedures/rc-48/motor-replace.yaml", "ready"),
    Standing("no-drive", "rc-48", FILE, "stopped", ("names.unknown", "source.no-file")),
)
VERDICT = Verdict(FINDINGS, STANDINGS, LINES)
RULES = (
    Rule("names.unknown", Severity.ERROR, "Why.", "Mend.", "remove: drive-motr", "remove: drive-motor"),
    Rule("torque.over-proof", Severity.ERROR, "Why.", "Mend.", "torque: 90 N·m", "torque: 36 N·m", "ISO 898-1"),
)


@pytest.mark.parametrize(
    ("name", "told"),
    [("findings", report.text(VERDICT)), ("summary", report.summary(VERDICT))],
)
def test_text_is_what_was_looked_at(name: str, told: str) -> None:
    assert told == (GOLDEN / f"{name}.txt").read_text("utf-8")


def test_carets_stand_under_the_span() -> None:
    lines = report.text(VERDICT).split("\n")
    source = lines.index("      - remove: drive-motr")
    start = lines[source].index("drive-motr")
    assert lines[source + 1] == " " * start + "^" * len("drive-motr")


def test_wide_characters_take_two_columns() -> None:
    """Unicode Standard Annex 11: East Asian Wide and Fullwidth characters take two columns of a terminal."""
    assert report.width("模型 x") == 6
    assert report.width("e\u0301") == 1


def test_colour_only_adds_escape_sequences() -> None:
    for make in (report.text, report.summary):
        coloured = make(VERDICT, colour=True)
        assert "\x1b[1;31m" in coloured
        assert re.sub(r"\x1b\[[0-9;]*m", "", coloured) == make(VERDICT)


@given(
    st.lists(st.text(max_size=200), min_size=1, max_size=3),
    st.tuples(st.integers(0, 5), st.integers(0, 250), st.integers(0, 5), st.integers(0, 250)),
    st.text(),
)
def test_no_place_and_no_text_breaks_the_report_or_steers_the_terminal(
    lines: list[str], place: tuple[int, int, int, int], sentence: str
) -> None:
    finding = Finding("names.unknown", Severity.ERROR, Span("a.yaml", *place), sentence, mend=sentence)
    told = report.text(Verdict((finding,), (), {"a.yaml": tuple(lines)}))
    assert all(character.isprintable() or character in "\n\u00a0\u202f" for character in told)


def test_control_characters_are_spelled_out() -> None:
    assert visible("a\x1b[2Jb\x7f\u202ec\tå") == "a\\x1b[2Jb\\x7f\\u202ec å"


@pytest.mark.parametrize(
    ("verdict", "sentence"),
    [
        (Verdict((), STANDINGS[:1]), "nothing to mend; 1 of 1 procedure ready."),
        (Verdict((), ()), "nothing to mend; no procedure."),
        (VERDICT, "3 errors, 1 warning, 1 piece of advice; 1 of 2 procedures ready."),
    ],
)
def test_closing_counts(verdict: Verdict, sentence: str) -> None:
    assert report.closing(verdict) == sentence


def test_json_keeps_every_fact() -> None:
    data = json.loads(report_json.text(VERDICT))
    assert data["format"] == "benchleaf/findings/1"
    assert data["summary"] == {"errors": 3, "warnings": 1, "advice": 1, "ready": 1, "stopped": 1}
    schema = json.loads(resources.schema_text("findings"))
    Draft202012Validator(schema).validate(data)
    assert data["findings"][1] == {
        "slug": "names.unknown",
        "severity": "error",
        "file": FILE,
        "line": 2,
        "column": 13,
        "end_line": 2,
        "end_column": 23,
        "sentence": "The machine has no part `drive-motr`.",
        "why": "A step that names nothing sends people to the wrong place.",
        "mend": "Write `drive-motor`.",
        "change": "drive-motor",
        "related": [
            {
                "file": "procedures/rc-48/machine.yaml",
                "line": 30,
                "column": 3,
                "end_line": 30,
                "end_column": 14,
                "sentence": "The nearest part stands here.",
            }
        ],
    }
    assert data["procedures"][1] == {
        "id": "no-drive",
        "machine": "rc-48",
        "status": "stopped",
        "by": ["names.unknown", "source.no-file"],
    }


# SARIF 2.1.0, OASIS Standard: required properties, closed vocabularies and types of the objects that we write.
# Clauses: 3.13 sarifLog, 3.14 run, 3.18 tool, 3.19 toolComponent, 3.20 invocation, 3.27 result, 3.29 physicalLocation,
# 3.4 artifactLocation, 3.30 region, 3.11 message, 3.49 reportingDescriptor, 3.50 reportingConfiguration, 3.55 fix,
# 3.56 artifactChange, 3.57 replacement.
MESSAGE = {"text": (str, True)}
FILE_ = {"uri": (str, False), "uriBaseId": (str, False), "description": (MESSAGE, False)}
REGION = {"startLine": (int, True), "startColumn": (int, True), "endLine": (int, True), "endColumn": (int, True)}
PHYSICAL = {"artifactLocation": (FILE_, True), "region": (REGION, True)}
LOCATION = {"physicalLocation": (PHYSICAL, True), "id": (int, False), "message": (MESSAGE, False)}
REPLACEMENT = {"deletedRegion": (REGION, True), "insertedContent": (MESSAGE, False)}
CHANGE = {"artifactLocation": (FILE_, True), "replacements": ([REPLACEMENT], True)}
RULE = {
    "id": (str, True),
    "shortDescription": (MESSAGE, True),
    "fullDescription": (MESSAGE, True),
    "help": (MESSAGE, True),
    "defaultConfiguration": ({"level": ({"none", "note", "warning", "error"}, True)}, True),
    "properties": ({"tags": ([str], True)}, False),
}
RESULT = {
    "ruleId": (str, True),
    "ruleIndex": (int, False),
    "level": ({"none", "note", "warning", "error"}, True),
    "message": (MESSAGE, True),
    "locations": ([LOCATION], True),
    "relatedLocations": ([LOCATION], False),
    "partialFingerprints": ({"benchleafFinding/v1": (str, True)}, True),
    "fixes": ([{"description": (MESSAGE, False), "artifactChanges": ([CHANGE], True)}], False),
}
DRIVER = {"name": (str, True), "version": (str, False), "rules": ([RULE], False)}
RUN = {
    "tool": ({"driver": (DRIVER, True)}, True),
    "columnKind": ({"utf16CodeUnits", "unicodeCodePoints"}, False),
    "originalUriBaseIds": ({"WORKSPACE": (FILE_, False)}, False),
    "invocations": ([{"executionSuccessful": (bool, True), "exitCode": (int, False)}], False),
    "results": ([RESULT], True),
}
LOG = {"$schema": (str, False), "version": ({"2.1.0"}, True), "runs": ([RUN], True)}


def hold(data: Any, form: Any, where: str) -> None:
    """Data has the form: a type, a set of allowed values, a list of one form, or properties (form, required)."""
    if isinstance(form, dict):
        assert isinstance(data, dict), where
        assert data.keys() <= form.keys(), where
        for name, (inner, required) in form.items():
            assert not required or name in data, f"{where}/{name}"
            if name in data:
                hold(data[name], inner, f"{where}/{name}")
    elif isinstance(form, list):
        assert isinstance(data, list), where
        for number, item in enumerate(data):
            hold(item, form[0], f"{where}/{number}")
    elif isinstance(form, set):
        assert data in form, where
    else:
        assert type(data) is form, where


def test_sarif_has_the_structure_of_the_standard() -> None:
    log = json.loads(report_sarif.text(VERDICT, RULES))
    hold(log, LOG, "")
    run = log["runs"][0]
    assert [rule["id"] for rule in run["tool"]["driver"]["rules"]] == ["names.unknown", "torque.over-proof"]
    assert [result["level"] for result in run["results"]] == ["error", "error", "error", "warning", "note"]
    assert run["results"][1]["ruleIndex"] == 0
    assert run["results"][1]["fixes"][0]["artifactChanges"][0]["replacements"][0]["insertedContent"]["text"] == (
        "drive-motor"
    )
    # 3.30.5 to 3.30.8: lines and columns count from 1, the end column is exclusive.
    region = run["results"][1]["locations"][0]["physicalLocation"]["region"]
    assert region == {"startLine": 2, "startColumn": 13, "endLine": 2, "endColumn": 23}


def test_sarif_paths_are_relative_uris() -> None:
    """SARIF 2.1.0, 3.4.3, and RFC 3986, 2.1: a space or a percent sign in a path is percent-encoded."""
    finding = Finding("names.unknown", Severity.ERROR, Span("procedures/a b/100%ü.yaml", 1, 1, 1, 2), "No.")
    log = report_sarif.data(Verdict((finding,), ()), RULES)
    place = log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]
    assert place == {"uri": "procedures/a%20b/100%25%C3%BC.yaml", "uriBaseId": "WORKSPACE"}


def prints(verdict: Verdict) -> list[str]:
    results = report_sarif.data(verdict, RULES)["runs"][0]["results"]
    return [result["partialFingerprints"]["benchleafFinding/v1"] for result in results]


def test_fingerprints_outlive_new_lines_above_and_tell_twins_apart() -> None:
    def at(line: int) -> Finding:
        return Finding("names.unknown", Severity.ERROR, Span(FILE, line, 13, line, 23), "There is no such part.")

    before = prints(Verdict((at(2),), (), LINES))
    assert prints(Verdict((at(3),), (), {FILE: ("# new", *LINES[FILE])})) == before
    assert len(set(prints(Verdict((at(2), at(2)), (), LINES)))) == 2
    assert prints(Verdict((at(3),), (), LINES)) != before
