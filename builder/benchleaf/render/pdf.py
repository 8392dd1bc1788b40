"""HTML to PDF/UA-1: the only room that knows the PDF renderer and its fonts.

Importing it works without the renderer's native libraries; `pango_missing` then says what to install.
"""

import atexit
import contextlib
import io
import logging
import os
import shutil
import tempfile
from collections.abc import Mapping
from datetime import UTC, datetime
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import unquote
from xml.sax.saxutils import escape

from benchleaf.render import signs
from benchleaf.render.fault import RenderFault
from benchleaf.render.typeface import FONTS

_FACES = ("FiraSans-Regular.ttf", "FiraSans-Italic.ttf", "FiraSans-SemiBold.ttf", "FiraSans-Bold.ttf")
# What a style sheet writes where the number of a page will stand.
_ROOM_FOR_PAGE = "00"
# Characters that the font lacks and that another one says as well.
_SAME = str.maketrans(
    {"\u2032": "'", "\u2033": '"', "\u2011": "-", "\u00ad": "", "\u2009": "\u00a0", "\u202f": "\u00a0"}
)


def _only_our_fonts() -> None:
    """Fontconfig reads its settings once, when the renderer is imported: let them name our faces only."""
    folder = tempfile.mkdtemp(prefix="benchleaf-fonts-")
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    others = "".join(f"<glob>{escape(str(path))}</glob>" for path in sorted(FONTS.iterdir()) if path.name not in _FACES)
    settings = Path(folder, "fonts.conf")
    settings.write_text(
        '<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "urn:fontconfig:fonts.dtd"><fontconfig>'
        f"<dir>{escape(str(FONTS))}</dir><cachedir>{escape(folder)}</cachedir>"
        f"<selectfont><rejectfont>{others}</rejectfont></selectfont></fontconfig>",
        encoding="utf-8",
    )
    os.environ["FONTCONFIG_FILE"] = str(settings)


_only_our_fonts()
_LOG = logging.getLogger("weasyprint")
_MISSING = ""
try:
    with contextlib.redirect_stdout(io.StringIO()):
        import weasyprint
        from fontTools.ttLib import TTFont
        from weasyprint.text.fonts import FontConfiguration
        from weasyprint.urls import FatalURLFetchingError, URLFetcher, URLFetcherResponse
except OSError as fault:
    _MISSING = (
        f"PDF output needs the library Pango, which was not found ({str(fault).splitlines()[0]}); "
        "install it with the system's package manager (Debian and Ubuntu: libpango-1.0-0 libpangoft2-1.0-0 "
        "libharfbuzz-subset0; macOS: pango). Checks and checklists work without it."
    )
    URLFetcher = object


def pango_missing() -> str:
    """What to install when the renderer's native libraries are missing; empty text when all is there."""
    return _MISSING


class Attached(NamedTuple):
    """A file to carry inside the PDF. It bears the date `day` (ISO 8601): the same file gives the same bytes."""

    name: str
    content: bytes
    description: str
    day: str = ""


def write_pdf(
    html: str,
    assets: Mapping[str, bytes],
    *,
    title: str,
    language: str,
    zoom: float = 1.0,
    attached: Attached | None = None,
) -> bytes:
    """The PDF of a page made by `html.page`: tagged (PDF/UA-1), with our fonts only; same input, same bytes.

    `assets` are the figures by file name; `zoom` magnifies the laid-out page.

    Raises RenderFault when the renderer complains of anything, when the page asks for something that is neither an
    asset nor a sign, or when the font lacks a character.
    """
    if _MISSING:
        raise RenderFault(_MISSING)
    html = html.translate(_SAME)
    _hold_characters(html)
    body, style = _without_style(html)
    complaints = _Complaints()
    _LOG.addHandler(complaints)
    propagated, _LOG.propagate = _LOG.propagate, False
    try:
        source = weasyprint.HTML(string=body, base_url="page:/", url_fetcher=_Declared(assets))
        document = source.render(font_config=_font_configuration(), stylesheets=[_sheet(style)], pdf_variant="pdf/ua-1")
        _write_page_numbers(document)
        document.metadata.title, document.metadata.lang = title, language
        if attached:
            document.metadata.attachments = [_attachment(attached)]
        content = document.write_pdf(pdf_variant="pdf/ua-1", zoom=zoom)
    except FatalURLFetchingError as fault:
        raise RenderFault(f"the page asks for something that is not part of it: {fault}") from None
    finally:
        _LOG.removeHandler(complaints)
        _LOG.propagate = propagated
    if complaints.texts:
        raise RenderFault(f"the PDF renderer complains: {complaints.texts[0]}")
    return bytes(content)


