"""Stages 6 and 7 for the sheets around the cards: from a machine that nothing stops to the bytes of its sheets."""

from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from hashlib import sha256
from typing import NamedTuple

from benchleaf.base.finding import Severity
from benchleaf.base.said import ENGLISH, Wording
from benchleaf.base.span import Span
from benchleaf.build import documents_rules as rules
from benchleaf.build import figures
from benchleaf.build.documents import Documents, Studio
from benchleaf.build.filenames import ISOLATION, ISOLATION_PAGE, LIMITS, MACHINE, PICKING, TAG, named
from benchleaf.build.gather import Loaded, Shelf
from benchleaf.build.judge import Judged, Judgement
from benchleaf.build.picking import picking_of
from benchleaf.build.wordings import language_of, wording
from benchleaf.card.sheet_classes import sheet_classes
from benchleaf.card.sheet_isolation import IsolationSheet, isolation_sheet
from benchleaf.card.sheet_limits import limits_sheet
from benchleaf.card.sheet_machine import machine_sheet
from benchleaf.card.sheet_tag import out_of_service_tag
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.render import pdf, sheets
from benchleaf.render.fault import RenderFault, ThemeFault
from benchleaf.render.sheets import Sheet
from benchleaf.render.theme import Theme, load


class SheetJob(NamedTuple):
    """The sheets of one machine to draw, by the name of their file; `state` as in `Documents`."""

    file: str
    folder: str
    sheets: tuple[tuple[str, Sheet], ...]
    pictures: Mapping[str, bytes]
    kinds: tuple[str, ...]
    theme: str
    state: str
    wording: Wording = ENGLISH

    def draw(self) -> Documents:
        """The bytes of the sheets, or the finding that stands in the way of all. Raises ThemeFault."""
        theme = _theme(self.theme)
        files: dict[str, bytes] = {}
        try:
            for name, sheet in self.sheets:
                files |= self._drawn(name, sheet, theme)
        except ThemeFault:
            raise
        except RenderFault as fault:
            sentence = str(fault)
            finding = rules.NOT_DRAWN.at(Span(self.file), f"{sentence[:1].upper()}{sentence[1:]}.")
            return Documents(self.file, self.folder, (), {}, (finding,))
        except Exception as error:
            error.add_note(f"while drawing the sheets of {self.file}")
            raise
        return Documents(self.file, self.folder, (), files, sheets=tuple(files), state=self.state)

    def _drawn(self, name: str, sheet: Sheet, theme: Theme) -> Iterator[tuple[str, bytes]]:
        if "pdf" in self.kinds:
            yield name, pdf_of(sheet, self.pictures, theme, self.wording)
        if "html" in self.kinds and isinstance(sheet, IsolationSheet):
            page = sheets.screen(sheet, self.pictures, theme, self.wording)
            yield named(ISOLATION_PAGE, sheet.head.machine.applies.key), page.encode()


def pdf_of(sheet: Sheet, pictures: Mapping[str, bytes], theme: Theme, wording: Wording = ENGLISH) -> bytes:
    """A sheet for paper. Raises RenderFault."""
    page = sheets.page(sheet, pictures, theme, wording)
    return pdf.write_pdf(page, pictures, title=sheets.title(sheet, wording), language=wording.language)


def jobs(judgement: Judgement, shelf: Shelf, studio: Studio) -> tuple[SheetJob, ...]:
    """The sheets of every machine that is asked for and that nothing stops.

    Where only procedures of a machine are asked for, its picking list is all that may change. Raises Unreadable.
    """
    found = []
    record = shelf.shop.record
    for folder, loaded in shelf.machines.items():
        if stopped(loaded, judgement, shelf):
            continue
        shop = _on_paper(shelf.shop.record, studio)
        mine = [one for one in judgement.judged if one.key[0] == folder]
        whole = shelf.is_asked(loaded.file)
        if not whole and not any(shelf.is_asked(one.standing.file) for one in mine):
            continue
        made, pictures = _of_machine(loaded.record, shop, folder, shelf) if whole else ((), {})
        picking = picking_of(mine, shop)
        made = (*made, (PICKING, picking)) if picking.jobs else made
        said = _wording(mine, shelf, studio) if record is not None else ENGLISH
        state = sha256("".join(sheets.digest(each) for _, each in made).encode()).hexdigest() if whole else ""
        found.append(SheetJob(loaded.file, folder, made, pictures, studio.kinds, studio.theme.name, state, said))
    return tuple(job for job in found if job.sheets)


def _wording(judged: Sequence[Judged], shelf: Shelf, studio: Studio) -> Wording:
    """How the sheets of a machine are said: with the translations that lie beside its procedures, the first's first."""
    language = language_of(shelf.shop.record, studio.language)
    own: dict[str, str] = {}
    for one in judged:
        for each in shelf.translations.get(one.key, ()):
            own = {**each.own, **own} if each.language == language else own
    return wording(language, shelf.shop.record, own)


def _of_machine(
    machine: Machine, shop: Shop, folder: str, shelf: Shelf
) -> tuple[tuple[tuple[str, Sheet], ...], Mapping[str, bytes]]:
    shown = (machine.figure.file.name,) if machine.figure else ()
    pictures = figures.contents(next(each for each in shelf.survey.machines if each.name == folder), shown)
    digests = {name: sha256(content).hexdigest() for name, content in pictures.items()}
    made: list[tuple[str, Sheet]] = []
    for variant, one in sheet_classes(machine):
        made += [
            (named(ISOLATION, variant.key), isolation_sheet(one, shop, digests, variant)),
            (named(TAG, variant.key), out_of_service_tag(one, shop, variant)),
            (named(MACHINE, variant.key), machine_sheet(one, shop, digests, variant)),
            (named(LIMITS, variant.key), limits_sheet(one, shop, variant)),
        ]
    return tuple(made), pictures


def stopped(loaded: Loaded, judgement: Judgement, shelf: Shelf) -> bool:
    """Whether the machine file, or the shop on which its sheets stand, has errors."""
    if loaded.record is None or shelf.shop.record is None:
        return True
    files = (loaded.file, loaded.file.rpartition("/")[0], shelf.shop.file)
    return any(each.severity is Severity.ERROR and each.span.file in files for each in judgement.common)


def _on_paper(shop: Shop, studio: Studio) -> Shop:
    """The shop with the paper that was asked for; a sheet has no pocket size but that of the limits."""
    asked = studio.form.paper or shop.paper
    return shop._replace(paper=asked if asked in ("A4", "Letter") else shop.paper if shop.paper == "Letter" else "A4")


@cache
def _theme(name: str) -> Theme:
    return load(name)
