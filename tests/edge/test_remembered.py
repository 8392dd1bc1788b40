"""`check` tells again what an earlier run found if, and only if, a new run would find the same."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.build import cache, classes, fingerprint, remembered
from benchleaf.build.faults import NoSource
from benchleaf.build.pipeline import run as judge
from benchleaf.build.request import Request, silence
from benchleaf.build.rules import all_rules
from benchleaf.edge import report, report_json, report_sarif
from benchleaf.source.text import Unreadable

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "builder" / "benchleaf"
PROCEDURE = "procedures/df-1/filter-clean.yaml"
MACHINE = "procedures/df-1/machine.yaml"
SHOP = "procedures/shop.yaml"
BLOCK = "procedures/common/brush.yaml"
SECOND = "procedures/df-2/mat-clean.yaml"
FIGURE = "procedures/df-1/figures/fan.svg"
REQUESTS = ((), (PROCEDURE,), (SECOND, PROCEDURE), (MACHINE,), (BLOCK,), ("procedures/df-1",))
TODAY = "2026-05-31"

BRUSH = """format: benchleaf/block/1
id: brush
title: Look at the brush
steps:
  - look: The brush is dry.
    figure: {file: figures/fan.svg, alt: The fan seen from above}
"""


@pytest.fixture(scope="module")
def model(tmp_path_factory):
    """A workspace with two machines, a block, a link between procedures, a waiver and a figure."""
    root = tmp_path_factory.mktemp("model") / "ws"
    here = subprocess.run([sys.executable, "-m", "benchleaf", "begin", root], env=surroundings(), capture_output=True)
    assert here.returncode == 0
    text = (root / PROCEDURE).read_text("utf-8")
    machine = (root / MACHINE).read_text("utf-8")
    text = text.replace("  - clean: filter\n", "  - insert: brush\n  - clean: filter\n")
    text = text.replace("leave: as-final}", "then: {procedure: mat-clean}, leave: as-final}")
    waiver = "waive: [{check: language.long-sentence, reason: It quotes the label., until: 2026-06-30}]\nsteps: "
    second = text.replace("df-1", "df-2").replace("id: filter-clean", "id: mat-clean").replace("mat-clean}", "none}")
    files = {
        PROCEDURE: text.replace("steps: ", waiver),
        MACHINE: machine,
        BLOCK: BRUSH,
        SECOND: second,
        "procedures/df-2/machine.yaml": machine.replace("df-1", "df-2"),
        FIGURE: '<svg xmlns="http:' + '//www.w3.org/2000/svg" viewBox="0 0 1 1"/>\n',
    }
    for name, content in files.items():
        (root / name).parent.mkdir(exist_ok=True)
        (root / name).write_text(content, "utf-8")
    return root


def surroundings(package=PACKAGE):
    mine = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    return mine | {"PYTHONPATH": str(package.parent), "PYTHONDONTWRITEBYTECODE": "1"}


@pytest.fixture
def place(model, tmp_path):
    """A copy of the workspace."""
    shutil.copytree(model, tmp_path / "ws")
    return tmp_path / "ws"


def asked(root, paths, today=TODAY, remember=True):
    return Request(root, today, tuple(root / path for path in paths), remember=remember)


def told(request):
    """All that a user may see of a check: each report, and the end."""
    try:
        verdict = remembered.recall(request) if request.remember else None
        verdict = verdict or judge(request, silence).verdict
    except (NoSource, Unreadable) as error:
        return str(error)
    return (
        report.text(verdict, colour=True),
        report.summary(verdict),
        report_json.text(verdict),
        report_sarif.text(verdict, all_rules()),
        verdict.failed(strict=True),
    )


@pytest.mark.parametrize("paths", REQUESTS)
def test_a_second_run_remembers(place, paths):
    request = asked(place, paths)
    assert remembered.recall(request) is None
    first = judge(request, silence).verdict
    again = remembered.recall(request)
    assert again is not None
    assert again[:2] == first[:2]
    assert told(request) == told(asked(place, paths, remember=False))


def test_findings_are_remembered_with_all_that_belongs_to_them(place):
    text = (place / PROCEDURE).read_text("utf-8")
    text = text.replace("purpose:", "porpoise:", 1).replace("[T1, T2]", "[T1, T9]")
    (place / PROCEDURE).write_text(text, "utf-8")
    (place / "procedures/df-1/Copy of x.yaml").write_text("", "utf-8")
    (place / BLOCK).write_text(BRUSH + BRUSH.splitlines()[2] + "\n", "utf-8")
    request = asked(place, ())
    first = judge(request, silence).verdict
    assert any(finding.related for finding in first.findings)
    assert any(finding.change for finding in first.findings)
    assert remembered.recall(request)[:2] == first[:2]
    assert told(request) == told(asked(place, (), remember=False))


def test_nothing_is_kept_unless_asked(place):
    judge(asked(place, (), remember=False), silence)
    assert not place.joinpath(*cache.FOLDER).exists()


def test_each_way_to_ask_has_its_own_memory(place):
    judge(asked(place, (PROCEDURE,)), silence)
    assert remembered.recall(asked(place, (SECOND,))) is None
    assert remembered.recall(asked(place, ())) is None
    assert remembered.recall(asked(place, (PROCEDURE, f"procedures/../{PROCEDURE}"))) is not None


def forget(place, change, paths=(PROCEDURE,)):
    """Whether a change to the workspace is noticed, and a new run agrees with one that remembers nothing."""
    request = asked(place, paths)
    judge(request, silence)
    assert remembered.recall(request) is not None
    change()
    forgotten = remembered.recall(request) is None
    assert told(request) == told(asked(place, paths, remember=False))
    return forgotten


def test_another_day_is_noticed(place):
    judge(asked(place, (PROCEDURE,)), silence)
    later = asked(place, (PROCEDURE,), today="2026-07-01")
    assert remembered.recall(later) is None
    assert "approval.expired-waiver" in told(later)[0]


@pytest.mark.parametrize("file", [PROCEDURE, MACHINE, SHOP, BLOCK, SECOND, FIGURE])
def test_a_change_of_size_and_time_alike_is_noticed(place, file):
    """Bytes count, not times: some tools set them back."""

    def change():
        before = (place / file).stat()
        content = (place / file).read_bytes()
        (place / file).write_bytes(content.replace(b"e", b"o", 1))
        os.utime(place / file, ns=(before.st_atime_ns, before.st_mtime_ns))

    assert forget(place, change)


@pytest.mark.parametrize("file", [PROCEDURE, MACHINE, SHOP, BLOCK, SECOND, FIGURE])
def test_a_deleted_file_is_noticed(place, file):
    assert forget(place, (place / file).unlink)


def test_a_renamed_figure_is_noticed(place):
    assert forget(place, lambda: (place / FIGURE).rename(place / "procedures/df-1/figures/top.svg"))


@pytest.mark.parametrize("name", ["other.yaml", "filter-clean.yaml~", "filter-clean (1).yaml", "drafts/x.yaml"])
def test_a_new_file_is_noticed(place, name):
    """Among them those that are not read, and told of all the same."""

    def change():
        (place / "procedures/df-1" / name).parent.mkdir(exist_ok=True)
        (place / "procedures/df-1" / name).write_text("", "utf-8")

    assert forget(place, change, ())


def test_a_touched_file_is_not(place):
    assert not forget(place, lambda: os.utime(place / PROCEDURE, (1, 1)))


@pytest.mark.parametrize("name", ["procedures", SHOP])
def test_sources_that_move_behind_a_link_are_noticed(place, name):
    def change():
        moved = (place / name).rename(place.parent / "moved")
        (place / name).symlink_to(moved)

    assert forget(place, change)


def test_what_lies_elsewhere_does_not_matter(place):
    assert not forget(place, lambda: (place / "notes.yaml").write_text("", "utf-8"))


def kept(place):
    """Name and data of all that is kept for a workspace."""
    names = [path.name for path in place.joinpath(*cache.FOLDER).iterdir() if len(path.name) == 64]
    return [(name, cache.read(place, name)) for name in sorted(names)]


def verdicts(place):
    return [(name, data) for name, data in kept(place) if "files" in data]


def test_a_file_of_somebody_else_in_its_place_is_none(place):
    request = asked(place, (PROCEDURE,))
    judge(request, silence)
    (name, entry), *_ = verdicts(place)
    for strange in ([], "text", {}, entry | {"findings": [[]]}, entry | {"files": []}, entry | {"standings": 1}):
        cache.write(place, name, strange)
        assert remembered.recall(request) is None


def test_parts_of_somebody_else_are_none(place):
    request = asked(place, (PROCEDURE,))
    clean = told(request)
    ((name, entry),) = [(name, data) for name, data in kept(place) if "parts" in data]
    assert len(entry["parts"]) == 3
    for strange in ([], "text", {}, entry | {"parts": 1}, entry | {"parts": {key: [[1]] for key in entry["parts"]}}):
        for key, _ in verdicts(place):
            cache.write(place, key, {})
        cache.write(place, name, strange)
        assert told(request) == clean


def test_parts_of_another_tool_are_none(place, monkeypatch):
    request = asked(place, (PROCEDURE,))
    judge(request, silence)
    assert again(place, request, monkeypatch, PROCEDURE) == ([], [])
    monkeypatch.setattr(fingerprint, "of_tool", lambda: "another")
    procedures, machines = again(place, request, monkeypatch, PROCEDURE)
    assert procedures == ["filter-clean"]
    assert machines == ["", "df-1"]


def counted(seen, name, work):
    def noted(subject):
        seen.append(name(subject))
        return work(subject)

    return noted


def again(place, request, monkeypatch, *edited, old="", new=""):
    """The procedures and the machine files (empty: the shop with its blocks) that a check judges after an edit."""
    for file in edited:
        text = (place / file).read_text("utf-8")
        assert old in text
        (place / file).write_text(text.replace(old, new) if old else text, "utf-8")
    procedures, common = [], []
    with monkeypatch.context() as patch:
        patch.setattr(classes, "hold", counted(procedures, lambda case: case.procedure.id.name, classes.hold))
        looked = counted(common, lambda one: str(one.machine.id) if one.machine else "", classes.common)
        patch.setattr(classes, "common", looked)
        judge(request, silence)
    return procedures, common


EVERYTHING = (["filter-clean", "mat-clean"], ["", "df-1", "df-2"])


@pytest.mark.parametrize(
    ("file", "old", "new", "judged"),
    [
        (SECOND, "purpose: ", "purpose: Really ", (["filter-clean", "mat-clean"], ["", "df-2"])),
        (PROCEDURE, "purpose: ", "purpose: Really ", (["filter-clean"], ["", "df-1"])),
        (MACHINE, "name: ", "name: New ", (["filter-clean"], ["", "df-1"])),
        (SHOP, "name: ", "name: New ", EVERYTHING),
        (BLOCK, "title: ", "title: New ", EVERYTHING),
        (FIGURE, "viewBox", "viewbox", (["filter-clean"], [])),
    ],
)
def test_only_what_an_edit_can_tell_on_is_judged_again(place, monkeypatch, file, old, new, judged):
    """The first procedure leads to the second, and so rests on it as well."""
    request = asked(place, ())
    judge(request, silence)
    assert again(place, request, monkeypatch, file, old=old, new=new) == judged
    assert told(request) == told(asked(place, (), remember=False))


def test_an_edit_of_one_procedure_leaves_what_is_common_alone(place, monkeypatch):
    request = asked(place, (PROCEDURE,))
    judge(request, silence)
    assert again(place, request, monkeypatch, PROCEDURE, old="purpose: ", new="purpose: Really ") == (
        ["filter-clean"],
        [],
    )


def test_how_the_next_card_begins_is_noticed(place):
    """What ends in one procedure is held against the beginning of another, and told in the first."""
    request = asked(place, ())
    assert "energy.next-card-unready" not in told(request)[0]
    text = (place / SECOND).read_text("utf-8")
    (place / SECOND).write_text(text.replace("initial: {switch: off,", "initial: {switch: on,"), "utf-8")
    assert "energy.next-card-unready" in told(request)[0]
    assert told(request) == told(asked(place, (), remember=False))


def test_a_name_that_comes_near_is_noticed(place):
    """A link that leads nowhere is told with the nearest name, and rests on all the names there are."""
    request = asked(place, ())
    told(request)
    text = (place / SECOND).read_text("utf-8")
    (place / "procedures/df-2/nonee.yaml").write_text(text.replace("id: mat-clean", "id: nonee"), "utf-8")
    assert told(request) == told(asked(place, (), remember=False))
    assert "`nonee`" in told(request)[0]


def test_a_change_of_the_tool_is_noticed(place, tmp_path):
    """One letter in any file of the package, its time unchanged."""
    package = tmp_path / "builder" / "benchleaf"
    shutil.copytree(PACKAGE, package, ignore=shutil.ignore_patterns("__pycache__", "render", "*.svg"))
    shutil.copytree(ROOT / "schema", tmp_path / "schema")
    (tmp_path / "pyproject.toml").write_text("", "utf-8")
    code = "from benchleaf.build import fingerprint; print(fingerprint.of_tool())"

    def tool():
        done = subprocess.run([sys.executable, "-c", code], env=surroundings(package), capture_output=True, text=True)
        assert not done.stderr
        return done.stdout

    seen = {tool()}
    assert seen == {tool()}
    # As an editor leaves it behind for a file that is being edited.
    (package / "passes/.#torque.py").symlink_to("nowhere")
    assert seen == {tool()}
    for file in (package / "passes/torque.py", package / "model/units.json", tmp_path / "schema/shop.schema.json"):
        before = file.stat()
        file.write_bytes(file.read_bytes().replace(b"e", b"f", 1))
        os.utime(file, ns=(before.st_atime_ns, before.st_mtime_ns))
        seen.add(tool())
    assert len(seen) == 4


def test_another_tool_trusts_nothing_of_this_one(place, monkeypatch):
    request = asked(place, (PROCEDURE,))
    judge(request, silence)
    monkeypatch.setattr(fingerprint, "of_tool", lambda: "another")
    assert remembered.recall(request) is None


def test_other_libraries_are_noticed(monkeypatch):
    before = fingerprint.of_tool.__wrapped__()
    assert before == fingerprint.of_tool()
    assert [path for path, _, _ in fingerprint._library("yaml") if path.endswith("__init__.py")]
    monkeypatch.setattr(fingerprint, "_library", lambda name: [("elsewhere", 1, 1)])
    assert fingerprint.of_tool.__wrapped__() != before


LOADED = """
import sys
before = set(sys.modules)
from benchleaf.edge.cli import main
main(["check", "--no-cache"])
found = {name.partition(".")[0] for name, module in sys.modules.items() if getattr(module, "__file__", None)}
print(*sorted(found - sys.stdlib_module_names - {name.partition(".")[0] for name in before}))
"""


def test_every_library_that_judges_is_watched():
    command = [sys.executable, "-c", LOADED]
    done = subprocess.run(command, cwd=ROOT, env=surroundings(), capture_output=True, text=True)
    loaded = set(done.stdout.splitlines()[-1].split()) - {"benchleaf"}
    # Circuits larger than those of the demo are judged by numpy.
    assert loaded | {"numpy"} == set(fingerprint.LIBRARIES)


def test_a_tool_that_cannot_be_read_remembers_nothing(place, monkeypatch):
    def unreadable():
        raise PermissionError("not yours")

    request = asked(place, (PROCEDURE,))
    first = told(request)
    monkeypatch.setattr(fingerprint, "of_tool", unreadable)
    assert remembered.recall(request) is None
    assert told(request) == first


WATCHED = """
import json, os, sys
from benchleaf.edge.cli import main
opened = set()
def watch(event, args):
    if event in ("open", "os.scandir", "os.listdir") and isinstance(args[0], (str, os.PathLike)):
        path = os.path.realpath(args[0])
        if path.startswith(os.getcwd() + os.sep):
            opened.add((event, os.path.relpath(path)))
