"""`benchleaf uses`: nothing that mentions a name is left out, and what it carries is followed."""

import json
import re
from pathlib import Path

import pytest

from benchleaf.build.impact import book
from benchleaf.build.request import Request

ROOT = Path(__file__).resolve().parents[2]
# Kinds whose names are hyphenated words that no sentence of the demo holds.
BY_SEARCH = ("limit", "fastener", "meter", "wrench", "block")


@pytest.fixture(scope="module")
def names():
    """All names of the demo."""
    return book(Request(ROOT, "2026-06-01"))


def written(name):
    """File and line of each place where the sources hold the name as a word, comments left out."""
    word = re.compile(rf"(?<![\w-]){re.escape(name)}(?![\w-])")
    for path in sorted((ROOT / "procedures").rglob("*.yaml")):
        for number, line in enumerate(path.read_text("utf-8").splitlines(), 1):
            if word.search(re.sub(r"(^|\s)#.*", "", line)):
                yield path.relative_to(ROOT).as_posix(), number


def places(impact):
    """Where the name itself is mentioned, and where it is declared."""
    own = {(touch.span.file, touch.span.line) for touch in impact.touches if not touch.via}
    return own | {(impact.target.span.file, impact.target.span.line)}


def test_whatever_a_search_of_the_text_finds_is_listed(names):
    """For every limit, joint, meter, wrench and block of the demo: the same lines as a search for the word."""
    asked = {each.name for each in names.known if each.kind in BY_SEARCH and "-" in each.name}
    assert len(asked) > 60
    wrong = {}
    for name in sorted(asked):
        found = set().union(*(places(impact) for impact in names.search(name)))
        # In a block a blank stands for the name.
        found = {place for place in found if "{" not in line_at(*place) or place in set(written(name))}
        if found != set(written(name)):
            wrong[name] = found ^ set(written(name))
    assert wrong == {}


def line_at(file, line):
    return (ROOT / file).read_text("utf-8").splitlines()[line - 1] if "/common/" in file else ""


@pytest.mark.parametrize(
    ("name", "label", "via"),
    [
        # A part, by its points, joints and faults.
        ("rc-48/contactor", "step 9 (tighten contactor-studs)", ("fastener contactor-studs",)),
        ("rc-48/contactor", "step 11 (measure seat-path)", ("point S2",)),
        ("rc-48/contactor", "outcome coil-open", ("fault coil-open",)),
        # A meter of the shop, in a block that three procedures put in.
        ("milliohm-1", "step 1 (measure bonding) of block bond-check", ()),
        # A step, by the limit that compares with its reading.
        ("rest", "step 14 (measure pack-sag)", ("limit pack-sag",)),
        ("wheels-up", "step 4 (insert wheels-up)", ()),
        ("battery-plug", "energy bus", ()),
        # What isolates an energy, by the energy, the parts at which it lies bare, and their points and joints.
        ("battery-plug", "part contactor", ("energy bus",)),
        ("bus", "step 5 (remove contactor)", ("part contactor",)),
        ("bus", "step 9 (tighten contactor-studs)", ("part contactor", "fastener contactor-studs")),
        ("tester-1", "proving unit", ()),
        ("wheel-nuts", "wrench wrench-3", ("step 1 (tighten wheel-nuts) of block retighten",)),
        # A joint that fills a blank of a block: where it is filled, and where it is used.
        ("wheel-nuts", "step 6 (insert retighten)", ()),
        ("wheel-nuts", "step 1 (tighten wheel-nuts) of block retighten", ()),
        ("hydraulic-oil", "procedure yearly-service", ()),
    ],
)
def test_what_a_name_touches(name, label, via, names):
    found = names.search(name)
    assert (label, via) in {(touch.owner.label, touch.via) for impact in found for touch in impact.touches}


def test_a_name_of_several_machines_is_told_for_each(names):
    found = names.search("bonding")
    assert sorted(impact.target.machine for impact in found) == ["ht-600", "pc-9"]
    (own,) = names.search("pc-9/bonding")
    assert own.target.machine == "pc-9" and own.procedures == ("pc-9/monthly-inspection",)
    assert {touch.owner.machine for touch in own.touches if touch.owner.kind != "meter"} == {"pc-9"}


