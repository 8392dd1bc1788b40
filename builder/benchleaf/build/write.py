"""Files are written whole or not at all, and a set of files changes together or not at all.

Every file is first written beside its target, flushed to the disk, and only then put in its place. A list of what is
to be put in place (the journal) is written before the first move, so that a run that was killed between two moves is
finished by the next one; a move that fails takes back the earlier ones.
"""

import json
import os
import secrets
import shutil
import sys
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath
from typing import IO, NamedTuple

if sys.platform == "win32":
    import msvcrt

    def _hold(stream: IO[bytes]) -> None:
        msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _hold(stream: IO[bytes]) -> None:
        fcntl.flock(stream, fcntl.LOCK_EX | fcntl.LOCK_NB)


_LOCK = ".benchleaf-lock"
_JOURNAL = ".benchleaf-journal-"
_NEW, _OLD = ".benchleaf-new", ".benchleaf-old"


class Unwritable(Exception):
    """A file or folder that the system does not let us write; `reason` is a plain clause."""

    def __init__(self, path: Path, error: OSError) -> None:
        self.path = path
        self.reason = (error.strerror or str(error)).lower()
        super().__init__(f"{path} cannot be written: {self.reason}")


class _Move(NamedTuple):
    target: Path
    new: Path
    old: Path


@contextmanager
def output(root: Path) -> Iterator[None]:
    """Make the output folder `root` and finish what a killed run left in it.

    The lock only keeps runs from tidying away each other's unfinished files; where it cannot be had (another run,
    a network drive) nothing is tidied, and the files written stay whole all the same.

    Raises Unwritable.
    """
    try:
        root.mkdir(parents=True, exist_ok=True)
        lock = (root / _LOCK).open("ab")
    except OSError as error:
        raise Unwritable(root, error) from error
    with lock:
        try:
            _hold(lock)
            held = True
        except OSError:
            held = False
        if held:
            _finish(root)
            _tidy(root)
        yield


def replace_all(root: Path, files: Mapping[str, bytes]) -> None:
    """Put all files (path relative to `root`, with forward slashes, to content) in place, or none of them.

    Raises Unwritable with the file that stood in the way; then every target is as it was.
    """
    mark = f"{os.getpid()}-{secrets.token_hex(4)}"
    changed = [name for name in sorted(files) if not _holds(root / name, files[name])]
    moves = [_move(root / name, f"{mark}-{number}") for number, name in enumerate(changed)]
    journal = root / (_JOURNAL + mark)
    try:
        for move, name in zip(moves, changed, strict=True):
            _write(move.new, files[name], move.target)
        if len(moves) > 1:
            _write_journal(journal, root, moves)
        _put_in_place(moves)
    finally:
        # The journal first: without its files it would ask the next run for what is not there.
        for path in (journal, *(move.new for move in moves), *(move.old for move in moves)):
            with suppress(OSError):
                path.unlink(missing_ok=True)


def _holds(target: Path, content: bytes) -> bool:
    try:
        return target.is_file() and target.stat().st_size == len(content) and target.read_bytes() == content
    except OSError:
        return False


def _move(target: Path, mark: str) -> _Move:
    # Without the target's own name, which may already be as long as the file system allows.
    return _Move(target, target.with_name(f".{mark}{_NEW}"), target.with_name(f".{mark}{_OLD}"))


def _write(path: Path, content: bytes, target: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
    except OSError as error:
        raise Unwritable(target, error) from error


def _write_journal(journal: Path, root: Path, moves: Sequence[_Move]) -> None:
    pairs = [[path.relative_to(root).as_posix() for path in (move.new, move.target)] for move in moves]
    move = _move(journal, f"{journal.name.removeprefix(_JOURNAL)}-journal")
    _write(move.new, json.dumps(pairs).encode(), root)
    try:
        os.replace(move.new, journal)
        _flush_folder(root)
    except OSError as error:
        raise Unwritable(root, error) from error


def _put_in_place(moves: Sequence[_Move]) -> None:
    done: list[_Move] = []
    try:
        for move in moves:
            try:
                _keep(move)
                os.replace(move.new, move.target)
            except OSError as error:
                raise Unwritable(move.target, error) from error
            done.append(move)
    except BaseException:
        for move in done:
            _take_back(move)
        raise
    for folder in {move.target.parent for move in moves}:
        _flush_folder(folder)


def _keep(move: _Move) -> None:
    """Give the file that stands at the target a second name."""
    if not move.target.exists():
        return
    try:
        os.link(move.target, move.old)
    except OSError:
        # Some file systems have no hard links.
        shutil.copy2(move.target, move.old)


def _take_back(move: _Move) -> None:
    # Whatever fails here, the error that led here is the one to tell.
    with suppress(OSError):
        if move.old.exists():
            os.replace(move.old, move.target)
        else:
            move.target.unlink()


def _flush_folder(folder: Path) -> None:
    """Make renames in a folder last through a power cut; where folders cannot be flushed, the system sees to it."""
    if sys.platform == "win32":
        return
    with suppress(OSError):
        descriptor = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(descriptor)
        finally:
            os.close(descriptor)


def _finish(root: Path) -> None:
    """Carry out the moves that a killed run had got ready in full."""
    for journal in sorted(root.glob(_JOURNAL + "*")):
        try:
            pairs = json.loads(journal.read_bytes())
            for new, target in pairs:
                if _inside(new) and _inside(target) and new.endswith(_NEW) and (root / new).is_file():
                    os.replace(root / new, root / target)
            journal.unlink()
        except OSError as error:
            raise Unwritable(journal, error) from error
        except (ValueError, TypeError, AttributeError):
            # Not written by us.
            journal.unlink()


def _inside(name: str) -> bool:
    path = PurePosixPath(name)
    return not path.is_absolute() and ".." not in path.parts


def _tidy(root: Path) -> None:
    for folder, _, names in os.walk(root):
        for name in names:
            if name.startswith(".") and name.endswith((_NEW, _OLD)):
                with suppress(OSError):
                    os.unlink(os.path.join(folder, name))
