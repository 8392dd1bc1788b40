"""What a start loads: `--help` none of the rooms, `check` none of the heavy libraries."""

import shutil
import subprocess
import sys

import pytest

PROBE = """
import sys
from benchleaf.edge.cli import main
code = main({arguments!r})
assert not code, code
print("loaded:", *sorted(name for name in sys.modules))
"""

ROOMS = {f"benchleaf.{room}" for room in ("source", "model", "trade", "passes", "safety", "card", "render", "build")}
JUDGING = {f"benchleaf.{room}" for room in ("model", "trade", "passes", "safety")}
RENDERING = {"weasyprint", "jinja2", "fontpkg", "fontTools", "PIL", "benchleaf.render.pdf", "benchleaf.render.html"}
NEVER = RENDERING | {
    "pint",
    "numpy",
    "pytest",
    "importlib.resources",
    "importlib.metadata",
    "asyncio",
    "multiprocessing",
}


@pytest.mark.parametrize(
    ("arguments", "spared"),
    [
        (["--help"], NEVER | ROOMS | {"yaml", "jsonschema_rs", "jsonschema", "json", "markdown_it"}),
        (["--version"], NEVER | ROOMS | {"yaml", "jsonschema_rs", "jsonschema", "json", "markdown_it"}),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_start_loads_no_more_than_it_needs(arguments, spared, root):
    assert not loaded_by(arguments, root) & spared


@pytest.mark.parametrize("circuit", [False, True])
def test_check_solves_circuits_only_where_there_are_some(circuit, root, tmp_path):
    shutil.copytree(root / "tests/rules/base/procedures", tmp_path / "procedures")
    machine = tmp_path / "procedures/rig/machine.yaml"
    whole = machine.read_text("utf-8")
    machine.write_text(whole if circuit else whole.partition("circuit:\n")[0], "utf-8")
    loaded = loaded_by(["check", "--no-cache"], tmp_path)
    assert not loaded & (NEVER | {"jsonschema", "logging", "subprocess", "dataclasses", "inspect"})
    assert ("benchleaf.trade.network" in loaded) is circuit


def test_the_circuits_of_the_demo_need_no_library_for_arrays(root):
    assert not loaded_by(["check", "--no-cache"], root) & NEVER


def test_a_check_that_remembers_loads_nothing_that_judges(root, tmp_path):
    shutil.copytree(root / "procedures", tmp_path / "procedures")
    spared = NEVER | JUDGING | {"yaml", "jsonschema_rs", "benchleaf.build.pipeline", "dataclasses", "inspect"}
    assert loaded_by(["check"], tmp_path) & JUDGING
    assert not loaded_by(["check"], tmp_path) & spared


def loaded_by(arguments, cwd):
    run = subprocess.run(
        [sys.executable, "-c", PROBE.format(arguments=arguments)], cwd=cwd, capture_output=True, text=True
    )
    assert run.returncode == 0, run.stderr
    loaded = set(run.stdout.rpartition("loaded:")[2].split())
    assert "benchleaf.edge.cli" in loaded
    return loaded
