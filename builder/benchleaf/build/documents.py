"""Stages 6 and 7: from a judged procedure to its card, and from the card to the bytes of its documents."""

import gc
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache
from itertools import chain, groupby
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple, Protocol

from benchleaf.base.finding import Finding
from benchleaf.base.said import ENGLISH, Wording
from benchleaf.base.span import Span
from benchleaf.build import documents_rules as rules
from benchleaf.build import figures
from benchleaf.build.classes import Held
from benchleaf.build.confirm import unconfirmed
from benchleaf.build.executor import processors, spread
from benchleaf.build.filenames import CARD, CHECKLIST, FOLD, PDF, READING, named
from benchleaf.build.gather import Key, Shelf
from benchleaf.build.judge import Judged, shown
from benchleaf.build.request import Making, Tell
from benchleaf.build.wordings import language_of, wording
from benchleaf.card.compile import compile_card
from benchleaf.card.model import Card, plain
from benchleaf.card.sheet_reading import reading_sheet
from benchleaf.card.speak import speak
from benchleaf.render import html, pdf, sheets
from benchleaf.render.fault import RenderFault, ThemeFault
from benchleaf.render.form import Form
from benchleaf.render.pdf import Attached
from benchleaf.render.theme import THEMES, Theme, find, load

# The renderer leaves circles behind, and the collector is off while we work.
_CARDS_BETWEEN_COLLECTIONS = 10


class Documents(NamedTuple):
    """What became of a procedure: its cards and the contents of its files, or the findings that stand in the way.

    There is a card, with files of its own, for each class of machines between which the procedure differs. The sheets
    around the cards have no card; `sheets` are the names of their files, `state` a digest of what all of a machine say
    (empty: only some of them were asked for).

    `file` is its source, `folder` that of its documents below the output folder.
    """

    file: str
    folder: str
    cards: tuple[Card, ...]
    files: Mapping[str, bytes]
    findings: tuple[Finding, ...] = ()
    sheets: tuple[str, ...] = ()
    state: str = ""


class Drawable(Protocol):
    """Something to draw that can be sent to another process."""

    def draw(self) -> Documents:
        """What became of it. Raises ThemeFault."""


class Stamped(Protocol):
    """What follows from signatures, ready to be put on a card."""

    def on(self, card: Card) -> Card:
        """The card with it."""


NO_STAMPS: Mapping[Key, Stamped] = MappingProxyType({})


class Studio(NamedTuple):
    """What drawing needs: the theme, the form asked for (empty text: as the shop says), what can be made here,
    what to install for those that cannot, and the language asked for (empty: as procedure and shop say).
    """

    theme: Theme
    kinds: tuple[str, ...]
    form: Form
    lacking: str
    jobs: int
    language: str = ""


class _Job(NamedTuple):
    """A card to draw, so that it can be sent to another process."""

    number: int
    file: str
    folder: str
    card: Card
    pictures: Mapping[str, bytes]
    kinds: tuple[str, ...]
    theme: str
    form: Form
    doubts: tuple[Finding, ...] = ()
    wording: Wording = ENGLISH

    def draw(self) -> Documents:
        """See `Drawable`."""
        return _drawn(self)


def studio(making: Making, root: Path) -> Studio:
    """Make ready to draw for the workspace at `root`. Raises ThemeFault."""
    lacking = pdf.pango_missing() if "pdf" in making.kinds else ""
    kinds = tuple(kind for kind in making.kinds if kind != "pdf" or not lacking)
    # The checklist alone is drawn faster than a process starts.
    jobs = (making.jobs or processors()) if "pdf" in kinds else 1
    return Studio(
        _theme(find(making.theme, root / THEMES)),
        kinds,
        Form(making.paper, making.type_size, making.margins),
        lacking,
        jobs,
        making.language,
    )


def broken(fault: ThemeFault, root: Path) -> dict[str, tuple[Finding, ...]]:
    """What is wrong with a theme of the workspace, as a finding by its file. Raises the fault of any other theme."""
    if fault.file is None or not fault.file.is_relative_to((root / THEMES).resolve()):
        raise fault
    file = f"{THEMES}/{fault.file.relative_to((root / THEMES).resolve()).as_posix()}"
    sentence = str(fault)
    finding = rules.BROKEN_THEME.at(Span(file, fault.line), f"{sentence[:1].upper()}{sentence[1:]}.")
    return {file: (finding,)}


def draw_all(
    ready: Sequence[Judged],
    shelf: Shelf,
    studio: Studio,
    tell: Tell,
    more: Sequence[Drawable] = (),
    stamps: Mapping[Key, Stamped] = NO_STAMPS,
) -> Iterator[Documents]:
    """The documents of procedures that nothing stops, in their order, then what else there is to draw.

    `stamps` put on cards what follows from signatures; a procedure without one is a draft.

    Raises ThemeFault and Unreadable.
    """
    each = [(judged, held) for judged in ready for held in judged.classes]
    compiled = (_compiled(number, judged, held, shelf, studio) for number, (judged, held) in enumerate(each))
    cards = (
        job._replace(card=stamps[judged.key].on(job.card)) if judged.key in stamps else job
        for job, (judged, _) in zip(compiled, each, strict=True)
    )
    jobs: Iterator[Drawable] = chain(cards, more)
    drawn = spread(_draw, jobs, len(each) + len(more), studio.jobs)
    yield from by_folder(drawn, tell, len(ready) + len(more))


