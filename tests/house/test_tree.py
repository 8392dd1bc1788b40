"""The tree holds what it should and nothing of the machine that it was written on."""

import re
import stat
import tomllib

import pytest

TOP_LEVEL = {
    "README.md",
    "DEVELOPERS.md",
    "CHANGELOG.md",
    "LICENSE",
    "pyproject.toml",
    "procedures",
    "schema",
    "builder",
    "themes",
    "tests",
    "out",
    ".ci",
    ".editorconfig",
    ".gitattributes",
    ".gitignore",
    ".pictures",
}
NOT_REQUIRED = {"out", ".pictures"}

# Written in pieces, so that this file does not hold what it forbids.
HOST = re.compile(r"://|\b[\w-]+\.(?:org|com|net|io|dev|cloud|local)\b|--(?:extra-)?index-url|--find-links|\s@\s")
REGISTRIES = re.compile("|".join(re.escape(end) for end in ("pypi" + ".org", "pythonhosted" + ".org", "npmjs" + ".")))
MACHINE_PATH = re.compile(
    r"(?<![\w.~/-])/(?:" + "|".join(("home", "root", "Users", "work", "tmp", "opt")) + r")/\w|\b[A-Z]:\\Users"
)
UNFINISHED = re.compile(r"\b(?:" + "|".join(("TO" + "DO", "FIX" + "ME", "X" + "XX")) + r")\b")
# A place in the tree, written as code: `builder/benchleaf/base`, `pyproject.toml`.
NAMED_PATH = re.compile(r"`((?:\.?[\w-]+/)+[\w.-]*|[\w-]+\.(?:md|toml|yaml|json|py|sh|txt))`")
# What the reader makes while following the text: the output, and the workspace that `begin` lays out.
MADE_BY_READER = (
    ".venv/",
    "out/",
    ".benchleaf/cache",
    "dist/",
    "procedures/df-1/",
    "card.json",
    "card.pdf",
    "checklist.html",
    "index.html",
)
PLACEHOLDER = re.compile(r"[A-Z]{2,}|\*|<|NN")


def test_top_level_holds_the_allowed_names_only(tree_files):
    names = {name.split("/")[0] for name in tree_files}
    assert names <= TOP_LEVEL
    assert names >= TOP_LEVEL - NOT_REQUIRED


def test_nothing_built_is_kept(tree_files):
    assert {name for name in tree_files if name.startswith("out/")} <= {"out/.gitignore", "out/README.md"}
    assert not [name for name in tree_files if name.endswith((".pyc", ".whl", ".orig", ".rej", ".bak", "~"))]


def test_lock_names_no_host(texts):
    locks = [name for name in texts if name.startswith("builder/lock/")]
    assert {"builder/lock/runtime.txt", "builder/lock/develop.txt"} <= set(locks)
    assert not [(name, HOST.findall(texts[name])) for name in locks if HOST.search(texts[name])]


def test_lock_pins_each_package_by_hash(texts):
    for name in ("builder/lock/runtime.txt", "builder/lock/develop.txt"):
        packages = texts[name].replace("\\\n", " ").splitlines()
        assert len(packages) > 20
        assert not [line for line in packages if not re.match(r"[a-z0-9-]+==\S+ .*--hash=sha256:[0-9a-f]{64}", line)]


def test_lock_fits_the_project(texts):
    """Each dependency is pinned, and develop holds runtime unchanged."""
    project = tomllib.loads(texts["pyproject.toml"])["project"]
    runtime, develop = (
        dict(re.findall(r"^([a-z0-9-]+)==(\S+)", texts[f"builder/lock/{name}.txt"], re.MULTILINE))
        for name in ("runtime", "develop")
    )
    wanted = {re.split(r"[\[><=]", line)[0] for line in project["dependencies"]}
    assert wanted | {"hatchling"} <= set(runtime)
    extra = {re.split(r"[\[><=]", line)[0] for line in project["optional-dependencies"]["develop"]}
    assert extra <= set(develop)
    assert runtime.items() <= develop.items()


def test_no_registry_is_named(texts):
    assert not [name for name, text in texts.items() if REGISTRIES.search(text)]


def test_no_path_of_a_machine(texts):
    wrong = [(name, found.group()) for name, text in texts.items() for found in MACHINE_PATH.finditer(text)]
    assert not wrong


def test_nothing_is_left_for_later(texts):
    wrong = [(name, found.group()) for name, text in texts.items() for found in UNFINISHED.finditer(text)]
    assert not wrong


def test_scripts_can_be_run(root):
    assert (root / ".ci" / "run").stat().st_mode & stat.S_IXUSR


def test_text_is_clean(texts):
    """Unix line ends, a newline at the end, no tab or space at the end of a line of code."""
    wrong = [name for name, text in texts.items() if "\r" in text or (text and not text.endswith("\n"))]
    wrong += [
        name
        for name, text in texts.items()
        if name.endswith((".py", ".yaml", ".json", ".css", ".js", ".sh")) and re.search(r"[ \t]+$", text, re.MULTILINE)
    ]
    assert not wrong


def stands(name, tree_files):
    """Whether a named path is in the tree: from its root if it begins at the top, else anywhere below."""
    name = name.rstrip("/")
    at_top = name.split("/")[0] in TOP_LEVEL
    return any(
        f"/{path}/".startswith(f"/{name}/") or (not at_top and f"/{name}/" in f"/{path}/") for path in tree_files
    )


@pytest.mark.parametrize("document", ["README.md", "DEVELOPERS.md"])
def test_documents_name_what_exists(document, texts, tree_files):
    named = [name for name in NAMED_PATH.findall(texts[document]) if not PLACEHOLDER.search(name)]
    assert named, f"{document} names no file at all"
    lasting = [name for name in named if not name.startswith(MADE_BY_READER)]
    gone = [name for name in lasting if not stands(name, tree_files)]
    assert not gone, f"{document} names what does not exist: {gone}"


@pytest.mark.parametrize(
    ("name", "found"),
    [
        ("schema", True),
        ("themes/daylight/", True),
        ("daylight/", True),
        ("schema/daylight", False),
        ("light/", False),
        ("no-such.json", False),
    ],
)
def test_stands(name, found):
    assert stands(name, ("schema/a.schema.json", "themes/daylight/card.css")) is found
