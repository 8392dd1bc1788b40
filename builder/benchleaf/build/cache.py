"""Small files that a later run may use and none needs: checked by digest, bounded, and never in the way.

Whatever hinders them (no permission, a full disk, a damaged file) makes them as if they were not there.
"""

import json
import os
from contextlib import suppress
from pathlib import Path
from typing import Any

from benchleaf.build.fingerprint import of_bytes

FOLDER = (".benchleaf", "cache")
MOST_ENTRIES = 64
MOST_BYTES = 32 << 20
LARGEST_ENTRY = 8 << 20

# Characters of a digest.
_NAME = 64
_HEXADECIMAL = frozenset("0123456789abcdef")


def read(root: Path, name: str) -> Any:
    """The plain data kept under a name (a digest in hexadecimal) in the workspace at `root`; None if there is none."""
    folder = _folder(root)
    try:
        if folder is None:
            return None
        with (folder / name).open("rb") as stream:
            stated, _, told = stream.read(_NAME + 1 + LARGEST_ENTRY).partition(b"\n")
        return json.loads(told) if of_bytes(told).encode() == stated else None
    except (OSError, ValueError):
        return None


def write(root: Path, name: str, data: Any) -> None:
    """Keep plain data under a name, in place of what was there."""
    told = json.dumps(data, separators=(",", ":")).encode()
    folder = _folder(root)
    if folder is None or len(told) > LARGEST_ENTRY:
        return
    waiting = folder / f"{name}-{os.getpid()}-{os.urandom(4).hex()}"
    try:
        _prepare(folder)
        _make_room(folder, len(told))
        # Not flushed to the disk: an entry that a crash cuts short is found out by its digest.
        with waiting.open("xb") as stream:
            stream.write(of_bytes(told).encode() + b"\n" + told)
        waiting.replace(folder / name)
    except OSError:
        with suppress(OSError):
            waiting.unlink(missing_ok=True)


def _folder(root: Path) -> Path | None:
    """Where the files lie; None where a link leads elsewhere, since old files are deleted there."""
    outer, folder = root / FOLDER[0], root.joinpath(*FOLDER)
    return None if outer.is_symlink() or folder.is_symlink() else folder


def _prepare(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    ignored = folder / ".gitignore"
    if not ignored.exists():
        ignored.write_text("*\n", encoding="utf-8")


def _make_room(folder: Path, size: int) -> None:
    """Delete the oldest files until one more of this size fits."""
    with os.scandir(folder) as entries:
        kept = [(each.stat().st_mtime_ns, each.stat().st_size, each.path) for each in entries if _is_ours(each)]
    count, whole = len(kept) + 1, size + sum(each for _, each, _ in kept)
    for _, freed, path in sorted(kept):
        if count <= MOST_ENTRIES and whole <= MOST_BYTES:
            return
        os.unlink(path)
        count, whole = count - 1, whole - freed


def _is_ours(entry: "os.DirEntry[str]") -> bool:
    return entry.is_file(follow_symlinks=False) and _HEXADECIMAL.issuperset(entry.name[:_NAME].ljust(_NAME, "-"))