def test_text_names_file_line_and_procedures(run, monkeypatch):
    monkeypatch.chdir(ROOT)
    told = run("uses", "pack-sag")
    assert (told.code, told.err) == (0, "")
    lines = [line for line in told.out.splitlines() if "by the circuit" not in line]
    assert re.fullmatch(r"limit pack-sag of rc-48, procedures/rc-48/machine\.yaml:\d+", lines[0])
    assert re.fullmatch(
        r"  procedures/rc-48/no-drive\.yaml:\d+: step 14 \(measure pack-sag\), procedure rc-48/no-drive", lines[1]
    )
    assert re.fullmatch(
        r"  procedures/rc-48/no-drive\.yaml:\d+: meter meter-1, by way of step 14 \(measure pack-sag\)", lines[2]
    )
    released = "  released, and to be signed anew where its card changes: rc-48/no-drive revision C"
    assert lines[3:] == ["  1 procedure: rc-48/no-drive", released]


def test_json_holds_the_same(run, monkeypatch):
    monkeypatch.chdir(ROOT)
    told = json.loads(run("uses", "pack-sag", "--format", "json").out)
    assert (told["format"], told["name"]) == ("benchleaf/uses/1", "pack-sag")
    ((use, meter),) = [each["uses"] for each in told["found"]]
    assert (meter["kind"], meter["name"], meter["via"]) == ("meter", "meter-1", ["step 14 (measure pack-sag)"])
    assert (use["kind"], use["machine"], use["procedure"], use["via"]) == ("step", "rc-48", "no-drive", [])
    assert told["found"][0]["procedures"] == ["rc-48/no-drive"]


def test_steps_that_read_a_circuit_tell_what_good_machines_show(run, monkeypatch):
    """24 V of 3 %, less what valve and relay draw through 0.15 ohm; the limit of `pc-9` is taken from it."""
    monkeypatch.chdir(ROOT)
    step, reading = run("uses", "valve-signal").out.splitlines()[1:3]
    assert "step 5 (measure valve-signal)" in step
    shown = re.search(
        r"by the circuit, good machines show 23\.2\d*\sV to 24\.6\d*\sV \(with the main switch on", reading
    )
    assert shown, reading
    ((use, _),) = [each["uses"] for each in json.loads(run("uses", "valve-signal", "--format", "json").out)["found"]]
    (foretold,) = use["readings"]
    assert foretold["unit"] == "V" and 23.2 < foretold["low"] < foretold["nominal"] < foretold["high"] < 24.7
    assert foretold["faults"]["relay-contact-burnt"]["side"] == "below"


def test_an_open_circuit_is_no_number(run, monkeypatch):
    monkeypatch.chdir(ROOT)
    told = json.loads(run("uses", "heater-insulation", "--format", "json").out)
    readings = [reading for each in told["found"] for use in each["uses"] for reading in use["readings"]]
    assert readings and all(reading["nominal"] is None for reading in readings)


def test_an_unknown_name_is_answered_with_the_nearest(run, workspace):
    told = run("uses", "windin")
    assert told.code == 2 and told.out == ""
    assert "nothing in this workspace is called `windin`; the nearest: `winding`" in told.err
    assert run("uses", "zzzzzzzz").err.endswith("is called `zzzzzzzz`.\n")
    assert run("uses", "").code == 2


def test_the_card_with_which_work_goes_on_is_used_by_the_outcome(run, workspace, spoil):
    spoil("Replace the fan motor.,", "Replace the fan motor., then: {procedure: filter-clean},")
    assert "outcome weak-motor, procedure df-1/filter-clean" in run("uses", "filter-clean").out


def test_what_nothing_uses_is_said_so(run, workspace):
    assert "Nothing uses it." in run("uses", "filter-clean").out


def test_a_faulty_file_is_named_and_the_rest_is_searched(run, workspace, spoil):
    (workspace / "procedures/df-1/broken.yaml").write_text("steps: [", "utf-8")
    told = run("uses", "winding")
    assert told.code == 1
    assert "procedures/df-1/broken.yaml has errors and was not searched" in told.err
    assert "step 3 (measure winding)" in told.out
