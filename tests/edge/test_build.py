"""`build`: what it makes, what it leaves alone, and what is there after anything went wrong."""

import json
import os
import re
import shutil
import signal
import subprocess
import sys
from pathlib import Path

import jsonschema
import pikepdf
import pytest

from benchleaf.base import resources
from benchleaf.edge import cli
from benchleaf.render import html, pdf
from benchleaf.render.fault import RenderFault

PACKAGE = Path(cli.__file__).resolve().parents[2]
PROCEDURE = "procedures/df-1/filter-clean.yaml"
FOLDER = "out/df-1/filter-clean"
SECOND = "procedures/df-1/wheel-look.yaml"
WHEEL_LOOK = """# yaml-language-server: $schema=../../.benchleaf/schema/procedure.schema.json
format: benchleaf/procedure/1
id: wheel-look
title: Look at the fan wheel
kind: inspection
machine: df-1
revision: A
changed: {kind: technical, reason: First issue}
owner: Our workshop
purpose: See that the wheel turns.
complaint: {text: The fan is silent.}
crew: {technician: any}
supplies: none
spares: none
initial: {switch: off, mains-plug: plugged, lid: closed}
steps:
  - operate: Switch the fan on.
    sets: {switch: on}
    expect: The fan is heard.
    otherwise: {found: silent}
  - operate: Switch the fan off.
    sets: {switch: off}
    then: {found: turns}
outcomes:
  turns: {text: The fan is in order., leave: as-final}
  silent: {text: Tell the maker., leave: out-of-service}
final: {switch: off, mains-plug: plugged, lid: closed}
"""


def files(root):
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and path.name != ".gitignore"
    }


@pytest.fixture
def second(workspace):
    (workspace / SECOND).write_text(WHEEL_LOOK, "utf-8")
    return SECOND


@pytest.fixture(scope="module")
def two_built(begun, tmp_path_factory):
    """What a build of the checklists of two procedures leaves in `out`."""
    root = shutil.copytree(begun, tmp_path_factory.mktemp("two") / "ws")
    (root / SECOND).write_text(WHEEL_LOOK, "utf-8")
    assert cli.main(["build", "--only", "html", str(root / "procedures")]) == 0
    return root / "out"


@pytest.fixture
def built(workspace, second, two_built):
    """The workspace with two procedures as after a build of the checklists; all files of `out`."""
    shutil.copytree(two_built, workspace / "out", dirs_exist_ok=True)
    return files(workspace / "out")


def index(workspace):
    """Each procedure's part of the index, by title."""
    text = (workspace / "out/index.html").read_text("utf-8")
    return dict(re.findall(r"<h3>(.*?)</h3>(.*?)</article>", text, re.DOTALL))


def test_a_build_makes_card_checklist_and_index(run, workspace):
    assert run("build") == (0, "nothing to mend; 1 of 1 procedure ready.\n", "")
    made = files(workspace / FOLDER)
    assert sorted(made) == ["card.json", "card.pdf", "checklist.html", "reading-sheet.pdf"]
    jsonschema.Draft202012Validator(json.loads(resources.schema_text("card"))).validate(json.loads(made["card.json"]))
    with pikepdf.open(workspace / FOLDER / "card.pdf") as made:
        assert str(made.docinfo["/Title"]) == "Clean the filter"
        # A4 in points: 210 mm and 297 mm (ISO 216) at 72 points an inch.
        assert [round(float(number)) for number in made.pages[0].MediaBox] == [0, 0, 595, 842]
    links = re.findall(r'href="([^"]+)"', index(workspace)["Clean the filter"])
    names = ("card.pdf", "checklist.html", "reading-sheet.pdf")
    assert links == [f"df-1/filter-clean/{name}" for name in names]
    assert all((workspace / "out" / link).is_file() for link in links)


def test_paper_may_be_letter(run, workspace):
    assert run("build", "--only", "pdf", "--paper", "Letter").code == 0
    with pikepdf.open(workspace / FOLDER / "card.pdf") as made:
        # Letter in points: 8.5 inches and 11 inches (ANSI/ASME Y14.1) at 72 points an inch.
        assert [round(float(number)) for number in made.pages[0].MediaBox] == [0, 0, 612, 792]


def test_the_same_source_gives_the_same_bytes_and_touches_nothing(run, workspace, built):
    path = workspace / FOLDER / "checklist.html"
    os.utime(path, (1, 1))
    assert run("build", "--only", "html").code == 0
    assert files(workspace / "out") == built
    assert path.stat().st_mtime == 1


