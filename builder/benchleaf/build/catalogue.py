"""Stage 9: the index of the output folder: each procedure of the workspace with the documents that it has there."""

import json
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from benchleaf.build.documents import CARD, CHECKLIST, PDF, folder_of
from benchleaf.build.gather import Shelf
from benchleaf.build.judge import Judged
from benchleaf.card.model import Card
from benchleaf.render.index import Entry, index
from benchleaf.render.theme import Theme

INDEX = "index.html"
_LABELS = ((PDF, "bench card (PDF)"), (CHECKLIST, "checklist"))


def catalogue(out: Path, judged: Iterable[Judged], shelf: Shelf, cards: Mapping[str, Card], theme: Theme) -> bytes:
    """The page, once all documents are in place; `cards` are those made in this run, by folder."""
    return index((_entry(out, one, shelf, cards) for one in judged), theme).encode()


def orphans(out: Path, shelf: Shelf) -> tuple[str, ...]:
    """Folders of documents whose procedure is in the workspace no more."""
    known = {"/".join(key) for key in shelf.procedures}
    folders = (path.parent.relative_to(out).as_posix() for path in out.glob(f"*/*/{CARD}"))
    return tuple(sorted(folder for folder in folders if folder not in known))


def _entry(out: Path, judged: Judged, shelf: Shelf, cards: Mapping[str, Card]) -> Entry:
    folder = folder_of(judged)
    links = tuple((label, f"{folder}/{name}") for name, label in _LABELS if (out / folder / name).is_file())
    note = _note(judged, made=folder in cards, linked=bool(links))
    if folder in cards:
        card = cards[folder]
        return Entry(card.machine.name, card.title, card.kind, card.complaint, card.state, links, note)
    last = _last(out / folder / CARD)
    record = shelf.procedures[judged.key].record
    machine = shelf.machines.get(judged.key[0])
    name = str(machine.record.name) if machine and machine.record else judged.key[0]
    if last is not None and links:
        return Entry(name, last["title"], last["kind"], last["complaint"], last["state"], links, note)
    if record is not None:
        complaint = str(record.complaint.text) if record.complaint else ""
        return Entry(name, str(record.title), str(record.kind), complaint, "draft", (), note)
    return Entry(name, judged.key[1], "", "", "draft", (), note)


def _note(judged: Judged, *, made: bool, linked: bool) -> str:
    if made:
        return ""
    if judged.standing.ready:
        return "Not built in the last run; the documents may be older than the source." if linked else "Not built yet."
    if linked:
        return "The source has errors: these documents are from the last build without errors."
    return "The source has errors; there are no documents yet."


def _last(path: Path) -> dict[str, Any] | None:
    """The card of the last build; None where there is none that can be read."""
    try:
        card = json.loads(path.read_bytes())
        wanted = ("title", "kind", "complaint", "state")
        return {name: str(card[name]) for name in wanted}
    except (OSError, ValueError, KeyError, TypeError):
        return None
