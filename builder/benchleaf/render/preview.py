"""The page round the previewed documents: findings above, documents side by side below, each in a frame of its own."""

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from markupsafe import escape

from benchleaf.card.model import Card
from benchleaf.render import plan, signs, typeface
from benchleaf.render.html import STYLE, data_uri, draw, dressed
from benchleaf.render.theme import Theme

# What a screen shows of a page for paper: heads and feet are the printer's to place, and a frame is narrow.
_ON_SCREEN = (
    "<style>@media screen{.run-head,.run-foot{display:none}html{background:#fff;zoom:.8}@media(max-width:600px){"
    "html{zoom:.55}}body{width:184mm;margin:0 auto;padding:6mm 0;font-family:'Fira Sans',system-ui,sans-serif}"
    ".refusal{background:#16181a;color:#fff;padding:2mm 3mm;font-weight:700;margin:0 0 2mm}}</style>"
)
_PLAN = (
    '<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><title>Plan</title><style>body{{margin:1rem;background:'
    "#fff}}svg{{display:block;width:100%;height:auto;max-width:60rem}}</style></head><body>{}</body></html>"
)
_STEP = re.compile(r'<li class="step[^>]*\bid="step-(\d+)"[^>]*>')
_PLAN_ROOM = (400.0, 4000.0)
_REFERENCE = re.compile(r'(?<=["\'(])(asset|sign):([^"\')]+)')


class Told(NamedTuple):
    """A finding as the page shows it: severity, place, sentence, the source line cut in three, why, mend, slug.

    `step` is the number of the step to which it belongs on the card that shows; 0 for none.
    """

    severity: str
    place: str
    sentence: str
    line: tuple[str, str, str]
    why: str
    mend: str
    slug: str
    step: int


class Frame(NamedTuple):
    """A document in a frame: its name, its address and, where there are several classes of machines, which one."""

    name: str
    address: str
    label: str


class Row(NamedTuple):
    """A procedure in the list: its address, its name, and by what it is stopped."""

    address: str
    name: str
    by: tuple[str, ...]


def look(theme: Theme, title: str, told: Iterable[Told], frames: Iterable[Frame], *, old: bool, trouble: str) -> str:
    """The page of one procedure. Raises ThemeFault."""
    return _draw(theme, title=title, told=list(told), frames=list(frames), old=old, trouble=trouble, rows=[])


def overview(theme: Theme, rows: Iterable[Row], trouble: str = "") -> str:
    """The list of all procedures. Raises ThemeFault."""
    return _draw(theme, title="Procedures", told=[], frames=[], old=False, trouble=trouble, rows=list(rows))


def _draw(theme: Theme, **values: object) -> str:
    return dressed(draw(theme, "preview.html", tokens=STYLE, **values), theme, "index")


def framed(page: str, pictures: Mapping[str, bytes], theme: Theme) -> str:
    """The card's page with its references to pictures and signs filled in, so that it stands alone on a screen."""

    def filled(match: re.Match[str]) -> str:
        if match[1] == "sign":
            return data_uri("sign.svg", signs.drawing(match[2].removesuffix(".svg")).encode())
        return data_uri(match[2], pictures[match[2]]) if match[2] in pictures else match[0]

    fonts = typeface.faces(theme.light.get("family", ""), page)
    return _REFERENCE.sub(filled, page).replace("</head>", f"<style>{fonts}</style>{_ON_SCREEN}</head>", 1)


def planned(card: Card) -> str:
    """The plan of a fault-finding card as a page; empty where there is none."""
    drawn = plan.plan(card, _PLAN_ROOM)
    return _PLAN.format(drawn) if drawn else ""


def marked(page: str, notes: Mapping[int, Sequence[str]]) -> str:
    """A card's page or a checklist with sentences at its steps, by their numbers."""
    told = {
        str(number): "".join(f'<p class="refusal">{escape(sentence)}</p>' for sentence in sentences)
        for number, sentences in notes.items()
    }
    return _STEP.sub(lambda start: start[0] + told.get(start[1], ""), page)
