"""Stage 9: the index of the output folder: each procedure of the workspace with the documents that it has there."""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from operator import getitem
from pathlib import Path
from typing import Any, NamedTuple

from benchleaf.base.said import ENGLISH, fill
from benchleaf.build.documents import folder_of, wording_of
from benchleaf.build.filenames import (
    CARD,
    CHECKLIST,
    FOLD,
    ISOLATION,
    ISOLATION_PAGE,
    LIMITS,
    MACHINE,
    PDF,
    PICKING,
    READING,
    TAG,
    keys,
    named,
    sheets_in,
)
from benchleaf.build.gather import Shelf
from benchleaf.build.judge import Judged, Judgement
from benchleaf.build.sheets import stopped
from benchleaf.build.wordings import language_of, wording
from benchleaf.card.model import Card
from benchleaf.card.sheet_classes import sheet_classes
from benchleaf.render.index import Entry, Group, Sheets, index
from benchleaf.render.theme import Theme

INDEX = "index.html"
_LABELS = (
    (PDF, fill("bench card (PDF)")),
    (CHECKLIST, fill("checklist")),
    (READING, fill("reading sheet (PDF)")),
    (FOLD, fill("card to fold (PDF)")),
)
_SHEETS = (
    (ISOLATION, fill("isolation sheet (PDF)")),
    (ISOLATION_PAGE, fill("isolation sheet")),
    (TAG, fill("out-of-service tag (PDF)")),
    (MACHINE, fill("machine sheet (PDF)")),
    (LIMITS, fill("limits and torques (PDF)")),
    (PICKING, fill("picking list (PDF)")),
)


class _Head(NamedTuple):
    """What the index says of a card; `machines` is the class that it is for, empty for all."""

    title: str
    kind: str
    complaint: str
    state: str
    machine: str = ""
    key: str = ""
    machines: str = ""
    revision: str = ""
    code: str = ""
    parts: tuple[str, ...] = ()
    words: str = ""


class Fresh(NamedTuple):
    """What was made in this run: cards by the folder of their documents, and the paths of sheets."""

    cards: Mapping[str, tuple[Card, ...]]
    sheets: frozenset[str]


def catalogue(out: Path, judgement: Judgement, shelf: Shelf, fresh: Fresh, theme: Theme, language: str = "") -> bytes:
    """The page, once all documents are in place; `language` is the one asked for."""
    shop = shelf.shop.record
    said = wording(language_of(shop, language), shop) if shop is not None else ENGLISH
    entries = (_in_own_words(_entry(out, one, shelf, fresh.cards), one, shelf, language) for one in judgement.judged)
    around = (_sheets(out, folder, judgement, shelf, fresh.sheets) for folder in shelf.machines)
    return index(entries, theme, [one for one in around if one.groups], said).encode()


def _in_own_words(entry: Entry, judged: Judged, shelf: Shelf, language: str) -> Entry:
    """The entry with the texts of the writer's as they are translated, found by both."""
    if shelf.procedures[judged.key].record is None or shelf.shop.record is None:
        return entry
    own = wording_of(judged, shelf, language).own
    title, complaint = own.get(entry.title, entry.title), own.get(entry.complaint, entry.complaint)
    machine = own.get(entry.machine, entry.machine)
    words = (
        " ".join(dict.fromkeys((entry.words, entry.title, entry.complaint, title, complaint))) if own else entry.words
    )
    parts = tuple(own.get(part, part) for part in entry.parts)
    return replace(entry, title=title, complaint=complaint, machine=machine, words=words, parts=parts)


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
        told = head.revision, head.code, head.parts, head.words
        return Entry(head.machine or name, head.title, head.kind, head.complaint, head.state, groups, note, *told)
    if record is not None:
        complaint = str(record.complaint.text) if record.complaint else ""
        return Entry(name, str(record.title), str(record.kind), complaint, "draft", (), note)
    return Entry(name, judged.key[1], "", "", "draft", (), note)


