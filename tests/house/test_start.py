"""What a start loads: `--help` none of the rooms, `check` none of the heavy libraries."""

import subprocess
import sys

import pytest

PROBE = """
import sys
sys.argv = ["benchleaf", *{arguments!r}]
from benchleaf.edge.cli import main
code = main()
assert not code, code
print("loaded:", *sorted(name for name in sys.modules))
"""

ROOMS = {f"benchleaf.{room}" for room in ("source", "model", "trade", "passes", "safety", "card", "render", "build")}
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
        (["check"], NEVER | {"jsonschema", "logging", "subprocess"}),
    ],
    ids=lambda value: value[0] if isinstance(value, list) else "",
)
def test_start_loads_no_more_than_it_needs(arguments, spared, root):
    code = PROBE.format(arguments=arguments)
    run = subprocess.run([sys.executable, "-c", code], cwd=root, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    loaded = set(run.stdout.rpartition("loaded:")[2].split())
    assert "benchleaf.edge.cli" in loaded
    assert not loaded & spared
