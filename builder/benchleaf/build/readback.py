"""A finished document read again: every warning, limit, step and finding of its card must stand in it as text.

Whether a reader sees what stands there is the theme's doing, which is why released documents are drawn only with themes
that are known. Spaces, hyphens and capitals are left out of account: they are the layout's.
"""

import logging
import re
from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from html.parser import HTMLParser
from io import BytesIO
from typing import NamedTuple, TypeVar

from pypdf import PdfReader

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.card.model import Card, CardStep
from benchleaf.render.markdown import block
from benchleaf.review import rules

T = TypeVar("T")

# How the files that are read back begin and end; card.json and the reading sheet are none.
_CARD, _CHECKLIST = re.compile(r"card(-.+)?\.pdf"), re.compile(r"checklist(-.+)?\.html")
_UNSEEN = frozenset({"script", "style", "template", "title", "head"})
_SAME = str.maketrans({"\u2032": "'", "\u2033": '"', "\u00ad": "", "\u2011": "-", "\u2010": "-"})
_SPACE = re.compile(r"\s+")
_DIGITS = re.compile(r"\d+")
# A hyphen before a letter may be the layout's; one before a digit may be a minus sign.
_HYPHEN = re.compile(r"-(?=[^\W\d])")


class Piece(NamedTuple):
    """Something that a document must show: what it is, and its text."""

    what: str
    text: str


class Unreadable(ValueError):
    """A document that can't be read at all; the text says why."""


def pieces(card: Card) -> tuple[Piece, ...]:
    """All that a bench card or checklist must show of a card, in printing order."""
    found = [Piece("the title", card.title), Piece("the notice", card.notice)]
    found += [Piece("what to do in an emergency", line) for line in card.emergency]
    for hazard in card.hazards:
        found += [Piece("an energy of the machine", text) for text in (hazard.name, hazard.size, hazard.proof)]
    for step in card.steps:
        found += _of_step(step)
    for outcome in card.outcomes:
        what = f"finding {outcome.number}"
        found += [Piece(what, text) for text in (outcome.title, outcome.text, outcome.leave_sentence)]
    return tuple(piece for piece in found if squeezed(plain(piece.text)))


def _of_step(step: CardStep) -> Iterator[Piece]:
    what = f"step {step.number}"
    for warning in step.warnings:
        for text in (warning.hazard, warning.consequence, warning.avoidance):
            yield Piece(f"a warning at {what}", text)
    for text in (step.command, step.info, step.expect, step.live, step.meanwhile, step.hold):
        yield Piece(what, text)
    reading, joint = step.reading, step.tightening
    if reading:
        yield Piece(f"the limit at {what}", reading.band.sentence)
        for pair in reading.pairs:
            for point in pair:
                yield Piece(f"a test point at {what}", point.name)
    if joint:
        for value in (joint.torque, *joint.stages):
            yield Piece(f"the torque at {what}", value.printed if value else "")
    if step.wait:
        yield Piece(f"the wait at {what}", step.wait.printed)


def plain(text: str) -> str:
    """Light markdown as its reader sees it."""
    return block(text).striptags()


def squeezed(text: str) -> str:
    """A text without what the layout may change."""
    return _HYPHEN.sub("", _SPACE.sub("", text.translate(_SAME))).casefold()


def missing(card: Card, text: str) -> tuple[str, ...]:
    """What of the card the text of a document does not show, each once."""
    whole = squeezed(text)
    return tuple(dict.fromkeys(piece.what for piece in pieces(card) if squeezed(plain(piece.text)) not in whole))


def held(card: Card, files: Mapping[str, bytes], file: str) -> tuple[Finding, ...]:
    """What finished documents of a card do not show of it, as findings at a source file."""
    found = []
    for name, content in files.items():
        if _CARD.fullmatch(name):
            lacking = missing(card, text_of_pdf(content))
        elif _CHECKLIST.fullmatch(name):
            lacking = missing(card, text_of_html(content))
        else:
            continue
        if lacking:
            found.append(rules.NOT_READ_BACK.at(Span(file), f"{name} does not show {', '.join(lacking)}."))
    return tuple(found)


def text_of_pdf(content: bytes) -> str:
    """The text of a PDF, page after page, without the lines that stand on every page. Unreadable where it is none."""
    pages = _asked(content, lambda pdf: [page.extract_text() for page in pdf.pages])
    lines = [page.splitlines() for page in pages]
    often = Counter(line for page in lines for line in {_DIGITS.sub("#", line) for line in page})
    running = {line for line, count in often.items() if len(pages) > 1 and count == len(pages)}
    return "\n".join(line for page in lines for line in page if _DIGITS.sub("#", line) not in running)


def size_of_pdf(content: bytes) -> tuple[float, float]:
    """Width and height of the first page in points. Unreadable where there is none."""
    return _asked(content, lambda pdf: (float(pdf.pages[0].mediabox.width), float(pdf.pages[0].mediabox.height)))


def language_of_pdf(content: bytes) -> str:
    """The language that a PDF says it is in; empty where it says none. Unreadable where it is none."""
    return _asked(content, lambda pdf: str(pdf.root_object.get("/Lang", "")))


def attached(content: bytes, name: str) -> bytes:
    """A file that a PDF carries. Unreadable where there is none, or more than one."""
    files = _asked(content, lambda pdf: [bytes(each) for each in pdf.attachments.get(name, [])])
    if len(files) != 1:
        raise Unreadable("this PDF carries no card, or more than one")
    return files[0]


def _asked(content: bytes, question: Callable[[PdfReader], T]) -> T:
    log = logging.getLogger("pypdf")
    level = log.level
    log.setLevel(logging.CRITICAL)
    try:
        return question(PdfReader(BytesIO(content)))
    # What somebody hands us to verify may be damaged on purpose, and the library then fails in any way there is.
    except Exception as error:
        raise Unreadable(f"this is no PDF that can be read ({type(error).__name__})") from error
    finally:
        log.setLevel(level)


def text_of_html(content: bytes) -> str:
    """The text of a page without what no browser shows."""
    reader = _Reader()
    try:
        reader.feed(content.decode())
    except UnicodeDecodeError as error:
        raise Unreadable("this is no page in UTF-8") from error
    return "".join(reader.texts)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.texts: list[str] = []
        self._unseen = 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag in _UNSEEN:
            self._unseen += 1

    def handle_endtag(self, tag: str) -> None:
        if tag in _UNSEEN:
            self._unseen -= 1

    def handle_data(self, data: str) -> None:
        if not self._unseen:
            self.texts.append(data)
