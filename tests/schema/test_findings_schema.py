"""What `check --format json` prints is what the schema of findings describes."""

import copy
from typing import Any

import pytest

from benchleaf.base.finding import Finding, Related, Severity
from benchleaf.base.span import Span
from benchleaf.build.verdict import READY, STOPPED, Standing, Verdict
from benchleaf.edge import report_json

FILE = "procedures/rc-48/no-drive.yaml"
FULL = Finding(
    "names.unknown",
    Severity.ERROR,
    Span(FILE, 2, 13, 2, 23),
    "The machine has no part `drive-motr`.",
    why="A step that names nothing sends people to the wrong place.",
    mend="Write `drive-motor`.",
    related=(Related(Span("procedures/rc-48/machine.yaml", 30, 3, 30, 14), "The nearest part stands here."),),
    change="drive-motor",
)
BARE = Finding("energy.blind-proof", Severity.ADVICE, Span("procedures/shop.yaml"), "Nothing sees the plug.")
STANDINGS = (
    Standing("no-drive", "rc-48", FILE, STOPPED, ("names.unknown",)),
    Standing("motor-replace", "rc-48", "procedures/rc-48/motor-replace.yaml", READY),
)


def at(value: Any, path: tuple[str | int, ...]) -> Any:
    for key in path:
        value = value[key]
    return value


@pytest.mark.parametrize("verdict", [Verdict((), ()), Verdict((FULL, BARE), STANDINGS)])
def test_a_report_is_as_described(verdict, schema):
    assert schema("findings").accepts(report_json.data(verdict))


def test_no_part_of_a_report_may_be_missing_or_unheard_of(schema):
    held = schema("findings")
    report = report_json.data(Verdict((FULL, BARE), STANDINGS))
    objects = [path for path, _, each in held.places(report, held.root) if each.get("additionalProperties") is False]
    accepted = []
    for path in objects:
        for key in [*at(report, path), "unheard-of"]:
            spoiled = copy.deepcopy(report)
            owner = at(spoiled, path)
            if key in owner:
                del owner[key]
            else:
                owner[key] = ""
            if held.accepts(spoiled):
                accepted.append((path, key))
    assert len(objects) == 7
    assert accepted == []


def test_a_stopped_procedure_says_by_what(schema):
    report = report_json.data(Verdict((), (Standing("no-drive", "rc-48", FILE, STOPPED),)))
    assert not schema("findings").accepts(report)
