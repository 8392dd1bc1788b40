"""`check --matrix`: what each question answers under each fault, as a table and as data with a picture."""

import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SILENT = "procedures/rc-48/contactor-silent.yaml"


def test_table(run, monkeypatch):
    monkeypatch.chdir(ROOT)
    ran = run("check", "--matrix", SILENT)
    assert ran.code == 0
    lines = ran.out.splitlines()
    assert lines[0] == f"{SILENT}: 9 faults, 11 questions"
    fuse = next(line.split() for line in lines if line.split()[:1] == ["control-fuse-blown"])
    # With a blown control fuse the bank is good and the key has no output.
    assert fuse[2:5] == ["inside*", "inside*", "below*"]
    assert fuse[-2] == "control-fuse-blown"
    assert "found: 100% of the faults by weight; told apart from all others: 100%" in ran.out


def test_data_and_picture(run, monkeypatch):
    monkeypatch.chdir(ROOT)
    told = json.loads(run("check", "--matrix", "--format", "json", SILENT).out)
    assert told["format"] == "benchleaf/matrix/1"
    (matrix,) = told["matrices"]
    assert matrix["bound"] <= matrix["best"] <= matrix["written"]
    welded = next(fault for fault in matrix["faults"] if fault["fault"] == "contact-welded")
    assert welded["found"] and welded["answers"][1] == "above" and welded["shown"][1].endswith("V")
    assert welded["way"][-1] == {"asks": "measure bus-off", "answer": "above"}
    picture = ElementTree.fromstring(matrix["picture"])
    cells = [each for each in picture.iter() if each.tag.endswith("rect")]
    answered = sum(bool(answer) for fault in matrix["faults"] for answer in fault["answers"])
    assert len(cells) == answered
    assert all(cell[0].text for cell in cells)


def test_nothing_to_show(run, workspace):
    ran = run("check", "--matrix")
    assert (ran.code, ran.out) == (0, "No procedure here looks for two faults or more.\n")


def test_used_wrongly(run, workspace):
    for more in (("--summary",), ("--trace",), ("--format", "sarif")):
        ran = run("check", "--matrix", *more)
        assert ran.code == 2 and "--matrix goes with text or json" in ran.err
