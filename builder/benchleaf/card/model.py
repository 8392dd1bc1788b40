"""The compiled card: plain data from which every document, review and record is made.

`plain` turns it into what `schema/card.schema.json` describes. Empty text and empty tuples mean 'none'.
Text fields named `command`, `info`, `expect`, `text` hold light markdown; all others hold plain text.
"""

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from benchleaf.card.records import (
    NO_FACTS,
    Choice,
    Entry,
    Figure,
    Reading,
    Reason,
    StepFacts,
    Tightening,
    Value,
    Warn,
)
from benchleaf.card.wired import Wiring

FORMAT = "benchleaf/card/1"


class CardStep(NamedTuple):
    """One step, written or inserted, in printing order.

    `key` is stable over revisions, `number` is what people see. `role` of an inserted step is its place in the
    energy-control order: confirm, tell, safe, shut-down, isolate, lock, relieve, wait, access, prove, inspect, check,
    clear, unlock, restore, tell-back, tag, hand-over; empty for a written step.
    """

    key: str
    number: int
    action: str
    nearness: str
    command: str
    role: str = ""
    inserted: Reason | None = None
    warnings: tuple[Warn, ...] = ()
    info: str = ""
    expect: str = ""
    part: str = ""
    place: str = ""
    who: str = ""
    live: str = ""
    meanwhile: str = ""
    reading: Reading | None = None
    tightening: Tightening | None = None
    choices: tuple[Choice, ...] = ()
    wait: Value | None = None
    time: str = ""
    hold: str = ""
    entries: tuple[Entry, ...] = ()
    figure: Figure | None = None
    tools: tuple[str, ...] = ()
    supplies: tuple[str, ...] = ()
    together: bool = False
    facts: StepFacts = StepFacts(())


class Section(NamedTuple):
    """A run of steps. `kind`: before | isolation | power | work | closing; `lead_in` says when it is done."""

    key: str
    kind: str
    title: str
    steps: tuple[CardStep, ...]
    lead_in: str = ""


class CardOutcome(NamedTuple):
    """A finding or an end. `number` is its place in the table; `closing` is the section that leaves the machine so."""

    key: str
    number: int
    title: str
    text: str
    leave: str
    leave_sentence: str
    fault: str = ""
    part: str = ""
    procedure: str = ""
    procedure_title: str = ""
    closing: str = ""
    closing_number: int = 0


class HazardLine(NamedTuple):
    """An energy of the machine as the head of the card names it."""

    key: str
    kind: str
    name: str
    size: str
    sign: str
    stays_live: bool
    isolation: str
    proof: str


class Equipment(NamedTuple):
    """Protective equipment, with the number of its mandatory sign."""

    sign: str
    name: str
    reason: Reason


class ToolLine(NamedTuple):
    """A tool, meter, wrench or thing and the steps that use it. `kind`: meter | wrench | thing | tool."""

    key: str
    kind: str
    name: str
    detail: str = ""
    count: int = 1  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    steps: tuple[int, ...] = ()


class PartLine(NamedTuple):
    """A spare part or supply with its quantity. `when`: always | needed."""

    key: str
    name: str
    number: str = ""
    amount: str = ""
    when: str = "always"
    detail: str = ""


class LooseLine(NamedTuple):
    """A loose end as `action:name`, in words, and the steps that make it and that mend it."""

    key: str
    words: str
    opened: tuple[int, ...]
    closed: tuple[int, ...] = ()


class Person(NamedTuple):
    """A role of the crew, the trade that it needs, and what it must have beyond that."""

    role: str
    trade: str
    needs: str = ""


class ReferenceLine(NamedTuple):
    """A document from outside."""

    document: str
    edition: str


class SerialRange(NamedTuple):
    """Serial numbers from first to last, as digits behind the prefix; empty: there is no first, or no last."""

    prefix: str
    first: str
    last: str


class OptionValues(NamedTuple):
    """An option of the machine and the values for which the card is."""

    name: str
    values: tuple[str, ...]


class MachineClass(NamedTuple):
    """The machines that a card is for.

    `key` ends the names of the card's files, empty where the procedure has one card; `text` is empty where the card is
    for all machines of the file. A machine belongs here with a serial number of any range and all options.
    """

    key: str = ""
    text: str = ""
    serials: tuple[SerialRange, ...] = ()
    options: tuple[OptionValues, ...] = ()


class MachineHead(NamedTuple):
    """The machine as the card names it; `mass` as printed, `serials` and `options` those of the class `applies`."""

    key: str
    name: str
    maker: str
    serials: str
    mass: str = ""
    options: str = ""
    applies: MachineClass = MachineClass()


class Issue(NamedTuple):
    """A revision that was released: when, why it was made (as kind and reason), who signed, and what became of it.

    `day` is a date (ISO 8601); `note` is empty for one that nothing has followed.
    """

    revision: str
    day: str
    reason: str
    signed: str
    note: str = ""


class Card(NamedTuple):
    """Everything that a bench card or checklist shows.

    `state` is draft | in review | released | superseded | withdrawn; `flags` are sentences on how long it holds, and
    `history` the releases before and up to this one; all three are computed from signatures. `detected` says how
    the complaint shows itself. `rests_on` names facts of
    the machine file that nothing else confirms.
    """

    format: str
    tool: str
    language: str
    id: str
    title: str
    kind: str
    revision: str
    state: str
    issued: str
    changed_kind: str
    changed_reason: str
    shop: str
    paper: str
    pause: str
    owner: str
    machine: MachineHead
    purpose: str
    not_for: str
    complaint: str
    complaint_code: str
    requires: tuple[str, ...]
    time: str
    review_by: str
    after: str
    crew: tuple[Person, ...]
    references: tuple[ReferenceLine, ...]
    hazards: tuple[HazardLine, ...]
    equipment: tuple[Equipment, ...]
    emergency: tuple[str, ...]
    tools: tuple[ToolLine, ...]
    spares: tuple[PartLine, ...]
    supplies: tuple[PartLine, ...]
    sections: tuple[Section, ...]
    outcomes: tuple[CardOutcome, ...]
    rests_on: tuple[str, ...]
    waivers: tuple[str, ...]
    notice: str
    facts: Mapping[str, Any] = NO_FACTS
    put_back: tuple[LooseLine, ...] = ()
    flags: tuple[str, ...] = ()
    history: tuple[Issue, ...] = ()
    wiring: tuple[Wiring, ...] = ()
    detected: str = ""
    supersedes: tuple[str, ...] = ()

    @property
    def steps(self) -> tuple[CardStep, ...]:
        """All steps in printing order."""
        return tuple(step for section in self.sections for step in section.steps)


def plain(value: Any) -> Any:
    """Records as dicts, tuples as lists, decimals as text: data that JSON can carry."""
    if isinstance(value, tuple):
        fields = getattr(value, "_fields", None)
        if fields:
            return {name: plain(item) for name, item in zip(fields, value, strict=True)}
        return [plain(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): plain(item) for key, item in value.items()}
    # Words that know their making are plain text to everybody else.
    return str(value) if isinstance(value, Decimal | str) else value
