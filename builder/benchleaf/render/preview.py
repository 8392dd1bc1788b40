"""The page round the previewed documents: findings above, documents side by side below, each in a frame of its own."""

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from markupsafe import Markup

from benchleaf.render import signs
from benchleaf.render.html import data_uri, draw
from benchleaf.render.theme import Theme

# What a screen shows of a page for paper: heads and feet are the printer's to place, and a frame is narrow.
_ON_SCREEN = (
    "<style>@media screen{.run-head,.run-foot{display:none}html{background:#fff;zoom:.8}@media(max-width:600px){"
    "html{zoom:.55}}body{width:184mm;margin:0 auto;padding:6mm 0;font-family:'Fira Sans',system-ui,sans-serif}}</style>"
)
_REFERENCE = re.compile(r'(?<=["\'(])(asset|sign):([^"\')]+)')


class Told(NamedTuple):
    """A finding as the page shows it: severity, place, sentence, the source line cut in three, why, mend, slug."""

    severity: str
    place: str
    sentence: str
    line: tuple[str, str, str]
    why: str
    mend: str
    slug: str


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
    return draw(theme, "preview.html", tokens=Markup(theme.style("index")), **values)


def framed(page: str, pictures: Mapping[str, bytes]) -> str:
    """The card's page with its references to pictures and signs filled in, so that it stands alone on a screen."""

    def filled(match: re.Match[str]) -> str:
        if match[1] == "sign":
            return data_uri("sign.svg", signs.drawing(match[2].removesuffix(".svg")).encode())
        return data_uri(match[2], pictures[match[2]]) if match[2] in pictures else match[0]

    return _REFERENCE.sub(filled, page).replace("</head>", f"{_ON_SCREEN}</head>", 1)
