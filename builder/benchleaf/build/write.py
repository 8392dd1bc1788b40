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
from collections.abc import Iterator, Sequence
from contextlib import contextmanager, suppress
from pathlib import Path, PurePosixPath
from typing import IO, NamedTuple

from benchleaf.base.durable import flush_folder
from benchleaf.build.faults import Unwritable

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


class _Move(NamedTuple):
    target: Path
    new: Path
    old: Path
    gone: bool


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


@contextmanager
def exchange(root: Path) -> Iterator["Exchange"]:
    """A set of files to put in place below `root`: all of them when the block ends well, none if it raises.

    Raises Unwritable with the file that stood in the way; then every target is as it was.
    """
    files = Exchange(root)
    try:
        yield files
        files.commit()
    finally:
        files.clear()


class Exchange:
    """Files written beside their targets and waiting to be put in place together."""

    def __init__(self, root: Path) -> None:
        """Nothing to do yet; names of targets are relative to `root`, with forward slashes."""
        self._root = root
        self._mark = f"{os.getpid()}-{secrets.token_hex(4)}"
        self._moves: list[_Move] = []

    def put(self, name: str, content: bytes) -> bool:
        """The file `name` shall hold `content`; False for a file that does so already and is left alone."""
        target = self._root / name
        if _holds(target, content):
            return False
        _write(self._move(target).new, content, target)
        return True

    def drop(self, name: str) -> None:
        """The file `name` shall go, if it is there."""
        target = self._root / name
        if target.is_file():
            self._move(target, gone=True)

    def commit(self) -> None:
        """Put all files in place."""
        if len(self._moves) > 1:
            self._write_journal()
        _put_in_place(self._moves)

    def give_up(self) -> None:
        """Forget all that was put or dropped."""
        self.clear()
        self._moves.clear()

    def clear(self) -> None:
        """Take away what is not in place."""
        # The journal first: without its files it would ask the next run for what is not there.
        for path in (self._journal, *(move.new for move in self._moves), *(move.old for move in self._moves)):
            with suppress(OSError):
                path.unlink(missing_ok=True)

    @property
    def _journal(self) -> Path:
        return self._root / (_JOURNAL + self._mark)

    def _move(self, target: Path, *, gone: bool = False) -> "_Move":
        # Without the target's own name, which may already be as long as the file system allows.
        name = f".{self._mark}-{len(self._moves)}"
        move = _Move(target, target.with_name(name + _NEW), target.with_name(name + _OLD), gone)
        self._moves.append(move)
        return move

    def _write_journal(self) -> None:
        pairs = [["" if move.gone else self._relative(move.new), self._relative(move.target)] for move in self._moves]
        draft = self._root / f".{self._mark}-journal{_NEW}"
        try:
            _write(draft, json.dumps(pairs).encode(), self._root)
            os.replace(draft, self._journal)
        except OSError as error:
            raise Unwritable(self._root, error) from error
        finally:
            with suppress(OSError):
                draft.unlink(missing_ok=True)
        flush_folder(self._root)

    def _relative(self, path: Path) -> str:
        return path.relative_to(self._root).as_posix()


def _holds(target: Path, content: bytes) -> bool:
    try:
        return target.is_file() and target.stat().st_size == len(content) and target.read_bytes() == content
    except OSError:
        return False


def _write(path: Path, content: bytes, target: Path) -> None:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with path.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
    except OSError as error:
        raise Unwritable(target, error) from error


def _put_in_place(moves: Sequence[_Move]) -> None:
    done: list[_Move] = []
    try:
        for move in moves:
            try:
                if move.gone:
                    os.replace(move.target, move.old)
                else:
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
        flush_folder(folder)


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


def _finish(root: Path) -> None:
    """Carry out the moves that a killed run had got ready in full."""
    for journal in sorted(root.glob(_JOURNAL + "*")):
        try:
            pairs = json.loads(journal.read_bytes())
            for new, target in pairs:
                if not _inside(target):
                    continue
                if new == "":
                    (root / target).unlink(missing_ok=True)
                elif _inside(new) and new.endswith(_NEW) and (root / new).is_file():
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
