"""The index of all that was built: machines, complaints, procedures, with links to their documents."""

from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from benchleaf.render.html import draw, policy
from benchleaf.render.theme import Theme


@dataclass(frozen=True, slots=True)
class Group:
    """The documents for one class of machines (empty: all). `links` are (label, address relative to the index)."""

    machines: str
    links: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One procedure in the index, its documents by class of machines; `note` is a sentence or empty."""

    machine: str
    title: str
    kind: str
    complaint: str
    state: str
    groups: tuple[Group, ...]
    note: str = ""


@dataclass(frozen=True, slots=True)
class Sheets:
    """The sheets of one machine, by class of machines; `note` is a sentence or empty."""

    machine: str
    groups: tuple[Group, ...]
    note: str = ""


def index(entries: Iterable[Entry], theme: Theme, sheets: Iterable[Sheets] = ()) -> str:
    """The index page. Machines stand in alphabetical order, each machine's procedures by kind and title.

    Raises ThemeFault when the theme is broken.
    """
    rows: dict[str, list[Entry]] = {}
    for entry in sorted(entries, key=lambda entry: (entry.kind, entry.title)):
        rows.setdefault(entry.machine, []).append(entry)
    around = {one.machine: one for one in sheets}
    machines = [(name, rows.get(name, []), around.get(name)) for name in sorted({*rows, *around})]
    style = theme.style("index")
    return draw(theme, "index.html", machines=machines, style=Markup(style), policy=policy(style, ""))
