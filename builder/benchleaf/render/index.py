"""The index of all that was built: machines, complaints, procedures, with links to their documents, and a search."""

import json
from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TypeVar

from markupsafe import Markup

from benchleaf.base.said import ENGLISH, Wording
from benchleaf.render.html import POLICY, STYLE, draw, dressed, embedded, script_words
from benchleaf.render.theme import Theme


@dataclass(frozen=True, slots=True)
class Group:
    """The documents for one class of machines (empty: all). `links` are (label, address relative to the index)."""

    machines: str
    links: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One procedure in the index, its documents by class of machines; `note` is a sentence or empty.

    `code` is that of the complaint; `parts` are names of parts that it is about, `words` what else it can be found by.
    """

    machine: str
    title: str
    kind: str
    complaint: str
    state: str
    groups: tuple[Group, ...]
    note: str = ""
    revision: str = ""
    code: str = ""
    parts: tuple[str, ...] = ()
    words: str = ""


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sheets of one machine, by class of machines; `note` is a sentence or empty."""

    machine: str
    groups: tuple[Group, ...]
    note: str = ""


Listed = TypeVar("Listed", Entry, Sheets)


def index(entries: Iterable[Entry], theme: Theme, sheets: Iterable[Sheets] = (), wording: Wording = ENGLISH) -> str:
    """The index page. Machines stand in alphabetical order, each machine's procedures by kind and title.

    Raises ThemeFault when the theme is broken.
    """
    rows: dict[str, list[Entry]] = {}
    for entry in sorted((_spoken(entry, wording) for entry in entries), key=lambda entry: (entry.kind, entry.title)):
        rows.setdefault(entry.machine, []).append(entry)
    around = {one.machine: _spoken(one, wording) for one in sheets}
    machines = [(name, rows.get(name, []), around.get(name)) for name in sorted({*rows, *around})]
    script = theme.index_script
    found = [_found(entry) for _, group, _ in machines for entry in group]
    drawn = draw(
        theme,
        "index.html",
        wording,
        machines=machines,
        words=script_words(script, wording),
        style=STYLE,
        script=Markup(script),
        data=embedded(json.dumps(found, ensure_ascii=False, separators=(",", ":"), sort_keys=True)),
        policy=POLICY,
    )
    return dressed(drawn, theme, "index", script)


def _spoken(one: Listed, wording: Wording) -> Listed:
    groups = tuple(
        Group(wording.speak(group.machines), tuple((wording.speak(label), file) for label, file in group.links))
        for group in one.groups
    )
    return replace(one, groups=groups, note=wording.speak(one.note))


def _found(entry: Entry) -> dict[str, object]:
    """What the search knows of an entry."""
    return {
        "machine": entry.machine,
        "title": entry.title,
        "complaint": entry.complaint,
        "code": entry.code,
        "parts": entry.parts,
        "words": entry.words,
    }
