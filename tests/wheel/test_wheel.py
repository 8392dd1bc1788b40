"""The wheel holds all that the package needs, and works in a bare environment far from any checkout."""

import os
import subprocess
import sys
import tomllib
import zipfile
from importlib.metadata import distribution
from pathlib import Path

import pytest
from packaging.requirements import Requirement

ROOT = Path(__file__).resolve().parents[2]


def run(*command, cwd, **more):
    """Standard output of a command that must succeed, in an environment without this checkout's settings."""
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "PYTEST", "COV"))}
    done = subprocess.run(command, cwd=cwd, env=kept | more, capture_output=True, text=True)
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def build(kind, folder):
    """The wheel made straight from the tree, or from an sdist of it; nothing is fetched."""
    chosen = ["--wheel"] if kind == "tree" else []
    run(sys.executable, "-m", "build", "--no-isolation", *chosen, "--outdir", folder, ROOT, cwd=folder)
    (wheel,) = folder.glob("*.whl")
    return wheel


@pytest.fixture(scope="module")
def wheels(tmp_path_factory):
    return {kind: build(kind, tmp_path_factory.mktemp(kind)) for kind in ("tree", "sdist")}


def contents(wheel):
    with zipfile.ZipFile(wheel) as held:
        return {name: held.read(name) for name in held.namelist()}


def folder_bytes(folder):
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file() and "__pycache__" not in path.parts
    }


@pytest.mark.parametrize("kind", ["tree", "sdist"])
@pytest.mark.parametrize("folder", ["schema", "themes"])
def test_data_equals_the_folders_byte_for_byte(kind, folder, wheels):
    start = f"benchleaf/_data/{folder}/"
    held = {name.removeprefix(start): raw for name, raw in contents(wheels[kind]).items() if name.startswith(start)}
    assert held
    assert held == folder_bytes(ROOT / folder)


@pytest.mark.parametrize("kind", ["tree", "sdist"])
def test_package_is_whole(kind, wheels):
    held = {
        name.removeprefix("benchleaf/"): raw
        for name, raw in contents(wheels[kind]).items()
        if name.startswith("benchleaf/") and not name.startswith("benchleaf/_data/")
    }
    assert held == folder_bytes(ROOT / "builder" / "benchleaf")


def test_both_ways_give_the_same_wheel(wheels):
    assert contents(wheels["tree"]) == contents(wheels["sdist"])


def needed(names):
    """The distributions named, and all that they need on this machine."""
    found = {}
    waiting = [(Requirement(name), "") for name in names]
    while waiting:
        wanted, whose = waiting.pop()
        if wanted.marker is not None and not wanted.marker.evaluate({"extra": whose}):
            continue
        for extra in ("", *wanted.extras):
            key = (wanted.name.lower(), extra)
            if key not in found:
                found[key] = distribution(wanted.name)
                waiting += [(Requirement(line), extra) for line in found[key].requires or ()]
    return {name: held for (name, _), held in found.items()}.values()


@pytest.fixture(scope="module")
def bare(wheels, tmp_path_factory):
    """An environment that holds the wheel and its declared dependencies, linked from this one, and nothing else."""
    place = tmp_path_factory.mktemp("bare")
    run(sys.executable, "-m", "venv", "--without-pip", place, cwd=place)
    python = place / "bin" / "python"
    site = Path(run(python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))", cwd=place).strip())
    declared = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["project"]["dependencies"]
    for held in needed(declared):
        for name in {file.parts[0] for file in held.files or ()} - {"..", "__pycache__"}:
            # Two distributions may be named twice, in two spellings.
            if not (site / name).exists():
                (site / name).symlink_to(Path(str(held.locate_file(name))))
    pip = [sys.executable, "-m", "pip", "--disable-pip-version-check", "--python", python]
    run(*pip, "install", "--quiet", "--no-index", "--no-deps", wheels["tree"], cwd=place)
    return place


def test_bare_environment_is_bare(bare):
    """It runs the wheel's package, takes data from the wheel, and lacks what only the tests need."""
    said = run(
        bare / "bin" / "python",
        "-c",
        "import benchleaf.base.resources as r, importlib.util as u\n"
        "print(r.__file__, r.checkout_root(), u.find_spec('pytest'), u.find_spec('pint'), sep='\\n')",
        cwd=bare,
    ).splitlines()
    assert Path(said[0]).is_relative_to(bare)
    assert said[1:] == ["None", "None", "None"]


def test_new_workspace_is_begun_checked_and_built_far_from_the_checkout(bare, tmp_path):
    """`begin` gives a workspace that checks clean and builds to a card and a checklist for each procedure."""
    far = tmp_path / "far away"
    command = bare / "bin" / "benchleaf"
    run(command, "begin", far, cwd=tmp_path, HOME=str(tmp_path))
    run(command, "check", cwd=far, HOME=str(tmp_path))
    run(command, "build", cwd=far, HOME=str(tmp_path))
    cards = sorted((far / "out").rglob("card.pdf"))
    sources = (path.read_text("utf-8") for path in (far / "procedures").glob("*/*.yaml"))
    assert len(cards) == sum("format: benchleaf/procedure/" in source for source in sources) > 0
    for card in cards:
        assert card.read_bytes().startswith(b"%PDF-")
        assert "<!doctype html>" in card.with_name("checklist.html").read_text("utf-8")[:200].lower()
