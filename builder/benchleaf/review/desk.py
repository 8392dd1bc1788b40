"""The desk at which somebody signs: what may be signed, by whom, and the envelope that is written.

Everything that would count for nothing afterwards is refused beforehand, with the reason.
"""

from collections.abc import Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Any, NamedTuple

from benchleaf.review import store
from benchleaf.review.chain import Chain, chain
from benchleaf.review.envelope import seal
from benchleaf.review.faults import Refused
from benchleaf.review.keys import SigningKey
from benchleaf.review.people import APPROVER, WRITER, People, Signer
from benchleaf.review.signature import (
    APPROVED,
    MEANINGS,
    READY,
    RETURNED,
    REVIEWED,
    WITHDRAWN,
    Content,
    content_of,
    to_statement,
)
from benchleaf.review.state import Standing, Waiting, after, follows_rule, standing
from benchleaf.review.trust import missed


class Desk(NamedTuple):
    """A workspace, the believed list of people, the key with its holder, and the time (UTC, RFC 3339)."""

    root: Path
    home: Path
    people: People
    key: SigningKey
    signer: Signer
    now: str
    published: frozenset[str] = frozenset()

    @property
    def today(self) -> str:
        """The day of the signature."""
        return self.now[:10]


class Paper(NamedTuple):
    """What lies on the desk: contents of the cards, digests of sources, figures, and what is said beside them.

    `kept` are the digests of figures that were kept with an earlier signature.
    """

    procedure: str
    revision: str
    cards: Mapping[str, Mapping[str, Any]]
    sources: Mapping[str, str]
    figures: Mapping[str, bytes]
    more: Mapping[str, Any]
    kept: Mapping[str, str] = MappingProxyType({})

    @property
    def content(self) -> Content:
        """The digests of the cards."""
        return content_of(self.cards)


class Ink(NamedTuple):
    """What the signer says: the meaning, in which role, why, and from when until when (empty: as the rule says)."""

    meaning: str
    role: str
    reason: str = ""
    valid_from: str = ""
    valid_until: str = ""
    more: Mapping[str, Any] = MappingProxyType({})


def holder(people: People, public: str, today: str) -> Signer:
    """Who has this key today. Refused for a key that nobody has, or that counts today no more."""
    found = list(people.holders(public))
    if not found:
        raise Refused("the signed list of people does not hold this key; have it added to shop.yaml and signed")
    signer, key = found[0]
    if key.revoked and key.revoked <= today:
        raise Refused(f"this key of {signer.name} is revoked from {key.revoked}")
    if (key.first and today < key.first) or (key.last and today > key.last):
        raise Refused(f"this key of {signer.name} counts from {key.first or 'any day'} until {key.last or 'any day'}")
    return signer


def looked_up(desk: Desk, procedure: str) -> tuple[Chain, Standing]:
    """The chain of a procedure and where it stands. Refused where the chain is not whole."""
    found = chain(desk.root, procedure)
    gone = missed(desk.home, desk.people, found)
    if not found.whole or gone:
        fault = (*found.findings, *gone)[0]
        raise Refused(f"the signatures of {procedure} are not whole ({fault.span.file}: {fault.sentence.rstrip('.')})")
    return found, standing(found, desk.people, desk.today, desk.published)


def roles_for(signer: Signer, meaning: str, people: People) -> tuple[str, ...]:
    """The roles in which a person may say that, those first for which the rule asks."""
    if meaning == READY:
        wanted: tuple[str, ...] = (WRITER,)
    elif meaning == APPROVED:
        wanted = (APPROVER,)
    elif meaning == REVIEWED:
        wanted = tuple(role for role in (*people.rule.roles, *signer.roles) if role not in (WRITER, APPROVER))
    else:
        wanted = tuple(role for role in signer.roles if role != WRITER)
    return tuple(dict.fromkeys(role for role in wanted if role in signer.roles))


def waiting_for(signer: Signer, waiting: Waiting) -> str:
    """The missing role that a person could fill for a content in review; empty for none."""
    mine = [role for role in waiting.missing if role in signer.roles]
    writers = {each.person for each in waiting.signatures if each.meaning == READY}
    done = {each.person for each in waiting.signatures}
    return mine[0] if mine and signer.id not in writers | done else ""


