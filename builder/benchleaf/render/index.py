"""The index of all that was built: machines, complaints, procedures, with links to their documents."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

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


def index(entries: Iterable[Entry], theme: Theme) -> str:
    """The index page. Machines stand in alphabetical order, each machine's procedures by kind and title.

    Raises ThemeFault when the theme is broken.
    """
    rows = sorted(entries, key=lambda entry: (entry.machine, entry.kind, entry.title))
    machines = [(machine, list(group)) for machine, group in groupby(rows, key=lambda entry: entry.machine)]
    style = theme.style("index")
    return draw(theme, "index.html", machines=machines, style=Markup(style), policy=policy(style, ""))
