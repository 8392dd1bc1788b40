"""Refreshes what README.md and DEVELOPERS.md repeat: files that `begin` lays out, printed output, passes, rules.

Run `.venv/bin/python builder/scripts/refresh_documents.py` after a change to any of these; with `--check` it writes
nothing and names the documents that are out of date. What it makes stands between `<!-- made: NAME -->` and
`<!-- end -->`. A comment directly above a fenced block says what happens to the block: `file: PATH` is a file that the
reader saves, `edit: PATH` a change of it, `not run: WHY` is left alone, `exit: CODE` is the exit code to come. A block
of text directly below one of `sh` is what that prints on standard output.
"""

import argparse
import ast
import os
import re
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from itertools import groupby, pairwise
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.build.rules import all_rules
from benchleaf.passes.order import PASSES

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "builder" / "benchleaf"
DOCUMENTS = ("README.md", "DEVELOPERS.md")
# The rooms that can act on a record; the others do not see it.
ACTING = ("model", "safety", "passes", "card", "build")
# Where the records of the source files are declared: what is named there alone, nothing acts on.
RECORDS = ("applies", "circuit", "energy", "fastener", "limit", "machine", "procedure", "shop")

_MADE = re.compile(r"^<!-- made: ([a-z -]+) -->\n.*?^<!-- end -->$", re.MULTILINE | re.DOTALL)
_BLOCK = re.compile(r"(?:^<!-- (\w[\w ]*): ([^\n]*) -->\n)?^```(\w*)\n(.*?)^```$", re.MULTILINE | re.DOTALL)


class Block(NamedTuple):
    """A fenced block: its language, its text, and the comment above it as order and argument (empty: none)."""

    language: str
    text: str
    order: str
    argument: str
    start: int
    end: int


class Turn(NamedTuple):
    """A block of shell commands that was run: what it printed, with which exit code it ended."""

    block: Block
    printed: str
    complaint: str
    code: int


def blocks(text: str) -> tuple[Block, ...]:
    """All fenced blocks of a document; `start` and `end` are the places of their text."""
    return tuple(
        Block(found[3], found[4], found[1] or "", found[2] or "", found.start(4), found.end(4))
        for found in _BLOCK.finditer(text)
    )


def edited(text: str, change: str) -> str:
    """A text after a change written as lines that begin with ` `, `-` or `+`. ValueError where it does not fit once."""
    lines = change.splitlines(keepends=True)
    old = "".join(line[1:] for line in lines if line[0] in " -")
    new = "".join(line[1:] for line in lines if line[0] in " +")
    if text.count(old) != 1:
        raise ValueError(f"the change fits {text.count(old)} times, not once:\n{change}")
    return text.replace(old, new)


def session(text: str, folder: Path) -> tuple[Turn, ...]:
    """Do in `folder` what a document tells its reader to do: save, edit and run, in order."""
    here, turns = folder, []
    for block in blocks(text):
        if block.order == "file":
            (here / block.argument).write_text(block.text, "utf-8")
        elif block.order == "edit":
            path = here / block.argument
            path.write_text(edited(path.read_text("utf-8"), block.text), "utf-8")
        elif block.language == "sh" and block.order != "not run":
            turn, here = _run(block, here, folder)
            turns.append(turn)
    return tuple(turns)


def _run(block: Block, here: Path, folder: Path) -> tuple[Turn, Path]:
    place = folder / ".here"
    tools = f"{Path(sys.executable).parent}{os.pathsep}{os.environ.get('PATH', '')}"
    done = subprocess.run(
        ["sh", "-ec", f"trap 'pwd >\"{place}\"' EXIT\n{block.text}"],
        cwd=here,
        env=os.environ | {"PATH": tools},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        text=True,
        encoding="utf-8",
    )
    return Turn(block, done.stdout, done.stderr, done.returncode), Path(place.read_text("utf-8").strip())


def outputs(text: str) -> tuple[tuple[Block, Block], ...]:
    """The blocks of commands that are run, each with the block of text below it."""
    pairs = pairwise(blocks(text))
    return tuple(
        (one, other)
        for one, other in pairs
        if one.language == "sh" and one.order != "not run" and other.language == "text"
    )


