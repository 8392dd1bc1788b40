"""What a verdict rests on, as SHA-256 digests: this tool, which files a workspace has, and what stands in them."""

import os
import sys
from collections.abc import Iterator
from functools import cache
from hashlib import sha256
from importlib.machinery import PathFinder
from json import dumps
from pathlib import Path
from typing import Any

from benchleaf.base.resources import package_root, schema_root
from benchleaf.source.workspace import Survey, is_inside

# The most that is read of any file: pictures are the largest, and what lies beyond this is refused unread.
LARGEST = 5 << 20

# Libraries that a verdict rests on; they are too large to be read at each start.
LIBRARIES = ("jsonschema_rs", "numpy", "yaml")


def digest(data: Any) -> str:
    """Of plain data (dict, list, tuple, str, int, bool, None)."""
    return sha256(dumps(data).encode()).hexdigest()


def of_bytes(content: bytes) -> str:
    """Of the bytes of a file."""
    return sha256(content).hexdigest()


def of_file(path: Path) -> str:
    """Of a file up to LARGEST bytes and one; empty where it cannot be read."""
    try:
        with open(path, "rb", buffering=0) as stream:
            return of_bytes(stream.read(LARGEST + 1))
    except OSError:
        return ""


def of_survey(survey: Survey) -> str:
    """Of everything that a look through the workspace tells, before any file is opened."""
    machines = [
        (each.name, bool(each.machine_file), _names(each.procedures), _names(each.figures), _names(each.translations))
        for each in survey.machines
    ]
    inside = [is_inside(survey.root, path) for path in (survey.shop, survey.shop.parent)]
    return digest([_names(survey.blocks), machines, survey.findings, inside])


def _names(paths: tuple[Path, ...]) -> list[str]:
    return [path.name for path in paths]


@cache
def of_tool() -> str:
    """Of all that judges: each file of this package and its schemas, Python, and the libraries.

    Files are read rather than believed by their times: a container or a package manager may set all times to one.
    Raises OSError.
    """
    whole = sha256(dumps([sys.version, [_library(name) for name in LIBRARIES]]).encode())
    for root in (str(package_root()), str(schema_root())):
        for path in _files(root):
            with open(path, "rb", buffering=0) as stream:
                content = stream.read()
            whole.update(f"{path.removeprefix(root)}\0{len(content)}\0".encode())
            whole.update(content)
    return whole.hexdigest()


def _files(folder: str) -> Iterator[str]:
    with os.scandir(folder) as entries:
        for entry in sorted(entries, key=lambda each: each.name):
            if entry.is_dir(follow_symlinks=False):
                if entry.name != "__pycache__":
                    yield from _files(entry.path)
            # Editors leave links behind that lead nowhere.
            elif entry.is_file():
                yield entry.path


def _library(name: str) -> list[tuple[str, int, int]]:
    """Path, size and time of each file of an installed library, found without loading it."""
    spec = PathFinder.find_spec(name)
    found = []
    for place in (spec.submodule_search_locations or ()) if spec else ():
        with os.scandir(place) as entries:
            for entry in entries:
                if entry.is_file():
                    there = entry.stat()
                    found.append((entry.path, there.st_size, there.st_mtime_ns))
    return sorted(found)
