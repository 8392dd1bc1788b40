"""What a workspace, a signature or a short code is worth: held against the signatures of the workspace."""

import re
from collections.abc import Iterator
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding, Severity
from benchleaf.base.span import Span
from benchleaf.build.candidate import shop_of, typed
from benchleaf.build.released import names
from benchleaf.card.digest import of_bytes
from benchleaf.review import rules, store
from benchleaf.review.chain import chain
from benchleaf.review.envelope import opened
from benchleaf.review.faults import Damaged
from benchleaf.review.signature import READY, read
from benchleaf.review.state import GONE, IN_REVIEW, SUPERSEDED, Release, Standing, standing
from benchleaf.review.trust import Trust, demo, missed, remember

CURRENT, ALTERED, UNKNOWN, RUN_OUT = "current", "altered", "unknown", "run out"
NOT_YET, NOT_RELEASED, UNPROVEN = "not yet valid", "not released", "unproven"
_CODE = re.compile(r"[0-9a-f]{12}|[0-9a-f]{64}")


class Said(NamedTuple):
    """A verdict on one thing, with a sentence; `verdict` is current, or the state or fault that keeps it from being so.

    `procedure` is machine/id; all but the verdict and its sentence may be empty.
    """

    verdict: str
    sentence: str
    procedure: str = ""
    revision: str = ""
    digest: str = ""
    findings: tuple[Finding, ...] = ()


class Court(NamedTuple):
    """A workspace with the list of people that is believed, on a day."""

    root: Path
    home: Path
    trust: Trust
    today: str


def standings(court: Court) -> Iterator[tuple[Standing, tuple[Finding, ...]]]:
    """Where each procedure stands of which there are signatures, or were, and what is wrong with it. Raises Refused."""
    people = court.trust.people
    assert people is not None
    for name in names(court.root, court.home, people):
        yield standing_of(court, name)


def standing_of(court: Court, name: str) -> tuple[Standing, tuple[Finding, ...]]:
    """Where a procedure stands, and what is wrong with its signatures. Raises Refused."""
    people = court.trust.people
    assert people is not None
    found = chain(court.root, name)
    gone = missed(court.home, people, found)
    where = standing(found, people, court.today, demo().keys)
    if gone:
        where = where._replace(whole=False, current=None)
    elif found.whole:
        remember(court.home, people, {name: found.head})
    return where, (*where.findings, *gone)


def of_workspace(court: Court, only: str = "") -> tuple[Said, ...]:
    """A verdict on each procedure, or on `only`, given as machine/id. Raises Refused."""
    told = []
    for where, findings in standings(court):
        if only not in ("", where.procedure):
            continue
        errors = tuple(each for each in findings if each.severity is Severity.ERROR)
        last = where.last
        if not where.whole or errors:
            said = Said(ALTERED, f"The signatures of {where.procedure} are not as they were made.", where.procedure)
        elif last is None:
            waits = "in review" if where.waiting else "not released"
            said = Said(IN_REVIEW if where.waiting else NOT_RELEASED, f"{where.procedure} is {waits}.", where.procedure)
        else:
            said = _of_release(court, where, where.current or last)
        told.append(said._replace(findings=findings))
    return tuple(told)


def unsigned_changes(court: Court) -> tuple[Finding, ...]:
    """What shop.yaml says of people and release rule and the root key has not signed. Raises Refused and Unreadable."""
    shop = shop_of(court.root, court.today)
    assert court.trust.people is not None
    if shop is None or typed(shop) == court.trust.people.typed:
        return ()
    sentence = "People or release rule differ from the list that the root key signed; the signed list counts."
    return (rules.PEOPLE_NOT_SIGNED.at(Span("procedures/shop.yaml"), sentence),)


def of_code(court: Court, text: str) -> Said:
    """A verdict on a short code, as it is printed on a card or read by a scanner. Raises Refused."""
    found = _CODE.findall(text.lower().rpartition("digest")[2].replace(" ", ""))
    if len(found) != 1:
        return Said(UNKNOWN, "This is no short code; it is twelve digits, as in 9f2a 33c1 70be.")
    return of_digest(court, found[0])