def entry_of(out: Path, folder: str, cards: Sequence[Card], note: str) -> Entry:
    """The entry of cards that are given whole, such as signed ones, with the documents that they have."""
    heads = tuple(map(_of_card, cards))
    groups = tuple(group for head in heads for group in _groups(out, folder, head))
    head = heads[0]
    told = head.revision, head.code, head.parts, head.words
    return Entry(head.machine, head.title, head.kind, head.complaint, head.state, groups, note, *told)


def _sheets(out: Path, folder: str, judgement: Judgement, shelf: Shelf, fresh: frozenset[str]) -> Sheets:
    """The sheets of a machine, by class of its machines; the picking list stands with those for all."""
    loaded = shelf.machines[folder]
    there = [(sheet, key) for sheet, key in sheets_in(path.name for path in (out / folder).glob("*.*"))]
    texts = {variant.key: variant.text for variant, _ in sheet_classes(loaded.record)} if loaded.record else {}
    groups = []
    for key in sorted({key for _, key in there}):
        names = [(label, named(sheet, key)) for sheet, label in _SHEETS if (sheet, key) in there]
        groups.append(Group(texts.get(key, key), tuple((label, f"{folder}/{name}") for label, name in names)))
    every = {f"{folder}/{named(sheet, key)}" for sheet, key in there}
    note = ""
    if stopped(loaded, judgement, shelf):
        note = fill("The machine file or the shop has errors: these sheets are from the last build without errors.")
    elif not every <= fresh:
        note = fill("Not all made in the last run; sheets may be older than the machine file.")
    return Sheets(str(loaded.record.name) if loaded.record else folder, tuple(groups), note)


def _groups(out: Path, folder: str, head: _Head) -> tuple[Group, ...]:
    """The documents for one class of machines, as far as there are any."""
    files = ((label, f"{folder}/{named(name, head.key)}") for name, label in _LABELS)
    links = tuple((label, file) for label, file in files if (out / file).is_file())
    return (Group(head.machines, links),) if links else ()


def _note(judged: Judged, *, made: bool, linked: bool) -> str:
    if made:
        return ""
    if judged.standing.ready:
        return (
            fill("Not built in the last run; the documents may be older than the source.")
            if linked
            else fill("Not built yet.")
        )
    if linked:
        return fill("The source has errors: these documents are from the last build without errors.")
    return fill("The source has errors; there are no documents yet.")


def _of_card(card: Card) -> _Head:
    applies = card.machine.applies
    head = _Head(card.title, card.kind, card.complaint, card.state, card.machine.name, applies.key, applies.text)
    return _findable(head, card, getattr)


def _findable(head: _Head, card: Any, get: Callable[[Any, str], Any]) -> _Head:
    """The head with what the card can be found by; `get` reads a field of the card or of a part of it."""
    steps = [step for section in get(card, "sections") for step in get(section, "steps") if not get(step, "inserted")]
    outcomes = get(card, "outcomes")
    parts = [*(get(each, "part") for each in (*steps, *outcomes)), *(get(each, "name") for each in get(card, "spares"))]
    told = (get(card, "id"), get(card, "purpose"), *(get(step, "command") for step in steps))
    ends = (get(outcome, field) for outcome in outcomes for field in ("title", "text"))
    return head._replace(
        revision=get(card, "revision"),
        code=get(card, "complaint_code"),
        parts=tuple(sorted(set(filter(None, parts)))),
        words=" ".join(filter(None, (*told, *ends))),
    )


def _last(out: Path, folder: str) -> tuple[_Head, ...]:
    """The cards of the last build; those that cannot be read are left out."""
    found = []
    for key in keys(path.name for path in (out / folder).glob("*.json")):
        try:
            card = json.loads((out / folder / named(CARD, key)).read_bytes())
            title, kind, complaint, state = (str(card[name]) for name in ("title", "kind", "complaint", "state"))
            machines = str(card["machine"]["applies"]["text"])
            head = _Head(title, kind, complaint, state, key=key, machines=machines)
            found.append(_findable(head, card, getitem))
        except (OSError, ValueError, KeyError, TypeError):
            continue
    return tuple(found)
