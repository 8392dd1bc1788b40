"""Where signatures lie in a workspace, and how a file is written once and for all: whole, and never over another.

`procedures/MACHINE/signed/ID/REV-NN.json` holds one signature, `procedures/MACHINE/signed/blobs/DIGEST` a figure,
`procedures/signed/people-NN.json` a signed list of people.
"""

import os
import re
import secrets
from contextlib import suppress
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.durable import flush_folder
from benchleaf.card.digest import of_bytes
from benchleaf.review.faults import Refused, Taken

SOURCES, SIGNED, BLOBS = "procedures", "signed", "blobs"
_ENVELOPE = re.compile(r"(?P<revision>[A-Za-z0-9]+(?:[.-][A-Za-z0-9]+)*)-(?P<number>\d{2,4})\.json")
_PEOPLE = re.compile(r"people-(?P<number>\d{2,4})\.json")
# The largest envelope or figure that is read.
LARGEST = 16 << 20


class Stored(NamedTuple):
    """A file of signatures: its path from the root of the workspace, its number, its revision, its bytes."""

    file: str
    number: int
    revision: str
    content: bytes


class Found(NamedTuple):
    """The files of a folder in order of their numbers, and the paths of those that do not belong there."""

    files: tuple[Stored, ...]
    strays: tuple[str, ...]


def folder(root: Path, procedure: str) -> Path:
    """The folder of a procedure's signatures; `procedure` is machine/id."""
    machine, _, id_ = procedure.partition("/")
    return root / SOURCES / machine / SIGNED / id_


def procedures(root: Path) -> tuple[str, ...]:
    """All procedures of which there are signatures, as machine/id. Raises Refused."""
    found = []
    for machine in _names(root / SOURCES):
        place = root / SOURCES / machine / SIGNED
        found += [f"{machine}/{name}" for name in _names(place) if name != BLOBS and (place / name).is_dir()]
    return tuple(found)


def signatures(root: Path, procedure: str) -> Found:
    """The envelopes of a procedure. Raises Refused."""
    return _listed(root, folder(root, procedure), _ENVELOPE)


def people(root: Path) -> Found:
    """The lists of people. Raises Refused."""
    return _listed(root, root / SOURCES / SIGNED, _PEOPLE)


def envelope_name(revision: str, number: int) -> str:
    """The name of the file of a signature."""
    return f"{revision}-{number:02d}.json"


def keep_envelope(root: Path, procedure: str, revision: str, number: int, content: bytes) -> Path:
    """Write a signature. Raises Taken where another one has this number, and Refused."""
    place = folder(root, procedure)
    path = place / envelope_name(revision, number)
    _write_new(path, content)
    others = [
        one for one in signatures(root, procedure).files if one.number == number and one.file != _relative(root, path)
    ]
    if others:
        # Another revision was signed at the same moment, under another name.
        with suppress(OSError):
            path.unlink()
        raise Taken(f"{others[0].file} was signed at the same moment; look at it and sign again")
    return path


def keep_people(root: Path, number: int, content: bytes) -> Path:
    """Write a list of people. Raises Taken and Refused."""
    path = root / SOURCES / SIGNED / f"people-{number:02d}.json"
    _write_new(path, content)
    return path


def keep_blob(root: Path, machine: str, content: bytes) -> str:
    """Keep a figure under its digest, which is returned. Raises Refused."""
    digest = of_bytes(content)
    path = root / SOURCES / machine / SIGNED / BLOBS / digest
    if not path.is_file() or _read(path) != content:
        if path.exists():
            raise Refused(f"{_relative(root, path)} holds something else than its name says; take it away first")
        with suppress(Taken):
            _write_new(path, content)
    return digest


def blob(root: Path, machine: str, digest: str) -> bytes | None:
    """A figure by its digest; None where it is missing or another. Raises Refused."""
    path = root / SOURCES / machine / SIGNED / BLOBS / digest
    content = _read(path) if path.is_file() else b""
    return content if of_bytes(content) == digest else None


def _listed(root: Path, place: Path, pattern: re.Pattern[str]) -> Found:
    files, strays = [], []
    for name in _names(place):
        path = place / name
        named = pattern.fullmatch(name)
        if not named or path.is_symlink() or not path.is_file():
            strays.append(_relative(root, path))
            continue
        revision = named.groupdict().get("revision", "")
        files.append(Stored(_relative(root, path), int(named["number"]), revision, _read(path)))
    return Found(tuple(sorted(files, key=lambda one: (one.number, one.file))), tuple(strays))


def _names(place: Path) -> list[str]:
    """Names in a folder, without those that begin with a dot: what was being written when a run was killed, too."""
    try:
        return sorted(name for name in os.listdir(place) if not name.startswith("."))
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as error:
        raise Refused(f"{place} could not be read: {error.strerror}") from error


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            return stream.read(LARGEST + 1)
    except OSError as error:
        raise Refused(f"{path} could not be read: {error.strerror}") from error


def _relative(root: Path, path: Path) -> str:
    return path.relative_to(root).as_posix()


def _write_new(path: Path, content: bytes) -> None:
    """Write beside the target, flush, and give it its name unless that is taken."""
    draft = path.with_name(f".{secrets.token_hex(8)}.new")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with draft.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
        _name(draft, path, content)
        flush_folder(path.parent)
    except FileExistsError:
        raise Taken(f"{path.name} was signed at the same moment; look at it and sign again") from None
    except OSError as error:
        raise Refused(f"{path} could not be written: {error.strerror}") from error
    finally:
        with suppress(OSError):
            draft.unlink(missing_ok=True)


def _name(draft: Path, path: Path, content: bytes) -> None:
    try:
        os.link(draft, path)
    except FileExistsError:
        raise
    except OSError:
        # Some file systems have no hard links; a file cut short by a crash is then found as damaged.
        with path.open("xb") as stream:
            stream.write(content)
            stream.flush()
            os.fsync(stream.fileno())
