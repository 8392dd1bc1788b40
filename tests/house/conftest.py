"""The tree as the house tests see it: its files, and the package's modules with what each imports."""

import ast
import os
import subprocess
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "builder" / "benchleaf"
MADE = {".git", ".venv", "dist", "__pycache__", ".hypothesis", ".mypy_cache", ".pytest_cache", ".ruff_cache"}


class Import(NamedTuple):
    """One imported module: its full name, the line, and whether the statement stands inside a function."""

    target: str
    line: int
    late: bool


class Module(NamedTuple):
    """A module of the package; `name` leaves out the leading `benchleaf.`."""

    path: Path
    name: str
    lines: int
    tree: ast.Module
    imports: tuple[Import, ...]

    @property
    def room(self):
        return self.name.partition(".")[0]

    @property
    def file(self):
        return self.path.relative_to(PACKAGE).as_posix()


def read_module(path, names):
    text = path.read_text("utf-8")
    tree = ast.parse(text, str(path))
    late = {
        id(inner)
        for outer in ast.walk(tree)
        if isinstance(outer, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        for inner in ast.walk(outer)
    }
    imports = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            imports += [Import(alias.name, node.lineno, id(node) in late) for alias in node.names]
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}:{node.lineno}: write imports in full"
            for alias in node.names:
                full = f"{node.module}.{alias.name}"
                target = full if full.removeprefix("benchleaf.") in names else node.module
                imports.append(Import(str(target), node.lineno, id(node) in late))
    return Module(path, name_of(path), len(text.splitlines()), tree, tuple(dict.fromkeys(imports)))


def name_of(path):
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix("__init__").rstrip(".")


@pytest.fixture(scope="session")
def root():
    return ROOT


@pytest.fixture(scope="session")
def modules():
    """Every module of the package, in order of name."""
    paths = sorted(PACKAGE.rglob("*.py"))
    names = {name_of(path) for path in paths}
    return tuple(read_module(path, names) for path in paths)


@pytest.fixture(scope="session")
def tree_files():
    """Paths from the root of all files that belong to the tree: those of git, or without git all that is not made."""
    command = ["git", "ls-files", "-z", "--cached", "--others", "--exclude-standard"]
    if (ROOT / ".git").exists():
        run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True)
        if run.returncode == 0:
            return tuple(name for name in sorted(run.stdout.split("\0")) if name and (ROOT / name).is_file())
    found = []
    for folder, folders, files in os.walk(ROOT):
        folders[:] = [name for name in folders if name not in MADE]
        found += [(Path(folder) / name).relative_to(ROOT).as_posix() for name in files]
    return tuple(sorted(name for name in found if not name.startswith(("out/", ".benchleaf/"))))


@pytest.fixture(scope="session")
def texts(tree_files):
    """Text of each file of the tree that is text."""
    found = {}
    for name in tree_files:
        raw = (ROOT / name).read_bytes()
        if b"\0" not in raw:
            found[name] = raw.decode("utf-8")
    return found
