"""What one signature says: who signed which content of which procedure, in what role, with what meaning, when and why.

The elements of 21 CFR 11.50 (name, date and time, meaning) and 11.70 (linked to its record) are taken as a reference.
"""

from collections.abc import Mapping
from typing import Any, NamedTuple

from benchleaf.card.digest import canonical, of_bytes
from benchleaf.card.digest import digest as card_digest
from benchleaf.review.envelope import Envelope, statement, subjects
from benchleaf.review.faults import Damaged

KIND = "urn:benchleaf:signature:1"
FORMAT = "benchleaf/signature/1"
READY, REVIEWED, APPROVED, RETURNED, WITHDRAWN = "ready", "reviewed", "approved", "returned", "withdrawn"
MEANINGS = (READY, REVIEWED, APPROVED, RETURNED, WITHDRAWN)
_TEXTS = (
    "procedure",
    "revision",
    "previous",
    "meaning",
    "person",
    "name",
    "role",
    "time",
    "reason",
    "valid_from",
    "valid_until",
)

# Digest of each card of a procedure by the key of its class of machines, in order of the keys.
Content = tuple[tuple[str, str], ...]


class Signature(NamedTuple):
    """A signature as its envelope says it; `file` and `digest` are those of the envelope.

    `procedure` is machine/id; `number` counts within the procedure; `previous` is the digest of the envelope before.
    `cards` are the signed cards by the key of their class. `time` is UTC (RFC 3339), a claim of the signer's computer.
    `more` holds the rest: remarks, findings, safety, sources, tried, beside, urgent.
    """

    file: str
    digest: str
    key: str
    number: int
    procedure: str
    revision: str
    previous: str
    meaning: str
    person: str
    name: str
    role: str
    time: str
    reason: str
    valid_from: str
    valid_until: str
    cards: Mapping[str, Mapping[str, Any]]
    content: Content
    figures: Mapping[str, str]
    more: Mapping[str, Any]

    @property
    def day(self) -> str:
        """The day of the signature (UTC)."""
        return self.time[:10]


def content_of(cards: Mapping[str, Mapping[str, Any]]) -> Content:
    """The digests of cards by the key of their class."""
    return tuple(sorted((key, card_digest(card)) for key, card in cards.items()))


def short(content: Content) -> str:
    """The digest that stands for the whole content: that of the only card, or of the digests of all cards."""
    if len(content) == 1:
        return content[0][1]
    return of_bytes(canonical([list(each) for each in content]))


def to_statement(said: Mapping[str, Any], sources: Mapping[str, str], figures: Mapping[str, str]) -> dict[str, Any]:
    """The in-toto statement of a signature: subjects are cards, sources and figures, each by its digest."""
    about = {f"card:{key}": digest for key, digest in content_of(said["cards"])}
    about |= {f"source:{file}": digest for file, digest in sources.items()}
    about |= {f"figure:{file}": digest for file, digest in figures.items()}
    return statement(KIND, about, {"format": FORMAT, **said})


def read(envelope: Envelope, file: str, digest: str) -> Signature:
    """The signature of an envelope. Damaged where it says less, or other things, than a signature must."""
    said, about = envelope.predicate, subjects(envelope.statement)
    if envelope.statement["predicateType"] != KIND or said.get("format") != FORMAT:
        kind = said.get("format") or envelope.statement["predicateType"]
        raise Damaged(f"it has the format {kind}, which this version of benchleaf does not know")
    cards = said.get("cards")
    if not isinstance(cards, Mapping) or not cards or not all(isinstance(card, Mapping) for card in cards.values()):
        raise Damaged("it carries no card")
    if not all(isinstance(said.get(name), str) for name in _TEXTS) or type(said.get("number")) is not int:
        raise Damaged("it lacks a part of a signature")
    if said["meaning"] not in MEANINGS:
        raise Damaged(f"its meaning is {said['meaning']}, which this version of benchleaf does not know")
    content = content_of(cards)
    if {name: sha for name, sha in about.items() if name.startswith("card:")} != {f"card:{k}": d for k, d in content}:
        raise Damaged("its digests are not those of the cards that it carries")
    figures = {name.partition(":")[2]: sha for name, sha in about.items() if name.startswith("figure:")}
    if not set(_shown(cards)) <= set(figures.items()):
        raise Damaged("it does not name the figures of the cards that it carries")
    heads = {(_text(card, "machine", "key"), _text(card, "id"), _text(card, "revision")) for card in cards.values()}
    if {(f"{machine}/{id_}", revision) for machine, id_, revision in heads} != {(said["procedure"], said["revision"])}:
        raise Damaged("the cards that it carries are of another procedure or revision than it says")
    more = {name: value for name, value in said.items() if name not in (*_TEXTS, "cards", "number", "format")}
    texts = {name: str(said[name]) for name in _TEXTS}
    return Signature(
        file=file, digest=digest, key=envelope.key, number=said["number"], cards=cards, content=content,
        figures=figures, more=more, **texts,
    )  # fmt: skip


def _shown(cards: Mapping[str, Any]) -> list[tuple[str, str]]:
    """File and digest of each figure that the cards show."""
    steps = [step for card in cards.values() for section in card.get("sections", ()) for step in section["steps"]]
    return [(step["figure"]["file"], step["figure"]["digest"]) for step in steps if step.get("figure")]


def _text(data: Any, *way: str) -> str:
    for name in way:
        data = data.get(name) if isinstance(data, Mapping) else None
    return str(data)
