"""Which signatures of a chain count: by whose key, in which role, on which day; the others are told and left out."""

from datetime import date, timedelta

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.review import rules
from benchleaf.review.chain import Chain
from benchleaf.review.people import APPROVER, WRITER, Key, People, Signer
from benchleaf.review.signature import APPROVED, READY, REVIEWED, Signature


def counted(
    chain: Chain, people: People, today: str, published: frozenset[str]
) -> tuple[tuple[Signature, ...], tuple[Finding, ...]]:
    """The signatures that count, and what is wrong with the others.

    `published` are keys whose pass phrase everybody knows: they count in the demonstration alone.
    """
    good, findings = [], []
    before = ""
    for signature in chain.signatures:
        fault = _fault(signature, chain, people, published) or _clock(signature, before, today)
        if fault:
            findings.append(fault)
        else:
            good.append(signature)
        before = max(before, signature.time)
    return tuple(good), tuple(findings)


def _fault(signature: Signature, chain: Chain, people: People, published: frozenset[str]) -> Finding | None:
    span = Span(signature.file)
    who = f"{signature.name} ({signature.meaning}, {signature.day})"
    held = [(signer, key) for signer, key in people.holders(signature.key) if signer.id == signature.person]
    if not held:
        return rules.UNKNOWN_KEY.at(span, f"The list of people gives {who} no such key: the signature does not count.")
    signer, key = held[0]
    if signature.key in published and people.root not in published:
        return rules.KEY_NOT_VALID.at(span, f"The key of {who} is one of the demonstration, which anybody can use.")
    return _outside(signature, chain, people, key, who) or _role(signature, signer, who)


def _outside(signature: Signature, chain: Chain, people: People, key: Key, who: str) -> Finding | None:
    span, day = Span(signature.file), signature.day
    if key.first and day < key.first:
        return rules.KEY_NOT_VALID.at(
            span, f"The key of {who} is valid from {key.first}: the signature does not count."
        )
    if key.last and day > key.last:
        return rules.KEY_NOT_VALID.at(
            span, f"The key of {who} was valid until {key.last}: the signature does not count."
        )
    if not key.revoked:
        return None
    if day >= key.revoked:
        return rules.KEY_NOT_VALID.at(span, f"The key of {who} is revoked from {key.revoked}: it does not count.")
    number, digest = people.revoked_at.get(key.key, {}).get(chain.procedure, (0, ""))
    known = next((each.digest for each in chain.signatures if each.number == number), "")
    if signature.number > number or known != digest:
        sentence = f"The key of {who} is revoked, and the signature was not there when that was signed."
        return rules.KEY_NOT_VALID.at(span, sentence)
    return None


def _role(signature: Signature, signer: Signer, who: str) -> Finding | None:
    wrong = {
        READY: signature.role != WRITER,
        REVIEWED: signature.role in (WRITER, APPROVER),
        APPROVED: signature.role != APPROVER,
    }.get(signature.meaning, signature.role == WRITER)
    if wrong or signature.role not in signer.roles:
        sentence = f"{who} signed as {signature.role}, which is not a role for that, or not theirs."
        return rules.ROLE_NOT_HELD.at(Span(signature.file), sentence)
    return None


def _clock(signature: Signature, before: str, today: str) -> Finding | None:
    span = Span(signature.file)
    if signature.time < before:
        return rules.CLOCK.at(span, f"This is dated {signature.time}, before a signature that it follows ({before}).")
    # A day of difference is a matter of time zones.
    if signature.day > _tomorrow(today):
        return rules.CLOCK.at(span, f"This is dated {signature.time}, and today is {today}.")
    return None


def _tomorrow(day: str) -> str:
    return (date.fromisoformat(day) + timedelta(days=1)).isoformat()
