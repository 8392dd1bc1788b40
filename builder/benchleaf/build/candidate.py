"""What can be signed of a procedure: its cards as compiled now, what they were made from, and what the checks say."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any, NamedTuple

from benchleaf import __version__
from benchleaf.base.finding import Finding, Severity
from benchleaf.build import figures
from benchleaf.build.classes import Held
from benchleaf.build.confirm import unconfirmed
from benchleaf.build.fingerprint import of_tool
from benchleaf.build.gather import Key, Shelf, gather, used_blocks
from benchleaf.build.judge import Judged, judge, shown
from benchleaf.build.request import Request, Tell
from benchleaf.card.compile import compile_card
from benchleaf.card.digest import content
from benchleaf.card.model import Card
from benchleaf.model.shop import Shop


class Candidate(NamedTuple):
    """A procedure as it could be signed.

    `cards` are contents by the key of their class, empty where errors stand in the way; `sources` digests of the files
    that they rest on; `figures` pictures by name. `machine` is the folder of the machine, `id` the procedure.
    """

    machine: str
    id: str
    file: str
    revision: str
    review_by: str
    cards: Mapping[str, Mapping[str, Any]]
    sources: Mapping[str, str]
    figures: Mapping[str, bytes]
    findings: tuple[Finding, ...]
    compiled: tuple[Card, ...] = ()

    @property
    def procedure(self) -> str:
        """machine/id, by the id of the machine as its cards name it."""
        return f"{self.machine}/{self.id}"

    @property
    def errors(self) -> tuple[Finding, ...]:
        """What stands in the way of a signature."""
        return tuple(finding for finding in self.findings if finding.severity is Severity.ERROR)


def candidates(root: Path, today: str, paths: tuple[Path, ...], tell: Tell) -> tuple[Candidate, ...]:
    """All procedures that the paths mean, in order. Raises Unreadable and NoSource."""
    shelf = gather(Request(root, today, paths))
    return tuple(_candidate(one, shelf) for one in judge(shelf, tell).judged if shelf.is_asked(one.standing.file))


def of_judged(held: tuple[Held, ...]) -> dict[str, Card]:
    """The cards of a procedure by the key of their class."""
    cards = (compile_card(each.case, each.facts) for each in held)
    return {card.machine.applies.key: card for card in cards}


def beside() -> dict[str, str]:
    """What is recorded beside the content: the tool, and the digest of all that judges."""
    return {"tool": __version__, "rules": of_tool()}


def shop_of(root: Path, today: str) -> Shop | None:
    """The shop file of a workspace; None where it has errors. Raises Unreadable."""
    record = gather(Request(root, today, (root / "procedures" / "shop.yaml",))).shop.record
    return record if isinstance(record, Shop) else None


def typed(shop: Shop) -> dict[str, Any]:
    """People and release rule as shop.yaml has them, as plain data; what is left out is left out here."""
    people = {
        id_: {
            "name": str(signer.name),
            "roles": [role.name for role in signer.roles],
            "keys": [_filled(key=k.key, **{"from": k.from_}, until=k.until, revoked=k.revoked) for k in signer.keys],
        }
        for id_, signer in shop.people.items()
    }
    rule = shop.release
    release = (
        _filled(
            roles=[role.name for role in rule.roles],
            valid_days=rule.valid_days,
            revisions=rule.revisions,
            themes=[theme.name for theme in rule.themes],
        )
        if rule
        else {}
    )
    return {"people": people, "release": release}


def _filled(**values: Any) -> dict[str, Any]:
    return {name: value for name, value in values.items() if value not in ("", [], None)}


def _candidate(one: Judged, shelf: Shelf) -> Candidate:
    loaded = shelf.procedures[one.key]
    cards = of_judged(one.classes) if one.standing.ready else {}
    doubts = [
        doubt
        for card, held in zip(cards.values(), one.classes, strict=bool(cards))
        for doubt in unconfirmed(card, held, loaded.file)
    ]
    record = loaded.record
    return Candidate(
        one.key[0],
        one.key[1],
        loaded.file,
        record.revision.name if record else "",
        record.review_by if record else "",
        {} if doubts else {key: content(card) for key, card in cards.items()},
        _sources(one.key, shelf),
        _figures(one, shelf) if cards else {},
        (*one.findings, *doubts),
        tuple(cards.values()),
    )


def _sources(key: Key, shelf: Shelf) -> dict[str, str]:
    loaded = shelf.procedures[key]
    blocks = used_blocks(loaded.record.steps if loaded.record else (), shelf.blocks)
    machine = shelf.machines.get(key[0])
    files = (loaded, shelf.shop, *((machine,) if machine else ()), *(shelf.blocks[name] for name in blocks))
    return {each.file: each.digest for each in files}


def _figures(one: Judged, shelf: Shelf) -> dict[str, bytes]:
    machine = next(machine for machine in shelf.survey.machines if machine.name == one.key[0])
    assert one.case is not None
    return figures.contents(machine, shown(one.case.procedure, shelf))