def _write_page_numbers(document: Any) -> None:
    """Writes numbers of pages where the style sheet left room: behind a link that of its target, else how many.

    The renderer's own counters would lay out anew each page that points to a later one: that is most pages of a card,
    and a third of the time.
    """
    pages: dict[str, int] = {}
    for number, page in enumerate(document.pages, 1):
        for name in page.anchors:
            pages.setdefault(name, number)
    for page in document.pages:
        for box in page._page_box.descendants():
            if box.element_tag in ("a::after", "b::after") and getattr(box, "text", "").endswith(_ROOM_FOR_PAGE):
                target = box.element.get("href", "").removeprefix("#")
                number = pages[target] if target else len(document.pages)
                box.text = box.pango_layout.text = box.text.removesuffix(_ROOM_FOR_PAGE) + str(number)


def _attachment(file: Attached) -> object:
    try:
        day = datetime.fromisoformat(file.day).replace(tzinfo=UTC)
    except ValueError:
        day = datetime(2000, 1, 1, tzinfo=UTC)
    return weasyprint.Attachment(
        string=file.content.decode(),
        name=file.name,
        description=file.description,
        created=day,
        modified=day,
        relationship="Source",
    )


class _Declared(URLFetcher):  # type: ignore[misc]
    """Serves what belongs to the page and nothing else."""

    def __init__(self, assets: Mapping[str, bytes]) -> None:
        super().__init__(fail_on_errors=True)
        self._assets = assets

    def fetch(self, url: str, headers: object = None) -> object:
        kind, _, name = url.partition(":")
        if kind == "asset":
            return URLFetcherResponse(url, self._assets[unquote(name)])
        if kind == "sign":
            return URLFetcherResponse(url, signs.drawing(name).encode(), {"Content-Type": "image/svg+xml"})
        if kind == "data":
            return super().fetch(url)
        raise PermissionError(f"{url} does not belong to the page")


class _Complaints(logging.Handler):
    """Keeps what the renderer warns of."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.texts: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.texts.append(record.getMessage())


def _without_style(html: str) -> tuple[str, str]:
    """The page without its style sheet, and the style sheet, which many pages share."""
    head, opening, rest = html.partition("<style>")
    style, closing, tail = rest.partition("</style>")
    return (head + tail, style) if opening and closing else (html, "")


@cache
def _font_configuration() -> object:
    return FontConfiguration()


@lru_cache(maxsize=16)
def _sheet(style: str) -> object:
    return weasyprint.CSS(string=style, font_config=_font_configuration(), url_fetcher=_Declared({}))


@cache
def _known_characters() -> frozenset[str]:
    """Characters that every face has."""
    known = []
    for face in _FACES:
        with TTFont(FONTS / face, lazy=True) as font:
            known.append(frozenset(font.getBestCmap()))
    return frozenset(map(chr, frozenset.intersection(*known))) | {"\n", "\r", "\t"}


def _hold_characters(html: str) -> None:
    lacking = sorted(set(html) - _known_characters())
    if lacking:
        names = ", ".join(f"{character} (U+{ord(character):04X})" for character in lacking)
        raise RenderFault(f"the card's font has no sign for {names}: write it in words")