sys.addaudithook(watch)
main(["check", *sys.argv[1:]])
print(json.dumps(sorted(opened)))
"""


@pytest.mark.parametrize("paths", [(), ("procedures/rc-48/no-drive.yaml",), ("procedures/ht-600",)])
def test_every_file_that_is_opened_is_watched(tmp_path, paths):
    """No read past the books: what a check opens is what its verdict is said to rest on."""
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    command = [sys.executable, "-c", WATCHED, *paths]
    done = subprocess.run(command, cwd=tmp_path, env=surroundings(), capture_output=True, text=True)
    assert not done.stderr
    opened = [(event, path) for event, path in json.loads(done.stdout.splitlines()[-1]) if path[0] != "."]
    ((_, entry),) = verdicts(tmp_path)
    assert sorted(path for event, path in opened if event == "open") == sorted(entry["files"])
    assert any(path.endswith(".svg") for path in entry["files"])
    folders = {path for event, path in opened if event != "open"}
    assert folders <= {"procedures", *(f"procedures/{path.name}" for path in (tmp_path / "procedures").iterdir())} | {
        path.relative_to(tmp_path).as_posix() for path in (tmp_path / "procedures").glob("*/figures")
    }


FILES = (PROCEDURE, MACHINE, SHOP, BLOCK, SECOND, FIGURE, "procedures/df-2/machine.yaml")
PIECES = (
    "a",
    " ",
    "\n",
    ":",
    "- ",
    "mat-clean",
    "filter",
    "brush",
    "9 V",
    "figures/fan.svg",
    "df-2",
    "ü",
    "\t",
    "id:",
)


@st.composite
def edits(draw):
    """A change to the workspace as data: what is done, to which file, where, and with what."""
    kind = draw(st.sampled_from(("put", "put", "cut", "cut", "drop", "back", "rename", "add", "day")))
    return kind, draw(st.sampled_from(FILES)), draw(st.floats(0, 1)), draw(st.sampled_from(PIECES))


def apply(edit, place, model):
    kind, file, where, piece = edit
    path = place / file
    if kind == "back":
        path.parent.mkdir(exist_ok=True)
        shutil.copyfile(model / file, path)
    elif kind == "add":
        (path.parent / f"{piece.strip(':- ')[:9].replace('/', '-').strip() or 'x'}.yaml").write_text(piece, "utf-8")
    elif path.exists() and kind in ("put", "cut"):
        text = path.read_text("utf-8")
        at = int(where * len(text))
        path.write_text(text[:at] + (piece + text[at:] if kind == "put" else text[at + len(piece) :]), "utf-8")
    elif path.exists() and kind == "rename":
        path.rename(path.with_name("renamed" + path.suffix))
    elif path.exists() and kind == "drop" and file != SHOP:
        path.unlink()


@pytest.fixture(scope="module")
def remembering(model, tmp_path_factory):
    """The workspace in which everything that is ever asked for has been asked for."""
    place = shutil.copytree(model, tmp_path_factory.mktemp("remembering") / "ws")
    for paths in REQUESTS:
        assert told(asked(place, paths)) == told(asked(place, paths))
    return place


@settings(max_examples=60)
@given(st.lists(st.tuples(edits(), st.sampled_from(REQUESTS)), min_size=1, max_size=6))
def test_what_is_remembered_is_what_a_new_run_finds(model, remembering, tmp_path_factory, changes):
    """Whatever happens to the files between two runs: text, JSON, SARIF and exit code are those of a clean run."""
    place = shutil.copytree(remembering, tmp_path_factory.mktemp("edited") / "ws")
    today = TODAY
    assert all(remembered.recall(asked(place, paths)) for paths in REQUESTS)
    for edit, paths in changes:
        apply(edit, place, model)
        if edit[0] == "day":
            today = "2026-07-01" if today == TODAY else TODAY
        clean = told(asked(place, paths, today, remember=False))
        assert told(asked(place, paths, today)) == clean
        assert told(asked(place, paths, today)) == clean
