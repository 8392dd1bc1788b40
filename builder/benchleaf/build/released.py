"""Documents of what is released, from signed cards alone: whatever the working files say is not looked at.

A released document stands in the output folder only while its signatures hold: it goes when its release is superseded
or has run out, or when its signatures are not whole; one that was withdrawn is drawn with the mark of that.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import NamedTuple

from benchleaf import __version__
from benchleaf.base.finding import Finding, in_order
from benchleaf.base.span import Span
from benchleaf.build import catalogue, delivery, documents
from benchleaf.build.documents import Documents, Studio
from benchleaf.build.executor import spread
from benchleaf.build.filenames import FILES, keys, named
from benchleaf.build.pipeline import Made
from benchleaf.build.request import Request, Tell
from benchleaf.build.standing import theme_allowed, unlisted
from benchleaf.build.verdict import READY, STOPPED, Standing, Verdict
from benchleaf.build.write import exchange, output
from benchleaf.card.digest import digest
from benchleaf.card.model import Card
from benchleaf.card.restore import restored
from benchleaf.render.form import Form
from benchleaf.render.index import index
from benchleaf.review import rules, store
from benchleaf.review.chain import chain
from benchleaf.review.people import People
from benchleaf.review.stamp import stamp
from benchleaf.review.state import Release, standing
from benchleaf.review.trust import Trust, demo, expected, missed, people_of, remember
from benchleaf.source.read import read_file


class Job(NamedTuple):
    """A signed card to draw, so that it can be sent to another process."""

    file: str
    folder: str
    card: Card
    pictures: Mapping[str, bytes]
    kinds: tuple[str, ...]
    theme: str
    form: Form

    def draw(self) -> Documents:
        """See `documents.Drawable`."""
        return documents.draw_card(self.card, self.pictures, self.file, self.folder, self.theme, self.form, self.kinds)


class Held(NamedTuple):
    """A procedure with its last release, the cards to draw of it, and what is wrong with its signatures."""

    procedure: str
    file: str
    release: Release | None
    cards: tuple[Card, ...]
    findings: tuple[Finding, ...]


def run(request: Request, tell: Tell) -> Made:
    """Build what is released. Raises Unreadable, Unwritable, Refused and ThemeFault."""
    making = request.making
    assert making is not None and making.home is not None
    trust = people_of(request.root, making.home, shop_name(request.root))
    if trust.people is None:
        return Made(Verdict(in_order(trust.findings), ()))
    studio = documents.studio(making, request.root)
    if not theme_allowed(studio.theme, trust.people):
        return Made(Verdict(in_order((*trust.findings, unlisted(studio.theme, f"themes/{studio.theme.label}"))), ()))
    with output(making.out):
        held = [_held(name, request, trust, making.home) for name in names(request.root, making.home, trust.people)]
        jobs = [job for one in held for job in _jobs(one, request.root, studio)]
        drawn = documents.by_folder(spread(_draw, iter(jobs), len(jobs), studio.jobs), tell, len(held))
        delivered = delivery.deliver(making.out, drawn, together=False)
        faults = {one.file: one.findings for one in delivered if one.findings}
        good = {one.folder for one in delivered if one.cards}
        _drop(making.out, {one.procedure for one in held} - good)
        cards = {one.folder: one.cards for one in delivered if one.cards}
        entries = (catalogue.entry_of(making.out, name, found, "") for name, found in sorted(cards.items()))
        delivery.replace(making.out, catalogue.INDEX, index(entries, studio.theme).encode())
    findings = [*trust.findings, *(finding for one in held for finding in one.findings)]
    standings = tuple(_standing(one, good=one.procedure in good) for one in held)
    return Made(Verdict(in_order(findings), standings).plus(faults), tuple(sorted(good)), (), studio.lacking)


def _standing(one: Held, *, good: bool) -> Standing:
    machine, _, id_ = one.procedure.partition("/")
    good = good and one.release is not None and one.release.withdrawn is None
    return Standing(id_, machine, one.file, READY if good else STOPPED)


def names(root: Path, home: Path, people: People) -> tuple[str, ...]:
    """All procedures of which there are signatures, or were when somebody last looked, as machine/id."""
    return tuple(sorted({*store.procedures(root), *expected(home, people)}))


def shop_name(root: Path) -> str:
    """The name of the shop as its file has it; empty where that can't be read as a shop file."""
    node = read_file(root / "procedures" / "shop.yaml", root, "shop").node
    named = [entry.node.raw for entry in node.value if entry.key == "name"] if node and node.kind == "map" else []
    return str(named[0]) if named else ""


