"""A procedure's chain of signatures, read and held together: nothing here says yet whose keys are believed."""

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.card.digest import of_bytes
from benchleaf.review import rules, store
from benchleaf.review.envelope import opened
from benchleaf.review.faults import Damaged
from benchleaf.review.signature import Signature, read
from benchleaf.review.store import Found, Stored


class Chain(NamedTuple):
    """The signatures up to the first one that does not fit. `whole` is false where there is anything beyond them."""

    procedure: str
    signatures: tuple[Signature, ...]
    findings: tuple[Finding, ...]
    whole: bool = True

    @property
    def head(self) -> tuple[int, str]:
        """Number and digest of the last signature; (0, "") where there is none."""
        last = self.signatures[-1] if self.signatures else None
        return (last.number, last.digest) if last else (0, "")


def chain(root: Path, procedure: str) -> Chain:
    """The chain of a procedure, named as machine/id. Raises Refused."""
    return of_files(procedure, store.signatures(root, procedure))


def of_files(procedure: str, found: Found) -> Chain:
    """The chain that these files make."""
    findings = [
        rules.STRAY.at(Span(file), "This is no signature under its own name; it may be a copy of one.")
        for file in found.strays
    ]
    good: list[Signature] = []
    broken = False
    for each in found.files:
        link = _link(procedure, each, good)
        if isinstance(link, Finding):
            findings.append(link)
            broken = True
            break
        good.append(link)
    return Chain(procedure, tuple(good), tuple(findings), whole=not broken and not found.strays)


def _link(procedure: str, each: Stored, before: Sequence[Signature]) -> Signature | Finding:
    span = Span(each.file)
    try:
        signature = read(opened(each.content), each.file, of_bytes(each.content))
    except Damaged as fault:
        return rules.DAMAGED.at(span, f"This signature does not count, nor any after it: {fault}.")
    said = (signature.procedure, signature.revision, signature.number)
    if said != (procedure, each.revision, each.number):
        name = f"{signature.procedure}, {store.envelope_name(signature.revision, signature.number)}"
        return rules.WRONG_PLACE.at(span, f"This signature was made as {name}.")
    number, previous = (before[-1].number, before[-1].digest) if before else (0, "")
    if signature.number != number + 1:
        what = f"Number {number + 1} is missing before it" if signature.number > number else "Its number is there twice"
        return rules.BROKEN_CHAIN.at(span, f"{what}: it does not count, nor any after it.")
    if signature.previous != previous:
        return rules.BROKEN_CHAIN.at(span, "The signature before it is not the one that it followed when it was made.")
    return signature