def sign(desk: Desk, paper: Paper, ink: Ink) -> Path:
    """Write a signature; its envelope. Raises Refused, and Taken where somebody else was faster."""
    found, where = looked_up(desk, paper.procedure)
    _refuse(desk, paper, ink, found, where)
    machine = paper.procedure.partition("/")[0]
    number, previous = found.head
    figures = dict(paper.kept) | {
        name: store.keep_blob(desk.root, machine, content) for name, content in paper.figures.items()
    }
    said = {
        "procedure": paper.procedure,
        "revision": paper.revision,
        "number": number + 1,
        "previous": previous,
        "meaning": ink.meaning,
        "person": desk.signer.id,
        "name": desk.signer.name,
        "role": ink.role,
        "time": desk.now,
        "reason": ink.reason,
        "valid_from": ink.valid_from,
        "valid_until": ink.valid_until,
        "cards": paper.cards,
        "list": desk.people.number,
        **paper.more,
        **ink.more,
    }
    content = seal(to_statement(said, paper.sources, figures), desk.key)
    return store.keep_envelope(desk.root, paper.procedure, paper.revision, number + 1, content)


def _refuse(desk: Desk, paper: Paper, ink: Ink, found: Chain, where: Standing) -> None:
    """Raises Refused for whatever would count for nothing."""
    if ink.meaning not in MEANINGS:
        raise Refused(f"`{ink.meaning}` is no meaning of a signature; there are {', '.join(MEANINGS)}")
    if ink.role not in roles_for(desk.signer, ink.meaning, desk.people):
        role = f" as {ink.role}" if ink.role else ""
        raise Refused(f"{desk.signer.name} may not sign{role} that a card is {ink.meaning}")
    latest = max((each.time for each in found.signatures), default="")
    if desk.now < latest:
        raise Refused(
            f"the clock of this computer says {desk.now}, and the last signature is of {latest}; set the clock"
        )
    if ink.meaning in (RETURNED, WITHDRAWN) and not ink.reason:
        raise Refused(f"a card that is {ink.meaning} needs a reason")
    if ink.valid_until and ink.valid_until < max(desk.today, ink.valid_from):
        raise Refused(f"{ink.valid_until} is over before the card may be used")
    if ink.meaning == WITHDRAWN:
        if not any(each.content == paper.content and not each.withdrawn for each in where.releases):
            raise Refused(f"this content of {paper.procedure} is not released, and can't be withdrawn")
        return
    if any(each.content == paper.content for each in where.releases):
        raise Refused(f"this content of {paper.procedure} has been released before; nothing is left to sign")
    waiting = next((each for each in where.waiting if each.content == paper.content), None)
    if ink.meaning == READY:
        _refuse_ready(desk, paper, where, waiting)
    elif waiting is None:
        hint = "it has changed since it was signed as ready" if where.waiting else "nobody has signed it as ready"
        raise Refused(f"{paper.procedure} as it stands is not in review: {hint}")
    elif ink.meaning != RETURNED:
        _refuse_second(desk, ink, waiting)


def _refuse_ready(desk: Desk, paper: Paper, where: Standing, waiting: Waiting | None) -> None:
    if not follows_rule(paper.revision, desk.people.rule):
        how = "numbers" if desk.people.rule.revisions == "numbers" else "capital letters"
        raise Refused(f"revision {paper.revision} of {paper.procedure} is not counted in {how}, as the rule wants it")
    last = where.last
    if last and not after(paper.revision, last.revision, desk.people.rule):
        raise Refused(f"revision {last.revision} of {paper.procedure} is released; give what has changed a later one")
    if waiting and any(each.person == desk.signer.id for each in waiting.signatures):
        raise Refused(f"{desk.signer.name} has signed this content before")


def _refuse_second(desk: Desk, ink: Ink, waiting: Waiting) -> None:
    for each in waiting.signatures:
        if each.person == desk.signer.id:
            as_what = "as a writer of it" if each.meaning == READY else f"as {each.role}"
            raise Refused(f"{desk.signer.name} has signed this content {as_what}; another person must")
    if ink.role not in waiting.missing:
        raise Refused(f"nobody needs to sign this content as {ink.role} any more")
