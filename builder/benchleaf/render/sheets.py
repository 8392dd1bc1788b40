"""The sheets around the cards as HTML: `page` for paper, `screen` for a browser without network."""

import json
from base64 import b64encode
from collections.abc import Mapping
from hashlib import sha256

from markupsafe import Markup

from benchleaf.base.said import ENGLISH, Wording, fill
from benchleaf.card.model import plain
from benchleaf.card.sheet_isolation import IsolationSheet
from benchleaf.card.sheet_limits import LimitsSheet
from benchleaf.card.sheet_machine import MachineSheet
from benchleaf.card.sheet_picking import PickingList
from benchleaf.card.sheet_reading import ReadingSheet
from benchleaf.card.sheet_tag import Tag
from benchleaf.card.speak import speak
from benchleaf.card.wording import word
from benchleaf.render import signs
from benchleaf.render.fault import RenderFault
from benchleaf.render.html import POLICY, STYLE, data_uri, draw, dressed
from benchleaf.render.theme import Theme

Sheet = IsolationSheet | LimitsSheet | MachineSheet | PickingList | ReadingSheet | Tag

# Template, style sheets, and what the sheet is called.
_LOOKS: dict[type, tuple[str, tuple[str, ...], str]] = {
    IsolationSheet: ("isolation", ("sheet",), fill("Isolation sheet")),
    LimitsSheet: ("limits", ("sheet_limits",), fill("Limits and torques")),
    MachineSheet: ("machine", ("sheet",), fill("Machine sheet")),
    PickingList: ("picking", ("sheet",), fill("Picking list")),
    ReadingSheet: ("reading", ("sheet",), fill("Reading sheet")),
    Tag: ("tag", ("sheet_tag",), fill("Out-of-service tag")),
}
_MARK = 8


def page(sheet: Sheet, assets: Mapping[str, bytes], theme: Theme, wording: Wording = ENGLISH) -> str:
    """The HTML from which the PDF is made; pictures stay references: `asset:FILE` and `sign:NUMBER`.

    Raises RenderFault when the figure is not among the assets, ThemeFault when the theme is broken.
    """
    _hold_figure(sheet, assets)
    template, styles, _ = _LOOKS[type(sheet)]
    style = "\n".join(theme.flat_style(name) for name in styles)
    return _drawn(
        sheet,
        theme,
        wording,
        template,
        style=Markup(f"{style}\n{_paper(sheet, template)}"),
        paper=True,
        picture=lambda file: f"asset:{file}",
        sign_source=lambda number: f"sign:{number}",
    )


def screen(sheet: IsolationSheet, assets: Mapping[str, bytes], theme: Theme, wording: Wording = ENGLISH) -> str:
    """The isolation sheet as one self-contained file. Raises as `page` does."""
    _hold_figure(sheet, assets)
    drawn = _drawn(
        sheet,
        theme,
        wording,
        "isolation",
        style=STYLE,
        paper=False,
        policy=POLICY,
        picture=lambda file: data_uri(file, assets[file]),
        sign_source=lambda number: f"data:image/svg+xml;base64,{b64encode(signs.drawing(number).encode()).decode()}",
    )
    return dressed(drawn, theme, "sheet_screen")


def content_mark(sheet: Sheet) -> str:
    """The first digits of the SHA-256 of all that the sheet says: two prints with one mark say the same."""
    return digest(sheet)[:_MARK]


def digest(sheet: Sheet) -> str:
    """SHA-256 over the sheet's data, in hexadecimal."""
    text = json.dumps(plain(sheet), ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    return sha256(text.encode()).hexdigest()


def title(sheet: Sheet, wording: Wording = ENGLISH) -> str:
    """The title of the document: what it is and for which machine or work."""
    called = wording.speak(_LOOKS[type(sheet)][2])
    sheet = speak(sheet, wording)
    if isinstance(sheet, PickingList):
        return f"{called}: {about(sheet)}"
    if isinstance(sheet, ReadingSheet):
        revision = wording.say("revision {revision}", revision=sheet.revision)
        return f"{called}: {sheet.title}, {sheet.machine.name}, {revision}"
    return f"{called}: {sheet.head.machine.name}"


def about(sheet: PickingList) -> str:
    """The machines that a picking list is about."""
    return ", ".join(dict.fromkeys(job.machine for job in sheet.jobs))


def _drawn(sheet: Sheet, theme: Theme, wording: Wording, template: str, **values: object) -> str:
    mark, sheet = content_mark(sheet), speak(sheet, wording)
    given: dict[str, object] = {"policy": "", "about": "", "name": "", "several": False, **values}
    if isinstance(sheet, PickingList):
        machines = dict.fromkeys(job.card.partition("/")[0] for job in sheet.jobs)
        given["about"] = about(sheet)
        given["several"] = len(machines) > 1
        given["name"] = f"{next(iter(machines))}/picking-list" if len(machines) == 1 else "picking-list"
    return draw(
        theme,
        f"sheet_{template}.html",
        wording,
        sheet=sheet,
        title=title(sheet, wording),
        mark=mark,
        stays_word=wording.speak(word("sheet", "stays")),
        **given,
    )


def _paper(sheet: Sheet, template: str) -> str:
    """The size of the paper; a pocket sheet and a tag say theirs themselves."""
    if template in ("limits", "tag"):
        return ""
    paper = sheet.paper if isinstance(sheet, PickingList | ReadingSheet) else sheet.head.paper
    return f"@page {{ size: {'letter' if paper == 'Letter' else 'A4'} }}"


def _hold_figure(sheet: Sheet, assets: Mapping[str, bytes]) -> None:
    figure = getattr(sheet, "figure", None)
    if figure is not None and figure.file not in assets:
        raise RenderFault(f"the figure of the machine, {figure.file}, is not there")