def test_a_faulty_procedure_keeps_its_documents_and_the_index_says_so(run, workspace, built, spoil):
    spoil("revision: A", "revision: B\nporpoise: none")
    spoil("revision: A", "revision: B", SECOND)
    told = run("build", "--only", "html")
    assert told.code == 1 and "source.unknown-field" in told.out
    now = files(workspace / "out")
    for name in ("card.json", "checklist.html"):
        assert now[f"df-1/filter-clean/{name}"] == built[f"df-1/filter-clean/{name}"]
        assert now[f"df-1/wheel-look/{name}"] != built[f"df-1/wheel-look/{name}"]
    assert "these documents are from the last build without errors" in index(workspace)["Clean the filter"]
    assert "checklist.html" in index(workspace)["Clean the filter"]
    assert "errors" not in index(workspace)["Look at the fan wheel"]


def test_a_faulty_procedure_without_documents_is_in_the_index(run, workspace, spoil):
    spoil("revision: A", "revision: B\nporpoise: none")
    assert run("build", "--only", "html").code == 1
    assert "there are no documents yet" in index(workspace)["filter-clean"]
    assert "href" not in index(workspace)["filter-clean"]


def test_together_builds_all_or_nothing(run, workspace, built, spoil):
    spoil("revision: A", "revision: B", SECOND)
    spoil("revision: A", "revision: B\nporpoise: none")
    told = run("build", "--only", "html", "--together")
    assert told.code == 1 and "nothing was built" in told.err
    assert files(workspace / "out") == built
    spoil("\nporpoise: none", "")
    assert run("build", "--only", "html", "--together").code == 0
    now = files(workspace / "out")
    assert now.keys() == built.keys()
    assert all(now[name] != built[name] for name in built if name.endswith("card.json"))


@pytest.mark.parametrize("together", [False, True])
def test_a_card_that_cannot_be_drawn_is_a_finding(run, workspace, built, spoil, monkeypatch, together):
    """The second of two fails while it is drawn; the first is built, but for `--together`."""
    draw = html.checklist

    def failing(card, *rest):
        if card.id == "wheel-look":
            raise RenderFault("the card's font has no sign for \u2600: write it in words")
        return draw(card, *rest)

    monkeypatch.setattr(html, "checklist", failing)
    for file in (PROCEDURE, SECOND):
        spoil("revision: A", "revision: B", file)
    told = run("build", "--only", "html", *(["--together"] if together else []))
    assert told.code == 1
    assert f"{SECOND}:1:1: error: The card's font has no sign for \u2600" in told.out
    assert "1 of 2 procedures ready" in told.out
    now = files(workspace / "out")
    assert now["df-1/wheel-look/card.json"] == built["df-1/wheel-look/card.json"]
    assert (now["df-1/filter-clean/card.json"] == built["df-1/filter-clean/card.json"]) is together


def test_a_part_can_be_built_and_the_index_still_names_all(run, workspace, second):
    told = run("build", "--only", "html", SECOND)
    assert told == (0, "nothing to mend; 1 of 1 procedure ready.\n", "")
    assert not (workspace / FOLDER).exists()
    assert "Not built yet." in index(workspace)["Clean the filter"]
    assert "The fan is silent." in index(workspace)["Look at the fan wheel"]


def test_errors_elsewhere_do_not_fail_the_build_of_a_part(run, workspace, built, spoil):
    spoil("revision: A", "revision: B\nporpoise: none")
    assert run("build", "--only", "html", SECOND).code == 0
    assert "last build without errors" in index(workspace)["Clean the filter"]


def test_a_document_not_made_this_time_does_not_stay_beside_newer_ones(run, workspace, first_build, spoil):
    shutil.copytree(first_build, workspace / "out", dirs_exist_ok=True)
    assert run("build", "--only", "html").code == 0
    assert (workspace / FOLDER / "card.pdf").exists()
    spoil("revision: A", "revision: B")
    assert run("build", "--only", "html").code == 0
    assert sorted(files(workspace / FOLDER)) == ["card.json", "checklist.html"]
    assert "card.pdf" not in index(workspace)["Clean the filter"]


def test_documents_of_a_vanished_procedure_are_told_and_leave_the_index(run, workspace, built):
    (workspace / SECOND).unlink()
    told = run("build", "--only", "html")
    assert told.code == 0
    assert f"{workspace / 'out/df-1/wheel-look'} belongs to no procedure any more" in told.err
    assert (workspace / "out/df-1/wheel-look/checklist.html").exists()
    assert list(index(workspace)) == ["Clean the filter"]


def test_out_may_be_deleted_and_lie_elsewhere(run, workspace, tmp_path):
    assert run("build", "--only", "html", "--out", str(tmp_path / "elsewhere/cards")).code == 0
    assert sorted(files(tmp_path / "elsewhere/cards")) == [
        ".benchleaf-lock",
        "df-1/.benchleaf-sheets",
        "df-1/filter-clean/card.json",
        "df-1/filter-clean/checklist.html",
        "df-1/isolation-sheet.html",
        "index.html",
    ]
    assert files(workspace / "out") == {}


@pytest.mark.parametrize("out", [".", "..", "procedures", "procedures/df-1", "procedures/new"])
def test_documents_do_not_go_where_sources_are(run, workspace, out):
    before = files(workspace)
    told = run("build", "--out", out)
    assert told.code == 2 and "holds sources" in told.err
    assert files(workspace) == before


