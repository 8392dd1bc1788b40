"""A new workspace for each test, made as a user makes one, and a way to run a command line in it."""

import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

import pytest

from benchleaf.edge import cli

PACKAGE = Path(cli.__file__).resolve().parents[2]
PROCEDURE = "procedures/df-1/filter-clean.yaml"
MACHINE = "procedures/df-1/machine.yaml"


class Ran(NamedTuple):
    """What a command line came to."""

    code: int
    out: str
    err: str


@pytest.fixture
def run(capfd, in_this_process):
    """Run a command line in this process."""

    def run_it(*arguments):
        code = cli.main(arguments)
        return Ran(code, *capfd.readouterr())

    return run_it


@pytest.fixture
def calc(run):
    """Run `benchleaf calc`, the words as a shell would part them at spaces."""
    return lambda words, *more: run("calc", *words.split(), *more)


@pytest.fixture(scope="session")
def begun(tmp_path_factory):
    """A new workspace, to be copied."""
    root = tmp_path_factory.mktemp("begun") / "ws"
    assert cli.main(["begin", str(root)]) == 0
    return root


@pytest.fixture(scope="session")
def first_build(begun, tmp_path_factory):
    """What the first build of a new workspace leaves in `out`, drawn by several processes; to be copied."""
    root = shutil.copytree(begun, tmp_path_factory.mktemp("first") / "ws")
    assert cli.main(["build", "--jobs", "2", str(root / "procedures")]) == 0
    return root / "out"


@pytest.fixture
def workspace(tmp_path, begun, monkeypatch):
    """A new workspace, and the current folder."""
    root = shutil.copytree(begun, tmp_path / "ws")
    monkeypatch.chdir(root)
    return root


@pytest.fixture
def spoil(workspace):
    """Replace text in a file of the workspace."""

    def spoil_it(old, new, file=PROCEDURE):
        text = (workspace / file).read_text("utf-8")
        assert old in text
        (workspace / file).write_text(text.replace(old, new), "utf-8")

    return spoil_it


@pytest.fixture
def process():
    """Run a command line as a process of its own; keywords go to `subprocess.run`, `environment` adds to ours."""

    def run_it(*arguments, environment=None, **keywords):
        # Not what the test runner was started with: how output is encoded and coloured is under test.
        mine = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "LC_", "LANG"))}
        mine |= {"PYTHONPATH": str(PACKAGE), "PYTHONDONTWRITEBYTECODE": "1"} | (environment or {})
        return subprocess.run([sys.executable, "-m", "benchleaf", *arguments], env=mine, check=False, **keywords)

    return run_it