def with_outputs(text: str) -> str:
    """The document with the text below each block of commands as these print it now."""
    shown = outputs(text)
    if not shown:
        return text
    with tempfile.TemporaryDirectory() as folder:
        printed = {turn.block.start: turn.printed for turn in session(text, Path(folder).resolve())}
    pieces, done = [], 0
    for commands, output in shown:
        pieces += [text[done : output.start], printed[commands.start]]
        done = output.end
    return "".join([*pieces, text[done:]])


def template(name: str) -> str:
    """A file that `begin` lays out, as a fenced block."""
    return f"```yaml\n{table_text('edge/templates', name)}```\n"


def passes() -> str:
    """A table of the passes in their order."""
    rows = [
        "| pass | what it is about | looks at | needs | gives |",
        "| --- | --- | --- | --- | --- |",
    ]
    for each in PASSES:
        doors = [door for door in (each.run, each.written, each.common) if door is not None]
        about = (sys.modules[doors[0].__module__].__doc__ or "").partition("\n")[0]
        classes = ("by class",) if each.run else ()
        written = ("as written",) if each.written else ()
        procedure = f"each procedure {' and '.join((*classes, *written))}" if classes or written else ""
        common = "shop, blocks, each machine by class" if each.by_class else "shop, blocks, machine"
        looks = ", and ".join(filter(None, (procedure, common if each.common else "")))
        rows.append(f"| `{each.name}` | {about} | {looks} | {', '.join(each.needs)} | {', '.join(each.gives)} |")
    return "\n".join(rows) + "\n"


def rules() -> str:
    """A table of all rules for each family."""
    parts = []
    for family, members in groupby(all_rules(), key=lambda rule: rule.family):
        parts.append(f"#### {family}\n\n| slug | severity | source |\n| --- | --- | --- |\n")
        for rule in members:
            state = f"removed in {rule.removed}" if rule.removed else rule.severity.value
            parts.append(f"| `{rule.slug}` | {state} | {rule.source} |\n")
        parts.append("\n")
    return "".join(parts).rstrip("\n") + "\n"


def idle_fields() -> str:
    """A list of the fields of the records that no code of the rooms above them asks for by name."""
    lines = []
    asked = {
        node.attr
        for room in ACTING
        for path in (PACKAGE / room).rglob("*.py")
        if room != "model" or path.stem not in RECORDS
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Attribute)
    }
    for record, fields in _records():
        idle = [f"`{name.rstrip('_')}`" for name in fields if name not in asked | {"span", "format"}]
        if idle:
            lines.append(f"- {record}: {', '.join(idle)}\n")
    return "".join(lines) or "None.\n"


def _records() -> Iterator[tuple[str, list[str]]]:
    for name in RECORDS:
        tree = ast.parse((PACKAGE / "model" / f"{name}.py").read_text("utf-8"))
        for node in tree.body:
            if isinstance(node, ast.ClassDef):
                targets = [each.target for each in node.body if isinstance(each, ast.AnnAssign)]
                yield node.name, [target.id for target in targets if isinstance(target, ast.Name)]


PARTS: dict[str, Callable[[], str]] = {
    "shop": lambda: template("shop.yaml"),
    "machine": lambda: template("machine.yaml"),
    "procedure": lambda: template("filter-clean.yaml"),
    "passes": passes,
    "rules": rules,
    "idle fields": idle_fields,
}


def refreshed(text: str) -> str:
    """A document with all that it repeats as it is now. KeyError for a part that nobody makes."""
    return with_outputs(
        _MADE.sub(lambda found: f"<!-- made: {found[1]} -->\n{PARTS[found[1]]()}<!-- end -->", text),
    )


def stale(root: Path = ROOT) -> list[str]:
    """Names of the documents that are out of date."""
    texts = {name: (root / name).read_text("utf-8") for name in DOCUMENTS}
    return [name for name, text in texts.items() if refreshed(text) != text]


def main() -> int:
    """Writes what is out of date, or only names it."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--check", action="store_true", help="write nothing; exit with 1 if a document is out of date")
    asked = parser.parse_args()
    old = stale()
    for name in old:
        print(name)
        if not asked.check:
            path = ROOT / name
            path.write_text(refreshed(path.read_text("utf-8")), "utf-8")
    return 1 if old and asked.check else 0


if __name__ == "__main__":
    sys.exit(main())
