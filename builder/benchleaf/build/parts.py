"""What parts of a check found before: told again for each part that rests on the same as then; see DEVELOPERS.md.

A part is a procedure with all passes over it, or what is looked at once for all: the shop with the blocks, a machine
file. A writer changes one file between two checks; of the others only those are judged again that can tell.
"""

import os
from collections.abc import Callable, Iterable, Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any

from benchleaf.base.finding import Finding
from benchleaf.build import cache, fingerprint
from benchleaf.build.gather import Key, Loaded, Shelf, linked
from benchleaf.build.remembered import finding_of
from benchleaf.build.request import Request
from benchleaf.passes.base import Asset


class Parts:
    """Findings by the digest of what they rest on.

    Not a value: it takes down what one run asks for, and that is what the next one will know.
    """

    def __init__(self, root: Path = Path(), name: str = "", tool: str = "") -> None:
        """Know what the last run of this name kept, if by the same tool; nothing, and keep nothing, without a name."""
        self._root, self._name, self._tool = root, name, tool
        self._known: Mapping[str, Any] = {}
        self._used: dict[str, tuple[Finding, ...]] = {}
        entry = cache.read(root, name) if name else None
        if isinstance(entry, dict) and entry.get("tool") == tool and isinstance(entry.get("parts"), dict):
            self._known = entry["parts"]

    @property
    def remembers(self) -> bool:
        """Whether anything is to be remembered."""
        return bool(self._name)

    def findings(self, rests_on: Any, work: Callable[[], Iterable[Finding]]) -> tuple[Finding, ...]:
        """What `work` finds: known from before, or found now. `rests_on` is plain data; None: on what nobody knows."""
        if rests_on is None or not self.remembers:
            return tuple(work())
        key = fingerprint.digest(rests_on)
        known = self._told(key)
        found = tuple(work()) if known is None else known
        self._used[key] = found
        return found

    def _told(self, key: str) -> tuple[Finding, ...] | None:
        try:
            return tuple(finding_of(*each) for each in self._known[key])
        except (LookupError, TypeError, ValueError):
            # Not there, or somebody else's file under a name of ours.
            return None

    def keep(self) -> None:
        """Keep what was used, unless that is what was known."""
        if self.remembers and self._used.keys() != self._known.keys():
            cache.write(self._root, self._name, {"tool": self._tool, "parts": self._used})


def of_request(request: Request) -> Parts:
    """What the last check of the same paths kept; nothing for a build, or where nothing is to be remembered."""
    if not request.remember or request.making is not None:
        return Parts()
    try:
        tool = fingerprint.of_tool()
    except OSError:
        # Without a digest of the tool, nobody could say later whether it is still the same.
        return Parts()
    paths = {os.path.relpath(path, request.root) for path in request.paths}
    return Parts(request.root, fingerprint.digest(["parts", sorted(paths)]), tool)


def of_common(folder: str | None, shelf: Shelf, assets: Mapping[str, Asset]) -> Any:
    """What the findings about the shop and the blocks rest on, or about the machine file of a folder."""
    loaded = [shelf.shop, *shelf.blocks.values()]
    if folder is not None:
        loaded.append(shelf.machines[folder])
    elif shelf.complete:
        loaded += shelf.machines.values()
    if shelf.complete:
        loaded += [each for key, each in shelf.procedures.items() if folder in (None, key[0])]
    return _digests(["common", folder, shelf.complete], loaded, assets)


def of_procedure(key: Key, shelf: Shelf, siblings: frozenset[Key], assets: Mapping[str, Asset]) -> Any:
    """What the findings of a procedure rest on: its siblings' contents, and of all other procedures only the names."""
    loaded = [shelf.shop, shelf.machines[key[0]], *shelf.blocks.values(), shelf.procedures[key]]
    loaded += [shelf.procedures[other] for other in sorted(siblings)]
    return _digests(["procedure", key, _named(tuple(shelf.procedures)), sorted(siblings)], loaded, assets)


@lru_cache(maxsize=1)
def _named(keys: tuple[Key, ...]) -> str:
    """The digest of all names that there are, which is the same for each procedure of a run."""
    return fingerprint.digest(keys)


def _digests(of: list[Any], loaded: Iterable[Loaded], assets: Mapping[str, Asset]) -> Any:
    files = [(each.file, each.digest) for each in loaded]
    return [*of, files, sorted(assets.items())] if all(digest for _, digest in files) else None


def siblings(key: Key, shelf: Shelf) -> frozenset[Key]:
    """The procedures to which one leads, by way of others too."""
    found: set[Key] = set()
    open_ = [key]
    while open_:
        record = shelf.procedures[open_.pop()].record
        names = linked(record) if record else ()
        more = [other for other in shelf.procedures if other[1] in names and other not in found and other != key]
        found.update(more)
        open_ += more
    return frozenset(found)