def of_digest(court: Court, mark: str) -> Said:
    """A verdict on the card with this digest, or with one that begins so. Raises Refused."""
    if not _CODE.fullmatch(mark):
        return Said(UNKNOWN, "It names no digest.")
    for where, findings in standings(court):
        said = _instanding_of(court, where, mark)
        if said:
            return said._replace(findings=findings)
    return Said(
        UNKNOWN, "Nothing that was signed here has this digest: it was never in review, or is not of this shop."
    )


def _instanding_of(court: Court, where: Standing, mark: str) -> Said | None:
    for release in where.releases:
        for _, each in release.content:
            if each.startswith(mark):
                return _of_release(court, where, release)._replace(digest=each)
    for waiting in where.waiting:
        for _, each in waiting.content:
            if each.startswith(mark):
                what = f"{where.procedure} {waiting.signatures[0].revision}"
                needs = ", ".join(waiting.missing)
                return Said(IN_REVIEW, f"{what} is in review; still to sign: {needs}.", where.procedure, digest=each)
    return None


def _of_release(court: Court, where: Standing, release: Release) -> Said:
    what = f"{where.procedure} revision {release.revision}"
    by = ", ".join(f"{each.name} ({each.role})" for each in release.signatures)
    state = where.state(release.content)
    if not where.whole:
        verdict, sentence = ALTERED, f"The signatures of {where.procedure} are not as they were made."
    elif release.withdrawn:
        gone = release.withdrawn
        urgent = " URGENT." if gone.more.get("urgent") else ""
        verdict, sentence = GONE, f"{what} was withdrawn on {gone.day} by {gone.name}: {gone.reason}.{urgent}"
    elif state == SUPERSEDED:
        newest = where.current or where.last
        assert newest is not None
        since = newest.first or newest.day
        verdict, sentence = SUPERSEDED, f"{what} was superseded by revision {newest.revision} on {since}."
    elif court.today > release.last:
        verdict, sentence = RUN_OUT, f"{what} ran out on {release.last}."
    elif release.first > court.today:
        verdict, sentence = NOT_YET, f"{what} may be used from {release.first}."
    else:
        verdict, sentence = CURRENT, f"{what} is current, until {release.last}. Signed by {by}."
    if court.trust.demonstration:
        sentence += " The keys are those of the demonstration, and prove nothing."
    return Said(verdict, sentence, where.procedure, release.revision, release.content[0][1])


def of_envelope(court: Court, path: Path, content: bytes) -> Said:
    """A verdict on a signature. Raises Refused."""
    try:
        signature = read(opened(content), path.name, of_bytes(content))
    except Damaged as fault:
        return Said(ALTERED, f"This signature is not as it was made: {fault}.")
    where, findings = standing_of(court, signature.procedure)
    mine = tuple(each for each in findings if each.span.file.rpartition("/")[2] == path.name)
    known = any(each.digest == signature.digest for each in chain(court.root, signature.procedure).signatures)
    what = f"{signature.procedure} revision {signature.revision}"
    if not known:
        return Said(UNKNOWN, f"A signature on {what}, which does not stand among the signatures of this workspace.")
    if path.name != store.envelope_name(signature.revision, signature.number):
        return Said(ALTERED, f"A signature on {what} under another name than its own.")
    if mine:
        return Said("unknown key", mine[0].sentence, signature.procedure, signature.revision, findings=mine)
    said = _instanding_of(court, where, signature.content[0][1])
    if said is None:
        return Said(UNKNOWN, f"{what} was {signature.meaning}, and is neither in review nor released.")
    word = "signed as ready" if signature.meaning == READY else signature.meaning
    return said._replace(sentence=f"{signature.name} {word} on {signature.day}. {said.sentence}", findings=findings)