def by_folder(drawn: Iterable[Documents], tell: Tell, count: int) -> Iterator[Documents]:
    """The documents of `count` procedures, those for the classes of one procedure taken together."""
    for number, (folder, documents) in enumerate(groupby(drawn, key=lambda documents: documents.folder)):
        tell("build", folder, number, count)
        yield _together(tuple(documents))


def _draw(job: Drawable) -> Documents:
    return job.draw()


def _together(parts: tuple[Documents, ...]) -> Documents:
    """The documents for all classes of machines; none of them if one could not be drawn."""
    first = parts[0]
    findings = tuple(dict.fromkeys(chain.from_iterable(part.findings for part in parts)))
    if findings:
        return Documents(first.file, first.folder, (), {}, findings)
    files = {name: content for part in parts for name, content in part.files.items()}
    return first._replace(cards=tuple(card for part in parts for card in part.cards), files=files)


def folder_of(judged: Judged) -> str:
    """The folder of a procedure's documents, relative to the output folder."""
    return "/".join(judged.key)


@cache
def _theme(name: str) -> Theme:
    return load(name)


def _compiled(number: int, judged: Judged, held: Held, shelf: Shelf, studio: Studio) -> _Job:
    case = held.case
    try:
        card = compile_card(case, held.facts)
    except Exception as error:
        error.add_note(f"while compiling {judged.standing.file}")
        raise
    machine = next(machine for machine in shelf.survey.machines if machine.name == judged.key[0])
    pictures = figures.contents(machine, shown(case.procedure, shelf))
    asked, shop = studio.form, case.shop
    form = Form(asked.paper or shop.paper, asked.type_size or shop.type_size, asked.margins or shop.margins)
    doubts = unconfirmed(card, held, judged.standing.file)
    folder = folder_of(judged)
    said = wording_of(judged, shelf, studio.language)
    return _Job(
        number, judged.standing.file, folder, card, pictures, studio.kinds, studio.theme.name, form, doubts, said
    )


def _drawn(job: _Job) -> Documents:
    if job.number % _CARDS_BETWEEN_COLLECTIONS == 0:
        gc.collect()
    if job.doubts:
        return Documents(job.file, job.folder, (), {}, job.doubts)
    card, pictures, theme, wording = job.card, job.pictures, _theme(job.theme), job.wording
    files = {CARD: card_file(card)}
    try:
        if "html" in job.kinds:
            files[CHECKLIST] = html.checklist(card, pictures, theme, wording).encode()
        if "pdf" in job.kinds:
            page = html.page(card, pictures, theme, job.form, wording)
            files[PDF] = pdf.write_pdf(
                page,
                pictures,
                title=wording.speak(card.title),
                language=wording.language,
                zoom=job.form.zoom,
                attached=Attached(CARD, files[CARD], "The compiled card that this was made from", card.issued),
            )
            files[READING] = _reading(card, theme, wording)
            if job.form.narrow:
                # The library that lays out pages is wanted only for the pocket.
                from benchleaf.render.fold import folded

                files[FOLD] = folded(files[PDF])
    except ThemeFault:
        raise
    except RenderFault as fault:
        sentence = str(fault)
        finding = rules.NOT_DRAWN.at(Span(job.file), f"{sentence[:1].upper()}{sentence[1:]}.")
        return Documents(job.file, job.folder, (), {}, (finding,))
    except Exception as error:
        error.add_note(f"while drawing {job.file}")
        raise
    if card.state == "released":
        # Reading documents back takes a library that nothing else here needs.
        from benchleaf.build.readback import held as read_back

        faults = read_back(speak(card, wording), files, job.file)
        if faults:
            return Documents(job.file, job.folder, (), {}, faults)
    key = card.machine.applies.key
    return Documents(job.file, job.folder, (card,), {named(name, key): content for name, content in files.items()})


def wording_of(judged: Judged, shelf: Shelf, asked: str) -> Wording:
    """How a procedure's documents are said: in its language, with the translations that lie beside it."""
    procedure, shop = shelf.procedures[judged.key].record, shelf.shop.record
    language = language_of(shop, asked, procedure.language.name if procedure.language else "")
    own = [each.own for each in shelf.translations.get(judged.key, ()) if each.language == language]
    return wording(language, shop, own[0] if own else ENGLISH.own)


def _reading(card: Card, theme: Theme, wording: Wording) -> bytes:
    sheet = reading_sheet(card)
    page = sheets.page(sheet, {}, theme, wording)
    return pdf.write_pdf(page, {}, title=sheets.title(sheet, wording), language=wording.language)


def card_file(card: Card) -> bytes:
    """The card as data, as it lies beside its documents."""
    return data_file(plain(card))


def data_file(data: Mapping[str, Any]) -> bytes:
    """Plain data of a card as they are written."""
    return (json.dumps(data, ensure_ascii=False, indent=1) + "\n").encode()


def draw_card(
    card: Card, pictures: Mapping[str, bytes], file: str, folder: str, theme: str, form: Form, kinds: tuple[str, ...]
) -> Documents:
    """The documents of a card that is given whole, such as a signed one. Raises ThemeFault."""
    return _drawn(_Job(1, file, folder, card, pictures, kinds, theme, form))
