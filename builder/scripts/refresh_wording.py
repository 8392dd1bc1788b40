"""Gather the fixed words of cards, checklists, sheets and index into message catalogues: `languages/*.po`.

The template `messages.pot` and every catalogue are written anew from tables, code, templates and scripts: new messages
come without translation, messages that nobody says any more go. `tests/house/test_wording.py` wants nothing to change.
"""

import ast
import io
import json
import re
from collections.abc import Iterable, Iterator
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from babel.messages.catalog import Catalog
from babel.messages.pofile import read_po, write_po
from jinja2.ext import babel_extract

from benchleaf.render.html import script_patterns

ROOT = Path(__file__).resolve().parents[2]
PACKAGE = ROOT / "builder" / "benchleaf"
LANGUAGES = PACKAGE / "languages"
TEMPLATES = ROOT / "themes" / "daylight"
# Catalogues bear no date of their own: their digest stands for what they say.
DAY = datetime(2026, 1, 1, tzinfo=UTC)
# Sentences for the trace of a check, which is a tool of the writer's and stays English.
TRACE = "trace-"
# Templates and scripts of the preview, likewise.
ENGLISH_ONLY = ("preview.html", "minisearch.js")
WARNING_FIELDS = ("hazard", "consequence", "avoidance")

# Lines of a head that say nothing, or change with the version of a tool.
IDLE = (b'"Report-Msgid', b'"Last-Translator', b'"Language-Team', b'"Generated-By', b'"PO-Revision', b'"POT-Creation')

Message = tuple[str, str]


def messages() -> dict[str, list[str]]:
    """Every fixed pattern with the files that say it, in the order of files and places."""
    found: dict[str, list[str]] = {}
    for pattern, file in (*_tables(), *_code(), *_templates(), *_scripts()):
        files = found.setdefault(pattern, [])
        if file not in files:
            files.append(file)
    # A pattern that is nothing but a blank says nothing of its own.
    return {pattern: files for pattern, files in found.items() if re.sub(r"\{\w+\}|\W", "", pattern)}


def template() -> Catalog:
    """The catalogue without translations."""
    made = _empty(None)
    for pattern, files in messages().items():
        made.add(pattern, locations=[(file, 0) for file in files])
    return made


def refreshed(language: str) -> Catalog:
    """The catalogue of a language with exactly the messages that are said, translated as far as they were."""
    made = _empty(language)
    file = LANGUAGES / f"{language}.po"
    known = read_po(io.BytesIO(file.read_bytes()), locale=language) if file.exists() else Catalog(language)
    for message in template():
        if message.id:
            old = known.get(message.id)
            kept = old.string if old is not None else ""
            comments = old.user_comments if old is not None else ()
            made.add(message.id, kept, locations=message.locations, user_comments=comments)
    return made


def text(catalogue: Catalog) -> bytes:
    """A catalogue as the bytes of its file."""
    stream = io.BytesIO()
    write_po(stream, catalogue, width=100, include_lineno=False, ignore_obsolete=True)
    lines = stream.getvalue().splitlines(keepends=True)
    return b"".join(line for line in lines if not line.startswith(IDLE))


def languages() -> tuple[str, ...]:
    """The languages that have a catalogue."""
    return tuple(sorted(file.stem for file in LANGUAGES.glob("*.po")))


def files() -> dict[Path, bytes]:
    """All files as they must be."""
    made = {LANGUAGES / "messages.pot": text(template())}
    return made | {LANGUAGES / f"{language}.po": text(refreshed(language)) for language in languages()}


def _empty(language: str | None) -> Catalog:
    return Catalog(
        language,
        header_comment="# Fixed words of benchleaf's documents. Blanks stand in braces and are kept by name.",
        project="benchleaf",
        version="1",
        creation_date=DAY,
        revision_date=DAY,
        fuzzy=False,
    )


def _tables() -> Iterator[Message]:
    yield from _of_table("card/wording.json", lambda data: [each for group in data.values() for each in group.values()])
    yield from _of_table(
        "safety/sentences.json", lambda data: [each for key, each in data.items() if not key.startswith(TRACE)]
    )
    yield from _of_table("model/measures.json", lambda data: [row[0] for row in data["measures"].values()])
    yield from _of_table("render/signs/signs.json", lambda data: [row["title"] for row in data["signs"]])
    for file in sorted((PACKAGE / "trade/hazards").glob("*.json")):
        yield from _of_table(file.relative_to(PACKAGE).as_posix(), lambda data: list(_of_hazards(data)))


def _of_table(file: str, patterns: Any) -> Iterator[Message]:
    data = json.loads((PACKAGE / file).read_text(encoding="utf-8"))
    for pattern in patterns(data):
        yield pattern, f"builder/benchleaf/{file}"


def _of_hazards(data: Any) -> Iterator[str]:
    """Warnings, equipment and first aid, wherever they stand in a table of hazards."""
    if isinstance(data, dict):
        yield from (data[field] for field in WARNING_FIELDS if field in data)
        if set(data) == {"sign", "name"}:
            yield data["name"]
        for key, each in data.items():
            yield from each if key == "emergency" else _of_hazards(each)
    elif isinstance(data, list):
        for each in data:
            yield from _of_hazards(each)


def _code() -> Iterator[Message]:
    for file in sorted(PACKAGE.rglob("*.py")):
        name = file.relative_to(ROOT).as_posix()
        for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and _called(node.func) in ("fill", "wording.say") and node.args:
                first = node.args[0]
                if isinstance(first, ast.Constant) and isinstance(first.value, str):
                    yield first.value, name


def _called(node: ast.expr) -> str:
    if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name):
        return f"{node.value.id}.{node.attr}"
    return node.id if isinstance(node, ast.Name) else ""


def _templates() -> Iterator[Message]:
    for file in _pages("*.html"):
        with file.open("rb") as stream:
            yield from _said(babel_extract(stream, ["say"], [], {}), file)


def _scripts() -> Iterator[Message]:
    for file in _pages("js/**/*.js"):
        for pattern in script_patterns(file.read_text(encoding="utf-8")):
            yield pattern, file.relative_to(ROOT).as_posix()


def _pages(pattern: str) -> list[Path]:
    return [file for file in sorted(TEMPLATES.glob(pattern)) if file.name not in ENGLISH_ONLY]


def _said(found: Iterable[Any], file: Path) -> Iterator[Message]:
    for _, _, pattern, _ in found:
        first = pattern[0] if isinstance(pattern, tuple) else pattern
        if first:
            yield first, file.relative_to(ROOT).as_posix()


if __name__ == "__main__":
    for path, content in files().items():
        path.write_bytes(content)
