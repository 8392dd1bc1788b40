"""Answers to what a reviewer would ask of a card, found by trying whether it is caught when a thing is missing.

Each question leaves one thing out of the machine file, or one step that was put in out of the card, and has checks and
verifier judge the rest as if it were the truth.
"""

from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from benchleaf.base.finding import Severity
from benchleaf.build import classes
from benchleaf.build.candidate import of_judged
from benchleaf.build.classes import Held
from benchleaf.build.confirm import unconfirmed
from benchleaf.card.digest import content
from benchleaf.card.model import plain
from benchleaf.card.proof import verify_plain
from benchleaf.model.machine import Machine
from benchleaf.passes.base import Case, Common
from benchleaf.review.difference import compared

_PROVED = ("facts", "hazards", "sections", "outcomes")


class Answer(NamedTuple):
    """A question, whether it would be caught, and how; what is not caught the reviewer has to know from elsewhere."""

    question: str
    caught: bool
    how: str


def answers(case: Case, held: tuple[Held, ...]) -> tuple[Answer, ...]:
    """All questions of a procedure that is ready; `case` as written, `held` its classes."""
    known = _slugs(case)
    cards = {key: content(card) for key, card in of_judged(held).items()}
    found = [
        _of_machine(question, case._replace(machine=machine), known, cards) for question, machine in _mutants(case)
    ]
    return (*found, *_of_steps(held[0]))


def _mutants(case: Case) -> Iterator[tuple[str, Machine]]:
    machine = case.machine
    for key, energy in machine.energy.items():
        name = str(energy.name or key)
        for at, setting in enumerate(energy.isolate):
            rest = energy.isolate[:at] + energy.isolate[at + 1 :]
            changed = {**machine.energy, key: energy._replace(isolate=rest)}
            question = f"If the machine file did not say that {setting.condition.name} isolates {name}"
            yield question, machine._replace(energy=changed)
        if energy.prove is not None:
            changed = {**machine.energy, key: energy._replace(prove=None)}
            yield f"If the machine file had no proof for {name}", machine._replace(energy=changed)
        if energy.fed_by:
            changed = {**machine.energy, key: energy._replace(fed_by=())}
            yield f"If the machine file did not say what feeds {name}", machine._replace(energy=changed)
    for key, part in machine.parts.items():
        if part.exposes and part.in_ is not None:
            parts = {**machine.parts, key: part._replace(exposes=())}
            yield f"If the machine file did not say what {part.name} exposes", machine._replace(parts=parts)


def _of_machine(question: str, case: Case, known: frozenset[str], cards: Mapping[str, Mapping[str, Any]]) -> Answer:
    slugs = _slugs(case) - known
    if slugs:
        return Answer(question, True, f"yes: {', '.join(sorted(slugs))}")
    held, _ = classes.hold(case)
    made = of_judged(held)
    doubts = [doubt for card, one in zip(made.values(), held, strict=True) for doubt in unconfirmed(card, one, "")]
    if doubts:
        return Answer(question, True, f"yes: the verifier ({doubts[0].sentence})")
    changes = compared(cards, {key: content(card) for key, card in made.items()})
    if not changes:
        return Answer(question, True, "it would not matter: the card would be the same")
    touching = sum(change.safety for change in changes)
    return Answer(question, False, f"no: the card would differ in {touching} things that touch safety, and be built")


def _slugs(case: Case) -> frozenset[str]:
    """The errors of a procedure and of its machine file."""
    _, found = classes.hold(case)
    everything = tuple(case.procedures.values())
    found += classes.common(Common(case.shop, case.machine, case.blocks, everything, case.assets))
    return frozenset(finding.slug for finding in found if finding.severity is Severity.ERROR)


def _of_steps(held: Held) -> Iterator[Answer]:
    """Each step that was put in, left out of the card."""
    card = next(iter(of_judged((held,)).values()))
    data = {name: plain(getattr(card, name)) for name in _PROVED}
    for step in card.steps:
        if step.inserted is None:
            continue
        doubts = verify_plain(_without(data, step.key))
        question = f"If step {step.number} ({step.role}: {step.command.partition('.')[0]}) were left out of the card"
        how = f"yes: the verifier ({doubts[0].text})" if doubts else "no: nothing would tell"
        yield Answer(question, bool(doubts), how)


def _without(data: Mapping[str, Any], key: str) -> dict[str, Any]:
    """The card's data without a step; whatever led to it leads on to what followed it."""
    steps = [step for section in data["sections"] for step in section["steps"]]
    gone = next(step for step in steps if step["key"] == key)
    onward = next(iter(gone["facts"]["ways"]), {"to": "end"})["to"]

    def led(step: Mapping[str, Any]) -> dict[str, Any]:
        ways = [{**way, "to": onward if way["to"] == key else way["to"]} for way in step["facts"]["ways"]]
        return {**step, "facts": {**step["facts"], "ways": ways}}

    sections = [
        {**section, "steps": [led(step) for step in section["steps"] if step["key"] != key]}
        for section in data["sections"]
    ]
    kept = [section for section in sections if section["steps"]]
    names = {section["key"] for section in kept}
    outcomes = [{**each, "closing": each["closing"] if each["closing"] in names else ""} for each in data["outcomes"]]
    return {**data, "sections": kept, "outcomes": outcomes}
