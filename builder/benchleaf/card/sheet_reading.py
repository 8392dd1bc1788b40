"""The reading sheet of a card: everything that is written down while working by it, in the order of its steps."""

from typing import NamedTuple

from benchleaf.base.said import row
from benchleaf.card.model import Card, CardStep, MachineHead, ToolLine


class ReadingGroup(NamedTuple):
    """The steps of one section of the card at which something is written down."""

    title: str
    steps: tuple[CardStep, ...]


class ReadingSheet(NamedTuple):
    """Paper to keep, beside a card whose ticks wipe off. `outcomes` are the findings by number."""

    machine: MachineHead
    id: str
    title: str
    revision: str
    state: str
    language: str
    paper: str
    shop: str
    people: tuple[str, ...]
    groups: tuple[ReadingGroup, ...]
    outcomes: tuple[tuple[int, str, bool], ...]
    instruments: tuple[str, ...]


def reading_sheet(card: Card) -> ReadingSheet:
    """The sheet of one card; a card at which nothing is written down still has serial, people and finding."""
    groups = []
    for section in card.sections:
        steps = tuple(step for step in section.steps if is_written_down(step))
        if steps:
            groups.append(ReadingGroup(section.title, steps))
    return ReadingSheet(
        machine=card.machine,
        id=card.id,
        title=card.title,
        revision=card.revision,
        state=card.state,
        language=card.language,
        paper=card.paper,
        shop=card.shop,
        people=tuple(person.role for person in card.crew),
        groups=tuple(groups),
        outcomes=tuple((each.number, each.title, each.leave == "out-of-service") for each in card.outcomes),
        instruments=tuple(_instrument(line) for line in card.tools if line.kind in ("meter", "wrench")),
    )


def is_written_down(step: CardStep) -> bool:
    """Whether a step asks for a reading, an entry, a time or a signature; a short press of a button needs no clock."""
    timed = step.wait is not None and step.action in ("wait", "charge")
    return bool(step.reading or step.entries or timed or step.hold)


def _instrument(line: ToolLine) -> str:
    """The instrument with the first of its details, which is its number where the shop gives one."""
    return row((line.name, line.detail.partition(", ")[0]), ", ")
