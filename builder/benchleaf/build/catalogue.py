"""Stage 9: the index of the output folder: each procedure of the workspace with the documents that it has there."""

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import NamedTuple

from benchleaf.build.documents import folder_of
from benchleaf.build.filenames import CARD, CHECKLIST, PDF, keys, named
from benchleaf.build.gather import Shelf
from benchleaf.build.judge import Judged
from benchleaf.card.model import Card
from benchleaf.render.index import Entry, Group, index
from benchleaf.render.theme import Theme

INDEX = "index.html"
_LABELS = ((PDF, "bench card (PDF)"), (CHECKLIST, "checklist"))


class _Head(NamedTuple):
    """What the index says of a card; `machines` is the class that it is for, empty for all."""

    title: str
    kind: str
    complaint: str
    state: str
    machine: str = ""
    key: str = ""
    machines: str = ""


def catalogue(
    out: Path, judged: Iterable[Judged], shelf: Shelf, cards: Mapping[str, tuple[Card, ...]], theme: Theme
) -> bytes:
    """The page, once all documents are in place; `cards` are those made in this run, by folder."""
    return index((_entry(out, one, shelf, cards) for one in judged), theme).encode()


def orphans(out: Path, shelf: Shelf) -> tuple[str, ...]:
    """Folders of documents whose procedure is in the workspace no more."""
    known = {"/".join(key) for key in shelf.procedures}
    folders = {path.parent.relative_to(out).as_posix() for path in out.glob("*/*/*.json") if keys((path.name,))}
    return tuple(sorted(folder for folder in folders if folder not in known))


def _entry(out: Path, judged: Judged, shelf: Shelf, cards: Mapping[str, tuple[Card, ...]]) -> Entry:
    folder = folder_of(judged)
    made = tuple(map(_of_card, cards.get(folder, ())))
    heads = made or _last(out, folder)
    groups = tuple(group for head in heads for group in _groups(out, folder, head))
    note = _note(judged, made=bool(made), linked=bool(groups))
    record = shelf.procedures[judged.key].record
    machine = shelf.machines.get(judged.key[0])
    name = str(machine.record.name) if machine and machine.record else judged.key[0]
    if groups or made:
        head = heads[0]
        return Entry(head.machine or name, head.title, head.kind, head.complaint, head.state, groups, note)
    if record is not None:
        complaint = str(record.complaint.text) if record.complaint else ""
        return Entry(name, str(record.title), str(record.kind), complaint, "draft", (), note)
    return Entry(name, judged.key[1], "", "", "draft", (), note)


def _groups(out: Path, folder: str, head: _Head) -> tuple[Group, ...]:
    """The documents for one class of machines, as far as there are any."""
    files = ((label, f"{folder}/{named(name, head.key)}") for name, label in _LABELS)
    links = tuple((label, file) for label, file in files if (out / file).is_file())
    return (Group(head.machines, links),) if links else ()


def _note(judged: Judged, *, made: bool, linked: bool) -> str:
    if made:
        return ""
    if judged.standing.ready:
        return "Not built in the last run; the documents may be older than the source." if linked else "Not built yet."
    if linked:
        return "The source has errors: these documents are from the last build without errors."
    return "The source has errors; there are no documents yet."


def _of_card(card: Card) -> _Head:
    applies = card.machine.applies
    return _Head(card.title, card.kind, card.complaint, card.state, card.machine.name, applies.key, applies.text)


def _last(out: Path, folder: str) -> tuple[_Head, ...]:
    """The cards of the last build; those that cannot be read are left out."""
    found = []
    for key in keys(path.name for path in (out / folder).glob("*.json")):
        try:
            card = json.loads((out / folder / named(CARD, key)).read_bytes())
            title, kind, complaint, state = (str(card[name]) for name in ("title", "kind", "complaint", "state"))
            machines = str(card["machine"]["applies"]["text"])
            found.append(_Head(title, kind, complaint, state, key=key, machines=machines))
        except (OSError, ValueError, KeyError, TypeError):
            continue
    return tuple(found)
