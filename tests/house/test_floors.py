"""Data flows one way: no room imports from a floor above it, and each heavy library has one room."""

import ast
import re
import sys
import tomllib
from graphlib import TopologicalSorter

import pytest

# What the modules of a room may import of the package: whole rooms, or single modules.
MAY_IMPORT = {
    "base": {"base"},
    "source": {"base", "source"},
    "model": {"base", "source", "model"},
    "trade": {"base", "trade", "model.quantity", "model.units"},
    "safety": {"base", "model", "trade", "safety"},
    "passes": {"base", "model", "trade", "safety", "passes"},
    "card": {"base", "model", "trade", "safety", "passes", "card"},
    "render": {"base", "card", "render"},
    "review": {"base", "card", "review"},
    "records": {"base", "card", "records"},
    "build": {"base", "source", "model", "trade", "safety", "passes", "card", "render", "review", "build"},
    "edge": {
        "base",
        "source",
        "model",
        "trade",
        "safety",
        "passes",
        "card",
        "render",
        "review",
        "records",
        "build",
        "edge",
    },
    "__main__": {"edge.cli"},
}

# The verifier shares nothing with what it verifies.
PROOF_MAY_IMPORT = ("base", "card.model", "card.proof")

# Modules that all passes share, and those that set the passes in a row.
SHARED_BY_PASSES = {"passes.base", "passes"}
KNOWS_ALL_PASSES = {"passes", "passes.order"}

# The home of each library from outside; a library without a home here has no business in the package.
HOMES = {
    "babel": ("source.translations",),
    "cryptography": ("review.keys",),
    "fontTools": ("render.pdf", "render.typeface"),
    "fontpkg_fira_sans": ("render.typeface",),
    "grandalf": ("render.plan",),
    "jinja2": ("render",),
    "jsonschema_rs": ("source.shape",),
    "markdown_it": ("render.markdown",),
    "markupsafe": ("render",),
    "numpy": ("trade.network_matrix",),
    "pypdf": ("build.readback", "render.fold"),
    "rfc8785": ("card.digest",),
    "schemdraw": ("render.wiring_symbols",),
    "segno": ("render.code",),
    "starlette": ("edge.preview",),
    "uvicorn": ("edge.preview",),
    "watchfiles": ("edge.preview",),
    "weasyprint": ("render.pdf",),
    "yaml": ("source",),
}
DISTRIBUTIONS = {
    "fontTools": "fonttools",
    "fontpkg_fira_sans": "fontpkg-fira-sans",
    "jsonschema_rs": "jsonschema-rs",
    "markdown_it": "markdown-it-py",
    "yaml": "pyyaml",
}

# Where an import may stand inside a function, and why.
LATE = {
    "build/translated.py": "message catalogues are read only where one lies beside a procedure",
    "build/translations.py": "a check compiles a card only to hold a translation against it",
    "build/wordings.py": "message catalogues are read only for languages other than English",
    "build/documents.py": "the library that reads documents back is wanted only for what is released",
    "edge/commands/": "each command loads what it alone needs",
    "passes/circuits.py": "the solver is wanted only where a circuit has something to read",
    "build/pipeline.py": "a build without PDF must not pay for, or need, the PDF library",
    "render/plan_layers.py": "the library for layers is wanted only where a card has a plan to draw",
    "trade/network_matrix.py": "the library for arrays is worth its start for large circuits alone",
    "render/wiring_symbols.py": "the library of symbols is wanted only where a card has wiring to draw",
    "source/shape.py": "the wording of shape errors is wanted only where a file has errors",
}


def within(name, places):
    """Whether the module is one of the places or in one; `render.pdf_fonts` counts as in `render.pdf`."""
    return any(name == place or name.startswith((f"{place}.", f"{place}_")) for place in places)


def own(module):
    return [(imported, imported.target.removeprefix("benchleaf").lstrip(".")) for imported in module.imports
            if imported.target.split(".")[0] == "benchleaf"]  # fmt: skip


def foreign(module):
    for imported in module.imports:
        library = imported.target.split(".")[0]
        if library != "benchleaf" and library not in sys.stdlib_module_names:
            yield imported, library


def test_every_room_has_its_floor(modules):
    assert {module.room for module in modules if module.room} <= set(MAY_IMPORT)


def test_no_room_imports_upwards(modules):
    wrong = [
        f"{module.file}:{imported.line} imports {target}"
        for module in modules
        for imported, target in own(module)
        if target and not within(target, MAY_IMPORT.get(module.room, ()))
    ]
    assert not wrong, "\n".join(wrong)


def test_no_imports_in_a_circle(modules):
    graph = {module.name: {target for _, target in own(module)} - {module.name} for module in modules}
    TopologicalSorter(graph).prepare()


def test_passes_do_not_know_each_other(modules):
    def family(name):
        return name.removeprefix("passes.").split(".")[0].split("_")[0]

    wrong = [
        f"{module.file}:{imported.line} imports {target}"
        for module in modules
        if module.room == "passes" and module.name not in KNOWS_ALL_PASSES
        for imported, target in own(module)
        if target.startswith("passes") and target not in SHARED_BY_PASSES and family(target) != family(module.name)
    ]
    assert not wrong, "\n".join(wrong)


def test_proof_shares_nothing_with_what_it_proves(modules):
    wrong = [
        f"{module.file}:{imported.line} imports {target}"
        for module in modules
        if within(module.name, ("card.proof",))
        for imported, target in own(module)
        if target and not within(target, PROOF_MAY_IMPORT)
    ]
    assert not wrong, "\n".join(wrong)


def test_imports_stand_at_the_top(modules):
    wrong = [
        f"{module.file}:{imported.line} imports {imported.target} inside a function"
        for module in modules
        if not module.file.startswith(tuple(LATE))
        for imported in module.imports
        if imported.late
    ]
    assert not wrong, "\n".join(wrong)


def test_nothing_is_imported_by_a_side_door(modules):
    wrong = [
        f"{module.file}:{node.lineno}"
        for module in modules
        if not module.file.startswith(("edge/cli.py", *LATE))
        for node in ast.walk(module.tree)
        if (isinstance(node, ast.Name) and node.id == "__import__")
        or (isinstance(node, ast.Attribute) and node.attr in {"import_module", "exec_module"})
        or (isinstance(node, ast.Name) and node.id == "import_module")
    ]
    assert not wrong, "\n".join(wrong)


def test_each_library_stays_at_home(modules):
    wrong = [
        f"{module.file}:{imported.line} imports {library}"
        for module in modules
        for imported, library in foreign(module)
        if not within(module.name, HOMES.get(library, ()))
    ]
    assert not wrong, "\n".join(wrong)


def test_each_library_is_declared_and_used(modules, root):
    project = tomllib.loads((root / "pyproject.toml").read_text("utf-8"))["project"]
    declared = {re.split(r"[\[><=]", line)[0].strip() for line in project["dependencies"]}
    used = {DISTRIBUTIONS.get(library, library) for module in modules for _, library in foreign(module)}
    assert used == declared


@pytest.mark.parametrize(
    ("name", "places", "inside"),
    [
        ("render.pdf", ("render.pdf",), True),
        ("render.pdf_fonts", ("render.pdf",), True),
        ("render.pdfs", ("render.pdf",), False),
        ("model", ("model.units",), False),
        ("model.units.table", ("model.units",), True),
    ],
)
def test_within(name, places, inside):
    assert within(name, places) is inside
