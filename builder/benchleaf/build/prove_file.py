"""What a document is worth: drawn again from the signed card, and compared with what is at hand.

So nothing printed can differ from what was signed, whatever the document says of itself.
"""

import json
import re
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import Any

from benchleaf import __version__
from benchleaf.base.resources import theme_names
from benchleaf.build import documents, readback
from benchleaf.build.filenames import CARD, CHECKLIST, PDF, named
from benchleaf.build.prove import ALTERED, UNKNOWN, UNPROVEN, Court, Said, of_digest, of_envelope, standing_of
from benchleaf.build.released import pictures_of
from benchleaf.build.standing import theme_allowed
from benchleaf.card.digest import digest
from benchleaf.card.model import Card
from benchleaf.card.restore import restored
from benchleaf.render.fault import ThemeFault
from benchleaf.render.form import Form
from benchleaf.render.theme import THEMES, load
from benchleaf.review.stamp import Stamp, stamp
from benchleaf.review.state import IN_REVIEW, RELEASED, Release, Standing

_DATA = re.compile(rb'<script type="application/json" id="card">(.*?)</script>', re.DOTALL)
_LANGUAGE = re.compile(rb'<html lang="([A-Za-z-]+)"')
_POINTS = {"A4": (595, 842), "Letter": (612, 792), "pocket": (298, 420)}


def of_file(court: Court, path: Path) -> Said:
    """A verdict on a card, a checklist, a signature or a record. Raises Refused and OSError."""
    content = path.read_bytes()
    if content.startswith(b"%PDF"):
        return _of_pdf(court, content)
    if content.lstrip()[:1] == b"<":
        return _of_checklist(court, content)
    try:
        data = json.loads(content)
    except (ValueError, RecursionError):
        return Said(UNKNOWN, "This is no document of benchleaf that can be read.")
    if isinstance(data, dict) and "payloadType" in data:
        return of_envelope(court, path, content)
    kind = str(data.get("format", "")) if isinstance(data, dict) else ""
    if kind.startswith("benchleaf/card/"):
        return _of_card(court, data, content)[0]
    if kind.startswith("benchleaf/record/") and isinstance(data.get("card"), dict):
        said = of_digest(court, str(data["card"].get("digest", "")))
        return said._replace(sentence=f"The record was made with this card: {said.sentence}")
    return Said(UNKNOWN, "This is no document of benchleaf that can be verified.")


def _of_card(court: Court, data: Mapping[str, Any], content: bytes) -> tuple[Said, Card | None, list[Stamp]]:
    """The verdict on a card's data; the card, and the stamps with which it can have been drawn, where it is signed."""
    try:
        mark = digest(data)
    except (ValueError, TypeError, RecursionError):
        return Said(ALTERED, "The card in it can't be read."), None, []
    said = of_digest(court, mark)
    if said.verdict in (UNKNOWN, ALTERED, IN_REVIEW):
        typed = str(data.get("state", ""))
        if typed == RELEASED:
            sentence = f"It says that it is released, and it is not: {said.sentence}"
            return Said(ALTERED, sentence, said.procedure, digest=mark, findings=said.findings), None, []
        return said, None, []
    where, _ = standing_of(court, said.procedure)
    release = next(each for each in where.releases if mark in dict(each.content).values())
    card = _signed_card(release, mark)
    if card is None:
        return _unreadable(said), None, []
    stamps = list(dict.fromkeys(_stamps(court, where, release, card)))
    drawn = [each for each in stamps if _is(each.on(_as_drawn(card, data)), data, content)]
    if not drawn:
        return said._replace(verdict=ALTERED, sentence=_differs(said, "its state, flags or history")), None, []
    return said, _as_drawn(card, data), drawn


def _is(card: Card, data: Mapping[str, Any], content: bytes) -> bool:
    """Whether data say what the card says, and lie in the file as this tool writes them; the facts in any order."""
    return data == json.loads(documents.card_file(card)) and documents.data_file(data) == content


def _signed_card(release: Release, mark: str) -> Card | None:
    """The card of a release with this digest; None for one that this version can't read as it was signed."""
    data = next(one for one in release.signatures[-1].cards.values() if digest(one) == mark)
    try:
        card = restored(data)
    except ValueError:
        return None
    return card if digest(card) == mark else None


def _unreadable(said: Said) -> Said:
    sentence = f"{said.sentence} But this version of benchleaf does not read that card as it was signed."
    return said._replace(verdict=UNPROVEN, sentence=sentence)


def _as_drawn(card: Card, data: Mapping[str, Any]) -> Card:
    """The signed card with what is layout and version, as the document has it."""
    return card._replace(tool=str(data.get("tool", "")), paper=str(data.get("paper", "")))


def _stamps(court: Court, where: Standing, release: Release, card: Card) -> Iterator[Stamp]:
    """What can stand on a document of a release: as it was when it was released, at any time since, and now."""
    shown = court.trust.demonstration
    then = where.releases[: where.releases.index(release) + 1]
    fresh = (*then[:-1], release._replace(withdrawn=None))
    early = where._replace(releases=fresh, current=fresh[-1])
    for day in (release.day, max(release.first, release.day), court.today, release.last):
        yield stamp(early, release.content, day, card.review_by, demonstration=shown)
    yield stamp(where, release.content, court.today, card.review_by, demonstration=shown)
    yield Stamp()