def _held(procedure: str, request: Request, trust: Trust, home: Path) -> Held:
    assert trust.people is not None
    found = chain(request.root, procedure)
    gone = missed(home, trust.people, found)
    where = standing(found, trust.people, request.today, demo().keys)
    file = found.signatures[-1].file if found.signatures else f"procedures/{procedure}.yaml"
    findings = [*where.findings, *gone]
    if not where.whole or gone:
        return Held(procedure, file, None, (), tuple(findings))
    remember(home, trust.people, {procedure: found.head})
    release = where.current or where.last
    if release is None:
        return Held(procedure, file, None, (), tuple(findings))
    if not where.current and not release.withdrawn:
        sentence = f"Revision {release.revision} may be used from {release.first or release.day} until {release.last}."
        return Held(procedure, file, release, (), (*findings, rules.RUN_OUT.at(Span(file), sentence)))
    cards = []
    for data in release.signatures[-1].cards.values():
        try:
            card = restored(data)
        except ValueError:
            card = None
        if card is None or digest(card) != digest(data):
            sentence = f"Revision {release.revision} of {procedure} is not read as it was signed."
            return Held(procedure, file, release, (), (*findings, rules.NOT_REBUILT.at(Span(file), sentence)))
        mark = stamp(where, release.content, request.today, card.review_by, demonstration=trust.demonstration)
        cards.append(mark.on(card._replace(tool=__version__)))
    return Held(procedure, file, release, tuple(cards), tuple(findings))


def _jobs(one: Held, root: Path, studio: Studio) -> Iterator["Job | _Lost"]:
    machine = one.procedure.partition("/")[0]
    for card in one.cards:
        pictures = pictures_of(root, machine, card)
        missing = sorted(name for name, content in pictures.items() if content is None)
        if missing:
            yield _Lost(one.file, one.procedure, missing[0])
            continue
        asked = studio.form
        form = Form(asked.paper or "A4", asked.type_size or "normal", asked.margins or "single")
        whole = {name: content for name, content in pictures.items() if content is not None}
        yield Job(
            one.file, one.procedure, card._replace(paper=form.paper), whole, studio.kinds, studio.theme.name, form
        )


def pictures_of(root: Path, machine: str, card: Card) -> dict[str, bytes | None]:
    """The figures of a signed card; None for one that is missing or another. Raises Refused."""
    shown = (step.figure for step in card.steps if step.figure)
    return {figure.file: store.blob(root, machine, figure.digest) for figure in shown}


class _Lost(NamedTuple):
    """A card that can't be drawn, since a figure is not the one that was signed."""

    file: str
    folder: str
    figure: str

    def draw(self) -> Documents:
        """See `documents.Drawable`."""
        sentence = f"The figure {self.figure} of {self.folder} is missing in signed/blobs, or is not the one signed."
        return Documents(self.file, self.folder, (), {}, (rules.BLOB.at(Span(self.file), sentence),))


def _draw(job: Job | _Lost) -> Documents:
    return job.draw()


def _drop(out: Path, folders: set[str]) -> None:
    """Take away documents that no signature vouches for any more."""
    with exchange(out) as waiting:
        for folder in sorted(folders):
            for key in keys(path.name for path in (out / folder).glob("*.json")):
                for name in FILES:
                    waiting.drop(f"{folder}/{named(name, key)}")