@pytest.mark.parametrize("place", ["out", "out/df-1", f"{FOLDER}/card.json"])
def test_what_cannot_be_written_is_named(run, workspace, place):
    """A superuser passes permission bits, so something of the wrong kind stands in the way."""
    (workspace / "out/.gitignore").unlink()
    (workspace / "out").rmdir()
    path = workspace / place
    path.parent.mkdir(parents=True, exist_ok=True)
    if place.endswith(".json"):
        path.mkdir()
    else:
        path.write_bytes(b"mine")
    told = run("build", "--only", "html")
    assert told.code == 3
    assert re.search(rf"{re.escape(str(path))}\S* cannot be written: ", told.err)
    assert "Traceback" not in told.err
    assert not list(workspace.glob("out/**/.*benchleaf-new"))


def test_without_pango_checklists_are_made_and_the_lack_is_told(run, workspace, monkeypatch):
    monkeypatch.setattr(pdf, "pango_missing", lambda: "PDF output needs the library Pango.")
    told = run("build")
    assert told.code == 3
    assert "checklists were built, bench cards were not: PDF output needs the library Pango." in told.err
    assert sorted(files(workspace / FOLDER)) == ["card.json", "checklist.html"]
    assert run("build", "--only", "html").code == 0


def test_without_pango_together_makes_nothing(run, workspace, monkeypatch):
    monkeypatch.setattr(pdf, "pango_missing", lambda: "PDF output needs the library Pango.")
    told = run("build", "--together")
    assert told.code == 3 and "nothing was built: PDF output needs" in told.err
    assert files(workspace / "out") == {}


def test_a_theme_that_does_not_exist(run, workspace):
    told = run("build", "--theme", "none")
    assert told.code == 3 and "there is no theme none; there are: daylight" in told.err


def test_progress_is_told_when_asked_for(run, workspace, second):
    told = run("build", "--only", "html", "--verbose")
    assert [line.split("  ")[-1] for line in told.err.splitlines()] == [
        "check 1 of 2: df-1/filter-clean",
        "check 2 of 2: df-1/wheel-look",
        "build 1 of 3: df-1/filter-clean",
        "build 2 of 3: df-1/wheel-look",
        "build 3 of 3: df-1",
        f"benchleaf: 2 procedures built; see {workspace / 'out/index.html'}",
    ]


KILLED = """
import os, signal, sys
from benchleaf.edge.cli import main

replace, left = os.replace, int(sys.argv.pop(1))

def killing(*arguments):
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    replace(*arguments)

os.replace = killing
main()
"""


@pytest.mark.parametrize("moves", [0, 2, 4])
@pytest.mark.parametrize("together", [False, True])
def test_a_killed_build_leaves_whole_documents_and_the_next_one_puts_them_right(
    run, workspace, built, spoil, moves, together
):
    for file in (PROCEDURE, SECOND):
        spoil("revision: A", "revision: B", file)
    options = ["build", "--only", "html", *(["--together"] if together else [])]
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(moves), *options],
        env=os.environ | {"PYTHONPATH": str(PACKAGE)},
        capture_output=True,
        check=False,
    )
    assert done.returncode == -signal.SIGKILL, done.stderr
    left = files(workspace / "out")
    assert run(*options).code == 0
    now = files(workspace / "out")
    assert now.keys() == built.keys()
    for name in built:
        assert left[name] in (built[name], now[name])


def test_a_workspace_may_bring_a_theme_of_its_own(run, workspace):
    folder = workspace / "themes" / "house"
    folder.mkdir(parents=True)
    (folder / "tokens.json").write_text('{"over": "daylight"}', encoding="utf-8")
    (folder / "checklist.css").write_text("h1 { letter-spacing: 3px }", encoding="utf-8")
    assert run("build", "--only", "html", "--theme", "house").code == 0
    assert "letter-spacing: 3px" in (workspace / FOLDER / "checklist.html").read_text("utf-8")


def test_a_broken_theme_of_the_workspace_is_a_finding(run, workspace):
    folder = workspace / "themes" / "house"
    folder.mkdir(parents=True)
    (folder / "tokens.json").write_text('{"over": "daylight",\n "light": }', encoding="utf-8")
    done = run("build", "--only", "html", "--theme", "house")
    assert done.code == 1
    assert "themes/house/tokens.json:2:1: error: Theme house: tokens.json, line 2: " in done.out
    assert "[document.broken-theme]" in done.out
    (folder / "tokens.json").write_text('{"over": "daylight"}', encoding="utf-8")
    (folder / "checklist.html").write_text("{{ card.weather }}", encoding="utf-8")
    done = run("build", "--only", "html", "--theme", "house")
    assert done.code == 1
    assert "themes/house/checklist.html:1:1: error: " in done.out
    assert "weather" in done.out