def _of_pdf(court: Court, content: bytes) -> Said:
    try:
        inside = readback.attached(content, CARD)
        text = readback.text_of_pdf(content)
        size = readback.size_of_pdf(content)
        data = json.loads(inside)
    except (readback.Unreadable, ValueError, RecursionError) as error:
        return Said(UNKNOWN, f"This is no bench card: {error}.")
    if not isinstance(data, dict):
        return Said(UNKNOWN, "This is no bench card: it carries something else.")
    said, card, stamps = _of_card(court, data, inside)
    if card is None:
        return said
    spoken = readback.language_of_pdf(content)
    if spoken != card.language:
        return _foreign(said, spoken)
    lacking = readback.missing(card, text)
    if lacking:
        return said._replace(verdict=ALTERED, sentence=_differs(said, ", ".join(lacking)))
    stamped = (each.on(card) for each in stamps)
    if not any(text == readback.text_of_pdf(drawn) for one in stamped for drawn in _drawn(court, one, size)):
        return _unlike(said, str(data.get("tool")), "what is printed")
    return said


def _drawn(court: Court, card: Card, size: tuple[float, float]) -> Iterator[bytes]:
    """The card drawn again in each form that has pages of this size (in points)."""
    machine = card.machine.key
    pictures = {name: found or b"" for name, found in pictures_of(court.root, machine, card).items()}
    near = [
        paper for paper, wanted in _POINTS.items() if all(abs(a - b) < 2 for a, b in zip(size, wanted, strict=True))
    ]
    forms = [Form(paper, letters, sides) for letters in ("normal", "large") for paper in near
             for sides in ("single", "two-sided", "punched")]  # fmt: skip
    for theme in _themes(court):
        for form in dict.fromkeys(forms):
            made = documents.draw_card(card, pictures, "", machine, theme, form, ("pdf",))
            if made.files:
                yield made.files[named(PDF, card.machine.applies.key)]


def _themes(court: Court) -> Iterator[str]:
    """The themes with which released documents may be drawn: those of the package, and those that the root signed."""
    yield from theme_names()
    people = court.trust.people
    for folder in sorted((court.root / THEMES).glob("*/tokens.json")):
        with suppress(ThemeFault):
            theme = load(str(folder.parent.resolve()))
            if people is not None and theme_allowed(theme, people):
                yield theme.name


def _of_checklist(court: Court, content: bytes) -> Said:
    inside = _DATA.search(content)
    try:
        data = json.loads(inside[1]) if inside else None
    except ValueError:
        data = None
    if not isinstance(data, dict):
        return Said(UNKNOWN, "This is no checklist.")
    said = of_digest(court, str(data.get("digest", "")))
    if said.verdict in (UNKNOWN, ALTERED, IN_REVIEW):
        if data.get("state") == RELEASED:
            return said._replace(
                verdict=ALTERED, sentence=f"It says that it is released, and it is not: {said.sentence}"
            )
        return said
    where, _ = standing_of(court, said.procedure)
    release = next(each for each in where.releases if said.digest in dict(each.content).values())
    card = _signed_card(release, said.digest)
    if card is None:
        return _unreadable(said)
    spoken = _LANGUAGE.search(content)
    if spoken and spoken[1].decode() != card.language:
        return _foreign(said, spoken[1].decode())
    if not any(content == drawn for drawn in _checklists(court, where, release, card, str(data.get("tool")))):
        return _unlike(said, str(data.get("tool")), "what it shows or does")
    return said


def _checklists(court: Court, where: Standing, release: Release, card: Card, tool: str) -> Iterator[bytes]:
    machine = card.machine.key
    pictures = {name: found or b"" for name, found in pictures_of(court.root, machine, card).items()}
    for mark in dict.fromkeys(_stamps(court, where, release, card)):
        drawn = mark.on(card._replace(tool=tool))
        for theme in _themes(court):
            made = documents.draw_card(drawn, pictures, "", machine, theme, Form(), ("html",))
            if made.files:
                yield made.files[named(CHECKLIST, card.machine.applies.key)]


def _unlike(said: Said, tool: str, what: str) -> Said:
    """What is to be said of a document that this version draws in another way."""
    if tool == __version__:
        return said._replace(verdict=ALTERED, sentence=_differs(said, what))
    sentence = f"{said.sentence} But it was drawn by version {tool}, and can't be compared in full: build it again."
    return said._replace(verdict=UNPROVEN, sentence=sentence)


def _foreign(said: Said, language: str) -> Said:
    """What is to be said of a document in another language than the card was signed in."""
    sentence = (
        f"{said.sentence} But it is in another language ({language}), and can't be compared with what was signed."
    )
    return said._replace(verdict=UNPROVEN, sentence=sentence)


def _differs(said: Said, what: str) -> str:
    return f"It bears the digest of {said.procedure} revision {said.revision}, and differs from it: {what}."
