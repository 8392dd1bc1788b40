"""A procedure as written: steps, where their answers lead, and how the machine is left."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.applies import Applies
from benchleaf.model.basics import EMPTY, AnyAmount, Ref, State, Time, Words

# How close a person comes, from far to near; `actions.json` gives each action its nearness.
NEARNESS = ("senses", "controls", "probe", "hands")


class Change(NamedTuple):
    """Why this revision exists."""

    span: Span
    kind: Ref
    reason: Words
    steps: tuple[Ref, ...] = ()


class Complaint(NamedTuple):
    """What the user of the machine complains of."""

    span: Span
    text: Words
    code: str = ""
    detected: Words | None = None


class Reference(NamedTuple):
    """A document from outside, with edition or date."""

    span: Span
    document: Words
    edition: str


class SupplyUse(NamedTuple):
    """How much of a supply a procedure needs."""

    span: Span
    supply: Ref
    amount: AnyAmount | None = None


class SpareUse(NamedTuple):
    """A spare part that a procedure needs always or only when a finding asks for it."""

    span: Span
    part: Ref
    count: int = 1  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    when: str = "always"


class Leads(NamedTuple):
    """Where an answer leads: the next step, another step, an outcome, or a stop.

    `way` is `next`, or `stop` (stop and ask); `go` names a step, at most `at_most` times; `found` an outcome.
    """

    span: Span
    way: str = ""
    go: Ref | None = None
    at_most: int | None = None
    found: Ref | None = None


class Live(NamedTuple):
    """Work that needs an energy to be there, and why."""

    span: Span
    energies: tuple[Ref, ...]
    why: Ref
    reason: Words


class While(NamedTuple):
    """What somebody does while a reading is taken."""

    span: Span
    operate: Words
    who: Ref | None = None
    sets: State = ()
    for_: Time | None = None


class Repeat(NamedTuple):
    """How often a reading is taken, and which one counts."""

    span: Span
    times: int
    keep: str = "all"


class FigureUse(NamedTuple):
    """A picture with its alternative text and numbered call-outs (number to part or text)."""

    span: Span
    file: Ref
    alt: Words
    callouts: Mapping[str, Words] = EMPTY
    licence: str = ""


class Step(NamedTuple):
    """One step. `action` is its first key, `object` the value of that key."""

    span: Span
    action: Ref = Ref("")
    object: Words = Words("")
    id: Ref | None = None
    at: Ref | None = None
    info: Words | None = None
    between: tuple[Ref, ...] = ()
    meter: Ref | None = None
    clamp: bool = False
    installed: bool = False
    sets: State = ()
    answers: Mapping[str, Leads] = EMPTY
    below: Leads | None = None
    above: Leads | None = None
    outside: Leads | None = None
    inside: Leads | None = None
    reversed: Leads | None = None
    unsteady: Leads | None = None
    too_close: Leads | None = None
    cant_reach: Leads | None = None
    expect: Words | None = None
    otherwise: Leads | None = None
    then: Leads | None = None
    live: Live | None = None
    while_: While | None = None
    repeat: Repeat | None = None
    each: Mapping[str, str] = EMPTY
    for_: Time | None = None
    values: Mapping[str, Words] = EMPTY
    wrench: Ref | None = None
    hold: Ref | None = None
    entries: tuple[Mapping[str, str], ...] = ()
    who: Ref | None = None
    figure: FigureUse | None = None
    uses: tuple[Ref, ...] = ()
    supplies: tuple[SupplyUse, ...] = ()
    together: str = ""
    power: str = ""
    access: bool = False
    hazards: tuple[Ref, ...] = ()
    tests: tuple[Ref, ...] = ()
    time: Time | None = None
    applies_to: Applies | None = None


class NextProcedure(NamedTuple):
    """The procedure with which work goes on after an outcome; without `revision` its current release."""

    span: Span
    procedure: Ref
    revision: Ref | None = None


class Outcome(NamedTuple):
    """A finding or an end: what it says, what follows, and how the machine is left."""

    span: Span
    text: Words | None = None
    fault: Ref | None = None
    then: NextProcedure | None = None
    leave: str = ""


class Waiver(NamedTuple):
    """A finding that the writer answers for, up to and including the day `until` if there is one."""

    span: Span
    check: Ref
    reason: Words
    until: str = ""


class After(NamedTuple):
    """The functional test after a repair: the step that is the test, or its words."""

    span: Span
    step: Ref | None = None
    test: Words | None = None


class Procedure(NamedTuple):
    """All of one procedure file.

    An entry of `requires` that is an identifier names another procedure. `qualifications` says per role of the
    crew what the trade alone does not: level, certificate, authorisation. `supersedes` names earlier documents
    that this one takes the place of.
    """

    span: Span
    format: str
    id: Ref
    title: Words
    kind: Ref
    machine: Ref
    revision: Ref
    changed: Change
    purpose: Words
    steps: tuple[Step, ...]
    outcomes: Mapping[str, Outcome]
    crew: Mapping[str, Ref]
    supplies: tuple[SupplyUse, ...] | None = None
    spares: tuple[SpareUse, ...] | None = None
    not_for: Words | None = None
    complaint: Complaint | None = None
    issued: str = ""
    owner: Words | None = None
    references: tuple[Reference, ...] = ()
    requires: tuple[Words, ...] = ()
    time: Time | None = None
    review_by: str = ""
    applies_to: Applies | None = None
    initial: State = ()
    final: State = ()
    locked: tuple[Ref, ...] = ()
    after: After | None = None
    waive: tuple[Waiver, ...] = ()
    qualifications: Mapping[str, tuple[Words, ...]] = EMPTY
    supersedes: tuple[Words, ...] = ()
    language: Ref | None = None


class Block(NamedTuple):
    """Steps shared by procedures, with blanks (name to what it stands for) that each insertion fills."""

    span: Span
    format: str
    id: Ref
    title: Words
    steps: tuple[Step, ...]
    blanks: Mapping[str, Words] = EMPTY
