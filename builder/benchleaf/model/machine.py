"""One machine: its conditions, energies, parts, places and points, and every number that procedures refer to."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.applies import Applies, Serials
from benchleaf.model.basics import EMPTY, Current, Mass, Ref, State, When, Words
from benchleaf.model.circuit import Circuit, Fault
from benchleaf.model.energy import Energy
from benchleaf.model.fastener import Fastener
from benchleaf.model.limit import Limit
from benchleaf.model.procedure import FigureUse


class Follow(NamedTuple):
    """The value that a condition takes by itself while `when` holds."""

    span: Span
    is_: Ref
    when: When = ()


class Condition(NamedTuple):
    """Whatever stands this way or that. The first value of a cover is the closed one.

    `how` gives for a value the words of the command that brings it about.
    """

    span: Span
    values: tuple[Ref, ...]
    name: Words | None = None
    initial: Ref | None = None
    by: Ref | None = None
    place: Words | None = None
    isolates: bool = False
    control: bool = False
    how: Mapping[str, Words] = EMPTY
    lock: Words | None = None
    move_when: State = ()
    loses: tuple[Ref, ...] = ()
    springs_back: Ref | None = None
    follows: tuple[Follow, ...] = ()
    may_change: bool = False
    cover: bool = False
    applies_to: Applies | None = None


class Thing(NamedTuple):
    """Something put in place and taken away again; by itself a condition {out, in-place}.

    `how` gives the words of the commands, under `in-place` and `out`.
    """

    span: Span
    name: Words | None = None
    is_: Ref | None = None
    holds: tuple[Ref, ...] = ()
    sets: State = ()
    joins: tuple[Ref, ...] = ()
    defeats: Ref | None = None
    fuse: Current | None = None
    place: Words | None = None
    how: Mapping[str, Words] = EMPTY
    move_when: State = ()


class Exposure(NamedTuple):
    """An energy that a part exposes to whoever works at it."""

    span: Span
    energy: Ref
    unless: State = ()


class Part(NamedTuple):
    """A part: where it is, what it does, which energies it exposes."""

    span: Span
    name: Words
    place: Words | None = None
    in_: Ref | None = None
    on: Ref | None = None
    does: Words | None = None
    number: str = ""
    mass: Mass | None = None
    exposes: tuple[Exposure, ...] = ()
    holds: tuple[Ref, ...] = ()
    single_use: bool = False
    cover: Ref | None = None
    hazards: tuple[Ref, ...] = ()
    applies_to: Applies | None = None


class Place(NamedTuple):
    """A place on the machine and the covers it lies behind."""

    span: Span
    name: Words | None = None
    behind: tuple[Ref, ...] = ()


class Point(NamedTuple):
    """A test point: where the tip of a lead goes."""

    span: Span
    name: Words
    part: Ref | None = None
    place: Words | None = None


class Sign(NamedTuple):
    """What an indicator shows and what that means."""

    span: Span
    sign: Words
    means: Words
    go: Ref | None = None


class Indicator(NamedTuple):
    """A lamp, beep, gauge or display of the machine."""

    span: Span
    place: Words
    shows: tuple[Sign, ...]
    name: Words | None = None


class Machine(NamedTuple):
    """All of `machine.yaml`. A call-out of its figure names a condition, thing, part or indicator, or says words.

    Two machines are never equal, however alike: what follows from one is reckoned once and kept (`lru_cache`).
    """

    span: Span
    format: str
    id: Ref
    name: Words
    maker: Words
    serials: Serials
    options: Mapping[str, tuple[Ref, ...]] = EMPTY
    owner: Words | None = None
    does: Words | None = None
    mass: Mass | None = None
    figure: FigureUse | None = None
    conditions: Mapping[str, Condition] = EMPTY
    things: Mapping[str, Thing] = EMPTY
    energy_none: tuple[Ref, ...] = ()
    energy: Mapping[str, Energy] = EMPTY
    parts: Mapping[str, Part] = EMPTY
    places: Mapping[str, Place] = EMPTY
    points: Mapping[str, Point] = EMPTY
    indicators: Mapping[str, Indicator] = EMPTY
    limits: Mapping[str, Limit] = EMPTY
    fasteners: Mapping[str, Fastener] = EMPTY
    circuit: Circuit | None = None
    faults: Mapping[str, Fault] = EMPTY

    def __eq__(self, other: object) -> bool:
        return self is other

    def __ne__(self, other: object) -> bool:
        return self is not other

    def __hash__(self) -> int:
        return id(self)
