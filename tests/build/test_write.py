"""Files are written whole or not at all, whatever stops the writing."""

import os
import signal
import subprocess
import sys
import textwrap
from collections.abc import Mapping
from pathlib import Path

import pytest

from benchleaf.build import write
from benchleaf.build.faults import Unwritable
from benchleaf.build.write import exchange, output

OLD = {"m/a/card.json": b"old json", "m/a/card.pdf": b"old pdf", "m/b/card.pdf": b"old b"}
NEW = {"m/a/card.json": b"new json", "m/a/card.pdf": b"new pdf", "m/b/card.pdf": b"new b", "m/c/card.pdf": b"new c"}


def replace_all(root: Path, files: Mapping[str, bytes | None]) -> None:
    with exchange(root) as waiting:
        for name, content in files.items():
            if content is None:
                waiting.drop(name)
            else:
                waiting.put(name, content)


def contents(root: Path) -> dict[str, bytes]:
    return {
        path.relative_to(root).as_posix(): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and path.name != ".benchleaf-lock"
    }


@pytest.fixture
def out(tmp_path: Path) -> Path:
    root = tmp_path / "out"
    with output(root):
        replace_all(root, OLD)
    assert contents(root) == OLD
    return root


def test_a_set_replaces_the_earlier_one_and_leaves_nothing_beside_it(out: Path) -> None:
    replace_all(out, NEW)
    assert contents(out) == NEW


def test_a_file_can_go_with_the_same_move(out: Path) -> None:
    replace_all(out, {"m/a/card.json": b"new json", "m/a/card.pdf": None, "m/none.pdf": None})
    assert contents(out) == {"m/a/card.json": b"new json", "m/b/card.pdf": b"old b"}


def test_a_file_that_should_have_gone_comes_back_when_another_move_fails(out: Path) -> None:
    (out / "m/z").mkdir()
    with pytest.raises(Unwritable):
        replace_all(out, {"m/a/card.pdf": None, "m/b/card.pdf": b"new b", "m/z": b"a folder stands here"})
    assert contents(out) == OLD


def test_a_set_given_up_leaves_no_trace(out: Path) -> None:
    with pytest.raises(KeyError), exchange(out) as waiting:
        waiting.put("m/a/card.pdf", b"new")
        raise KeyError
    assert contents(out) == OLD


def test_what_is_the_same_is_not_touched(out: Path) -> None:
    path = out / "m/a/card.pdf"
    os.utime(path, (1, 1))
    replace_all(out, {**NEW, "m/a/card.pdf": b"old pdf"})
    assert path.stat().st_mtime == 1


@pytest.mark.parametrize("fails_at", range(4))
@pytest.mark.parametrize("error", [OSError(28, "No space left on device"), KeyboardInterrupt()])
def test_a_move_that_fails_takes_back_the_others(
    out: Path, monkeypatch: pytest.MonkeyPatch, fails_at: int, error: BaseException
) -> None:
    moves: list[str] = []
    replace = os.replace

    def failing(source: Path, target: Path) -> None:
        if target.name.startswith("card") and source.name.endswith("-new"):
            moves.append(target.name)
            if len(moves) == fails_at + 1:
                raise error
        replace(source, target)

    monkeypatch.setattr(os, "replace", failing)
    with pytest.raises(Unwritable if isinstance(error, OSError) else KeyboardInterrupt) as raised:
        replace_all(out, NEW)
    assert contents(out) == OLD
    if isinstance(error, OSError):
        assert "no space left" in str(raised.value) and str(out / sorted(NEW)[fails_at]) in str(raised.value)


def test_a_full_disk_while_writing_leaves_the_old_files(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Unwritable, match=r"m/a/card\.json cannot be written: no space left"):
        replace_all(out, NEW)
    assert contents(out) == OLD


def test_without_hard_links_a_failed_move_is_taken_back_too(out: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise OSError(95, "Operation not supported")

    monkeypatch.setattr(os, "link", refuse)
    (out / "m/c/card.pdf").mkdir(parents=True)
    with pytest.raises(Unwritable, match=r"m/c/card\.pdf"):
        replace_all(out, NEW)
    assert contents(out) == OLD
    (out / "m/c/card.pdf").rmdir()
    replace_all(out, NEW)
    assert contents(out) == NEW


def test_a_file_in_place_of_a_folder_is_named(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(Unwritable, match="out cannot be written"), output(tmp_path / "out"):
        raise AssertionError("entered")
    (tmp_path / "out").unlink()
    with output(tmp_path / "out"):
        (tmp_path / "out/m").write_text("mine")
        with pytest.raises(Unwritable, match=r"card\.json cannot be written"):
            replace_all(tmp_path / "out", OLD)
    assert contents(tmp_path / "out") == {"m": b"mine"}


KILLED = """
    import os, signal, sys
    from pathlib import Path
    from benchleaf.build import write

    call, at, root, files = sys.argv[1], int(sys.argv[2]), Path(sys.argv[3]), eval(sys.argv[4])
    original, count = getattr(os, call), 0

    def killing(*arguments):
        global count
        count += 1
        if count == at:
            os.kill(os.getpid(), signal.SIGKILL)
        return original(*arguments)

    setattr(os, call, killing)
    with write.output(root), write.exchange(root) as waiting:
        for name, content in files.items():
            waiting.put(name, content)
"""


@pytest.mark.parametrize(
    ("call", "at", "finished"),
    [("fsync", 2, False), ("replace", 1, False), ("replace", 2, True), ("replace", 4, True)],
)
def test_a_killed_run_leaves_whole_files_and_the_next_one_finishes_or_forgets(
    out: Path, call: str, at: int, finished: bool
) -> None:
    """The first `replace` puts the journal in place: from then on all of the set is on the disk."""
    package = Path(write.__file__).resolve().parents[2]
    command = [sys.executable, "-c", textwrap.dedent(KILLED), call, str(at), str(out), repr(NEW)]
    done = subprocess.run(command, env={"PYTHONPATH": str(package)}, check=False)
    assert done.returncode == -signal.SIGKILL
    left = {name: content for name, content in contents(out).items() if "/." not in f"/{name}"}
    assert all(content in (OLD.get(name), NEW[name]) for name, content in left.items())
    assert contents(out).keys() - left.keys()
    with output(out):
        assert contents(out) == (NEW if finished else OLD)


def test_a_journal_cannot_reach_outside(out: Path) -> None:
    """Output folders are shared and synchronised: what lies in one is not to be trusted."""
    victim = out.parent / "victim"
    victim.write_text("mine")
    (out / ".x.benchleaf-new").write_bytes(b"evil")
    for number, text in enumerate(
        ['[[".x.benchleaf-new", "../victim"]]', "{", '[["m"]]', "7", '[[1, "m/a/card.pdf"]]']
    ):
        (out / f".benchleaf-journal-{number}").write_text(text)
    with output(out):
        assert victim.read_text() == "mine"
        assert contents(out) == OLD


def test_another_run_keeps_its_unfinished_files(out: Path) -> None:
    with output(out):
        (out / ".7.benchleaf-new").write_bytes(b"half")
        with output(out):
            assert (out / ".7.benchleaf-new").exists()
    with output(out):
        assert contents(out) == OLD
