"""`build` and the sheets around the cards: which are made when, what stays after a fault, what the index says."""

import re
import shutil

import pytest

from benchleaf.render import sheets
from benchleaf.render.fault import RenderFault

MACHINE = "procedures/df-1/machine.yaml"
SHEETS = ["isolation-sheet.html", "isolation-sheet.pdf", "limits-sheet.pdf", "machine-sheet.pdf",
          "out-of-service-tag.pdf", "picking-list.pdf"]  # fmt: skip


def made(workspace):
    """The sheets of the machine, by name."""
    return {
        path.name: path.read_bytes()
        for path in (workspace / "out/df-1").iterdir()
        if path.is_file() and path.name[0] != "."
    }


def of_machine(workspace):
    """What the index says above the procedures of the machine: its note, and where its links lead."""
    text = (workspace / "out/index.html").read_text("utf-8")
    (part,) = re.findall(r'<div class="sheets">(.*?)</div>', text, re.DOTALL)
    return " ".join(re.findall(r'class="note">(.*?)<', part)), re.findall(r'href="([^"]+)"', part)


@pytest.fixture
def built(workspace, first_build):
    """The workspace of the test as after its first build; its sheets."""
    shutil.copytree(first_build, workspace / "out", dirs_exist_ok=True)
    return made(workspace)


def test_a_build_makes_the_sheets_and_the_index_lists_them(workspace, built):
    assert sorted(built) == SHEETS
    note, links = of_machine(workspace)
    assert note == ""
    assert sorted(links) == [f"df-1/{name}" for name in SHEETS]


def test_the_same_source_gives_the_same_sheets(run, workspace, built):
    assert run("build").code == 0
    assert made(workspace) == built


def test_a_machine_with_errors_keeps_its_sheets_and_the_index_says_so(run, workspace, built, spoil):
    spoil("name: DF-1 dust fan", "name: DF-1 large dust fan\nporpoise: none", MACHINE)
    assert run("build").code == 1
    assert made(workspace) == built
    note, links = of_machine(workspace)
    assert "last build without errors" in note
    assert len(links) == len(SHEETS)


def test_an_error_in_a_procedure_leaves_it_out_of_the_picking_list_alone(run, workspace, built, spoil):
    spoil("revision: A", "revision: B\nporpoise: none")
    assert run("build").code == 1
    assert made(workspace) == built, "a list of no job at all does not take the place of one with jobs"


def test_a_change_of_the_machine_reaches_every_sheet(run, workspace, built, spoil):
    spoil("name: DF-1 dust fan", "name: DF-1 large dust fan", MACHINE)
    assert run("build").code == 0
    now = made(workspace)
    assert [name for name in SHEETS if now[name] == built[name]] == []


def test_sheets_not_made_this_time_do_not_stay_beside_newer_ones(run, workspace, built, spoil):
    assert run("build", "--only", "html").code == 0
    assert made(workspace) == built, "nothing has changed"
    spoil("name: DF-1 dust fan", "name: DF-1 large dust fan", MACHINE)
    assert run("build", "--only", "html").code == 0
    assert sorted(made(workspace)) == ["isolation-sheet.html"]
    assert run("build", "--only", "pdf").code == 0
    assert sorted(made(workspace)) == SHEETS
    spoil("name: DF-1 large dust fan", "name: DF-1 dust fan", MACHINE)
    assert run("build", "--only", "pdf").code == 0
    assert sorted(made(workspace)) == [name for name in SHEETS if not name.endswith("html")]


def test_a_procedure_alone_renews_the_picking_list_and_nothing_else(run, workspace, built, spoil):
    spoil("revision: A", "revision: B")
    spoil("name: DF-1 dust fan", "name: DF-1 large dust fan", MACHINE)
    assert run("build", "procedures/df-1/filter-clean.yaml").code == 0
    now = made(workspace)
    assert [name for name in SHEETS if now[name] != built[name]] == ["picking-list.pdf"]
    assert "may be older" in of_machine(workspace)[0]


def test_each_class_of_machines_has_its_sheets_and_a_class_that_is_gone_none(run, workspace, built, spoil):
    """A switch that machines have from number 20 on cuts them into two classes."""
    old = "  lid: {name: filter lid,"
    new = "  wall-switch: {values: [off, on], by: person, place: wall, applies_to: {serials: [{from: 20}]}}\n"
    spoil(old, new + old, MACHINE)
    run("build", "--only", "html")
    names = sorted(made(workspace))
    assert len(names) == 2 and all(name.startswith("isolation-sheet-") for name in names), names
    texts = re.findall(r'class="machines">(.*?)<', (workspace / "out/index.html").read_text("utf-8"))
    assert {"DF1-1 to DF1-19", "DF1-20 and up"} <= set(texts)
    spoil(new, "", MACHINE)
    assert run("build", "--only", "html").code == 0
    assert sorted(made(workspace)) == ["isolation-sheet.html"]


@pytest.mark.parametrize("together", [False, True])
def test_a_sheet_that_cannot_be_drawn_is_a_finding_at_the_machine_file(
    run, workspace, built, spoil, monkeypatch, together
):
    def failing(sheet, *rest):
        raise RenderFault("the card's font has no sign for \u2600: write it in words")

    monkeypatch.setattr(sheets, "screen", failing)
    spoil("revision: A", "revision: B")
    card = workspace / "out/df-1/filter-clean/checklist.html"
    before = card.read_bytes()
    told = run("build", "--only", "html", *(["--together"] if together else []))
    assert told.code == 1
    assert f"{MACHINE}:1:1: error: The card's font has no sign for \u2600" in told.out
    assert made(workspace) == built
    assert (card.read_bytes() == before) is together
