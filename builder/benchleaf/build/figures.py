"""The pictures of a machine's folder: which there are, and the bytes of those that a procedure shows."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from posixpath import normpath
from types import MappingProxyType

from benchleaf.build.fingerprint import LARGEST, of_bytes
from benchleaf.passes.base import Asset
from benchleaf.source.text import Unreadable, reason
from benchleaf.source.workspace import MachineFolder

_STARTS = {
    "png": (b"\x89PNG\r\n\x1a\n",),
    "jpg": (b"\xff\xd8\xff",),
    "jpeg": (b"\xff\xd8\xff",),
    "svg": (b"<svg", b"<?xml", b"\xef\xbb\xbf<"),
}
# What makes a drawing run, load from elsewhere, or grow without bound (W3C SVG 2, chapter 2; XML 1.0, 4.4).
_ACTIVE = (b"<script", b"<foreignobject", b"<!doctype", b"<!entity", b"javascript:", b" onload=", b" onclick=")


class Album:
    """The pictures of several machines' folders. Each is opened once, and only if it is shown."""

    def __init__(self, folders: Iterable[MachineFolder]) -> None:
        """Nothing is opened yet."""
        self._folders = {folder.name: folder for folder in folders}
        self._opened: dict[str, dict[str, Asset]] = {name: {} for name in self._folders}

    def assets(self, name: str, shown: Iterable[str]) -> Mapping[str, Asset]:
        """All pictures of a machine by their path from its folder, and by the names under which they are shown.

        Raises Unreadable.
        """
        folder, opened = self._folders[name], self._opened[name]
        paths = _paths(folder)
        wanted = _wanted(folder, paths, shown)
        for file in wanted.values():
            if file not in opened:
                opened[file] = _asset(paths[file], file)
        listed = {file: opened.get(file) or Asset(file, "", 0) for file in paths}
        return MappingProxyType(listed | {each: opened[file] for each, file in wanted.items()})

    def opened(self) -> dict[str, str]:
        """Digests of all that were opened, by path from the folder that holds the machines' folders."""
        return {f"{name}/{file}": one.digest for name, opened in self._opened.items() for file, one in opened.items()}


def contents(folder: MachineFolder, shown: Iterable[str]) -> dict[str, bytes]:
    """The bytes of the pictures by the name under which they are shown. Raises Unreadable."""
    paths = _paths(folder)
    return {name: _read(paths[file]) for name, file in _wanted(folder, paths, shown).items()}


def _paths(folder: MachineFolder) -> dict[str, Path]:
    return {f"{path.parent.name}/{path.name}": path for path in folder.figures}


def _wanted(folder: MachineFolder, paths: Mapping[str, Path], shown: Iterable[str]) -> dict[str, str]:
    """The picture that each name means: a name may lead out of the machine's folder and back in."""
    straight = {name: normpath(f"{folder.name}/{name}").removeprefix(f"{folder.name}/") for name in shown}
    return {name: file for name, file in sorted(straight.items()) if file in paths}


def _asset(path: Path, file: str) -> Asset:
    content = _read(path)
    return Asset(file, of_bytes(content), len(content), _fault(file, content))


def _read(path: Path) -> bytes:
    try:
        with path.open("rb") as stream:
            return stream.read(LARGEST + 1)
    except OSError as error:
        raise Unreadable(path, reason(error)) from error


def _fault(file: str, content: bytes) -> str:
    kind = file.rpartition(".")[2].lower()
    if kind not in _STARTS:
        return f"is no picture of a kind that a card can hold ({', '.join(_STARTS)})"
    if len(content) > LARGEST:
        return f"is larger than {LARGEST >> 20} MiB"
    if not content.lstrip().startswith(_STARTS[kind]):
        return f"does not hold what its ending .{kind} says"
    if kind == "svg":
        small = content.lower()
        active = next((word for word in _ACTIVE if word in small), b"")
        if active:
            return f"holds `{active.decode().strip()}`, which a drawing must not"
        if b"<svg" not in small:
            return "is no drawing"
        if b'href="http' in small or b"url(http" in small:
            return "loads something from elsewhere"
    return ""
