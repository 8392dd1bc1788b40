"""The documents, the script that refreshes them, and what comes of doing all that the README tells its reader to do."""

import importlib.util
from pathlib import Path
from typing import NamedTuple

import pytest

ROOT = Path(__file__).resolve().parents[2]


class Followed(NamedTuple):
    """The README done from top to bottom: what each block of commands came to, and the workspace that is left."""

    turns: tuple
    workspace: Path


@pytest.fixture(scope="session")
def root():
    return ROOT


@pytest.fixture(scope="session")
def script():
    spec = importlib.util.spec_from_file_location(
        "refresh_documents", ROOT / "builder" / "scripts" / "refresh_documents.py"
    )
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def readme():
    return (ROOT / "README.md").read_text("utf-8")


@pytest.fixture(scope="session")
def developers():
    return (ROOT / "DEVELOPERS.md").read_text("utf-8")


@pytest.fixture(scope="session")
def changelog():
    return (ROOT / "CHANGELOG.md").read_text("utf-8")


@pytest.fixture(scope="session")
def followed(readme, script, tmp_path_factory):
    folder = tmp_path_factory.mktemp("reader").resolve()
    return Followed(script.session(readme, folder), folder / "workshop")


@pytest.fixture(scope="session")
def table():
    """The rows below a head of a table, each a tuple of its cells."""

    def rows(text, head):
        lines = iter(text.splitlines())
        found = []
        for line in lines:
            if line.strip().startswith(f"| {head} |"):
                next(lines)
                for row in lines:
                    if not row.strip().startswith("|"):
                        break
                    found.append(tuple(cell.strip() for cell in row.strip().strip("|").split("|")))
        assert found, f"no table begins with {head}"
        return found

    return rows
