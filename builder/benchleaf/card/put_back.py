"""The ledger of loose ends as a card prints it: what was opened, parted, removed or placed, and where it goes back."""

from collections.abc import Iterable

from benchleaf.base.said import fill
from benchleaf.card.model import CardStep, LooseLine
from benchleaf.passes.base import Case
from benchleaf.safety.naming import condition_name, part_name
from benchleaf.safety.sentences import say


def put_back(case: Case, steps: Iterable[CardStep]) -> tuple[LooseLine, ...]:
    """Every loose end that a step of the card makes, in the order of making, with the steps that mend it."""
    opened: dict[str, list[int]] = {}
    closed: dict[str, list[int]] = {}
    for step in steps:
        for end in step.facts.opens:
            opened.setdefault(end, []).append(step.number)
        for end in step.facts.closes:
            closed.setdefault(end, []).append(step.number)
    return tuple(
        LooseLine(end, loose_words(case, *end.split(":", 1)), tuple(made), tuple(closed.get(end, ())))
        for end, made in opened.items()
    )


def loose_words(case: Case, action: str, key: str) -> str:
    """A loose end in words: `deck open`; a thing that bypasses something says so."""
    machine = case.machine
    fastener = machine.fasteners.get(key)
    if key in machine.parts:
        name = part_name(machine, key)
    elif fastener is not None:
        name = (
            fastener.name.text if fastener.name else fill("{part} bolts", part=part_name(machine, fastener.holds.name))
        )
    else:
        name = condition_name(machine, key)
    words = say(f"loose-{action}", name=name)
    thing = machine.things.get(key)
    if thing is None or thing.defeats is None:
        return words
    return say("loose-bypass", loose=words, name=condition_name(machine, thing.defeats.name))
