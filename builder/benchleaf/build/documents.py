"""Stages 6 and 7: from a judged procedure to its card, and from the card to the bytes of its documents."""

import gc
import json
from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.build import documents_rules as rules
from benchleaf.build import figures
from benchleaf.build.gather import Shelf
from benchleaf.build.judge import Judged, shown
from benchleaf.build.request import Making, Tell
from benchleaf.card.compile import compile_card
from benchleaf.card.model import Card, plain
from benchleaf.render import html, pdf
from benchleaf.render.fault import RenderFault, ThemeFault
from benchleaf.render.theme import Theme, load

CARD, PDF, CHECKLIST = "card.json", "card.pdf", "checklist.html"
# The renderer leaves circles behind, and the collector is off while we work.
_CARDS_BETWEEN_COLLECTIONS = 10
FILES = (CARD, PDF, CHECKLIST)


class Documents(NamedTuple):
    """What became of a procedure: its card and the contents of its files, or the findings that stand in the way.

    `file` is its source, `folder` that of its documents below the output folder.
    """

    file: str
    folder: str
    card: Card | None
    files: Mapping[str, bytes]
    findings: tuple[Finding, ...] = ()


class Studio(NamedTuple):
    """What drawing needs: the theme, the kinds that can be made here, and what to install for those that cannot."""

    theme: Theme
    kinds: tuple[str, ...]
    paper: str
    lacking: str


def studio(making: Making) -> Studio:
    """Make ready to draw. Raises ThemeFault."""
    lacking = pdf.pango_missing() if "pdf" in making.kinds else ""
    kinds = tuple(kind for kind in making.kinds if kind != "pdf" or not lacking)
    return Studio(load(making.theme), kinds, making.paper, lacking)


def draw_all(ready: Sequence[Judged], shelf: Shelf, studio: Studio, tell: Tell) -> Iterator[Documents]:
    """The documents of procedures that nothing stops, one after the other. Raises ThemeFault and Unreadable."""
    for number, judged in enumerate(ready):
        tell("build", "/".join(judged.key), number, len(ready))
        if number % _CARDS_BETWEEN_COLLECTIONS == 0:
            gc.collect()
        try:
            yield _draw(judged, shelf, studio)
        except Exception as error:
            error.add_note(f"while building {judged.standing.file}")
            raise


def folder_of(judged: Judged) -> str:
    """The folder of a procedure's documents, relative to the output folder."""
    return "/".join(judged.key)


def _draw(judged: Judged, shelf: Shelf, studio: Studio) -> Documents:
    case = judged.case
    assert case is not None
    file, folder = judged.standing.file, folder_of(judged)
    if studio.paper:
        case = case._replace(shop=case.shop._replace(paper=studio.paper))
    card = compile_card(case, judged.facts)
    machine = next(machine for machine in shelf.survey.machines if machine.name == judged.key[0])
    pictures = figures.contents(machine, shown(case.procedure, shelf))
    files = {CARD: (json.dumps(plain(card), ensure_ascii=False, indent=1) + "\n").encode()}
    try:
        if "html" in studio.kinds:
            files[CHECKLIST] = html.checklist(card, pictures, studio.theme).encode()
        if "pdf" in studio.kinds:
            page = html.page(card, pictures, studio.theme)
            files[PDF] = pdf.write_pdf(page, pictures, title=card.title, language=card.language)
    except ThemeFault:
        raise
    except RenderFault as fault:
        sentence = str(fault)
        finding = rules.NOT_DRAWN.at(Span(file), f"{sentence[:1].upper()}{sentence[1:]}.")
        return Documents(file, folder, None, {}, (finding,))
    return Documents(file, folder, card, files)
