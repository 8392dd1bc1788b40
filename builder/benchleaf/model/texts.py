"""Every text for people in a record, with what it is: a command, a question, words that describe, or a label."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from benchleaf.model.basics import Words
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure, Step
from benchleaf.model.shop import Shop

COMMAND, SENSE, QUESTION, INFO, DESCRIBING, LABEL = "command", "sense", "question", "info", "describing", "label"
# Kinds whose sentences tell somebody what to do.
PROCEDURAL = (COMMAND, SENSE, QUESTION)
# Kinds whose numbers are read at the machine.
AT_WORK = (COMMAND, SENSE, QUESTION, INFO)
SENSES = ("look", "listen", "smell", "read", "watch", "feel")


class Text(NamedTuple):
    """A text and its kind."""

    kind: str
    words: Words


def _each(kind: str, words: Iterable[Words | None]) -> Iterator[Text]:
    return (Text(kind, one) for one in words if one)


def of_procedure(procedure: Procedure) -> Iterator[Text]:
    """The texts of a procedure. What the user of the machine complains of stays in the user's words."""
    yield Text(LABEL, procedure.title)
    yield from _each(LABEL, (procedure.owner, procedure.changed.reason))
    yield from _each(DESCRIBING, (procedure.purpose, procedure.not_for))
    yield from _each(DESCRIBING, (words for words in procedure.requires if not is_identifier(words.text)))
    if procedure.after:
        yield from _each(COMMAND, (procedure.after.test,))
    for outcome in procedure.outcomes.values():
        yield from _each(INFO, (outcome.text,))
    for step in procedure.steps:
        yield from of_step(step)


def of_step(step: Step) -> Iterator[Text]:
    """The texts of a step."""
    action, words = step.action.name, step.object
    if action != "insert" and not is_identifier(words.text) and not words.text.startswith("{"):
        yield Text(QUESTION if action == "ask" else SENSE if action in SENSES else COMMAND, words)
    yield from _each(INFO, (step.info, step.expect))
    if step.while_:
        yield Text(COMMAND, step.while_.operate)
    if step.live:
        yield Text(DESCRIBING, step.live.reason)
    if step.figure:
        yield Text(LABEL, step.figure.alt)
        yield from _each(LABEL, step.figure.callouts.values())


def of_block(block: Block) -> Iterator[Text]:
    """The texts of a block, blanks unfilled."""
    yield Text(LABEL, block.title)
    for step in block.steps:
        yield from of_step(step)


def of_machine(machine: Machine) -> Iterator[Text]:
    """The texts of a machine file that reach a card."""
    yield from _each(LABEL, (machine.name, machine.owner))
    yield from _each(DESCRIBING, (machine.does,))
    if machine.figure:
        yield from _each(LABEL, (machine.figure.alt, *machine.figure.callouts.values()))
    for condition in machine.conditions.values():
        yield from _each(LABEL, (condition.name, condition.place, condition.lock))
        yield from _each(COMMAND, condition.how.values())
    for thing in machine.things.values():
        yield from _each(LABEL, (thing.name, thing.place))
    for energy in machine.energy.values():
        yield from _each(LABEL, (energy.name, energy.place))
        if energy.relieve:
            yield Text(COMMAND, energy.relieve.operate)
        if energy.prove:
            yield from _each(SENSE, (energy.prove.look, energy.prove.gauge))
            yield from _each(COMMAND, (energy.prove.try_,))
    for part in machine.parts.values():
        yield from _each(LABEL, (part.name, part.place, part.does))
    for point in machine.points.values():
        yield from _each(LABEL, (point.name, point.place))
    for indicator in machine.indicators.values():
        yield from _each(LABEL, (indicator.name, indicator.place))
        for sign in indicator.shows:
            yield from _each(LABEL, (sign.sign, sign.means))
    yield from _each(LABEL, (limit.name for limit in machine.limits.values()))
    for fastener in machine.fasteners.values():
        yield from _each(LABEL, (fastener.name, fastener.locking))


def of_shop(shop: Shop) -> Iterator[Text]:
    """The texts of a shop that reach a card."""
    yield from _each(DESCRIBING, (shop.emergency,))
    yield from _each(DESCRIBING, (supply.disposal for supply in shop.supplies.values()))
    for table in (shop.meters, shop.wrenches, shop.things, shop.tools, shop.supplies):
        yield from _each(LABEL, (record.name for record in table.values()))
