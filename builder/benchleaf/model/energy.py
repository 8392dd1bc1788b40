"""What can hurt: each energy of a machine, its size, what feeds it, how it is isolated and proved gone."""

from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.applies import Applies
from benchleaf.model.basics import (
    AnyAmount,
    Capacitance,
    Charge,
    Current,
    GasCurrentText,
    Length,
    Mass,
    Power,
    Pressure,
    Rate,
    Ratio,
    Ref,
    Resistance,
    SoundLevel,
    State,
    Temperature,
    Time,
    Voltage,
    Volume,
    When,
    Words,
)


class Parting(NamedTuple):
    """Where a string can be parted: the setting that parts it, and into how many equal lengths."""

    span: Span
    when: State
    into: int


class Blocks(NamedTuple):
    """The blocks of a battery bank: how many, of how many cells, how heavy, how stiff."""

    span: Span
    count: int  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    cells: int
    mass: Mass | None = None
    resistance: Resistance | None = None
    parted: Parting | None = None


class Charging(NamedTuple):
    """How a battery may be charged."""

    span: Span
    from_: Temperature | None = None
    to: Temperature | None = None
    gas: GasCurrentText | None = None


class Prove(NamedTuple):
    """How to prove an energy gone: a reading, or a look and a try."""

    span: Span
    measure: str = ""
    between: tuple[tuple[Ref, ...], ...] = ()
    below: AnyAmount | None = None
    gauge: Words | None = None
    look: Words | None = None
    try_: Words | None = None
    sees: tuple[Ref, ...] = ()
    access: tuple[Ref, ...] = ()


class Relieve(NamedTuple):
    """How stored energy is let go: what to do, and how long it takes."""

    span: Span
    operate: Words
    for_: Time | None = None
    at: Ref | None = None
    sets: State = ()


class Energy(NamedTuple):
    """One energy of the machine: size, what feeds it, how to isolate it and how to prove it gone."""

    span: Span
    kind: Ref
    name: Words | None = None
    place: Words | None = None
    chemistry: Ref | None = None
    stays_live: bool = False
    comes_back: bool = False
    voltage: Voltage | None = None
    highest: Voltage | None = None
    phases: int = 1
    current: Current | None = None
    capacity: Charge | None = None
    blocks: Blocks | None = None
    charging: Charging | None = None
    capacitance: Capacitance | None = None
    tolerance: Ratio | None = None
    bleed: Resistance | None = None
    bleed_tolerance: Ratio | None = None
    mass: Mass | None = None
    height: Length | None = None
    pressure: Pressure | None = None
    volume: Volume | None = None
    fluid: str = ""
    rate: Rate | None = None
    travel: Length | None = None
    power: Power | None = None
    temperature: Temperature | None = None
    ambient: Temperature | None = None
    cools_in: Time | None = None
    sound: SoundLevel | None = None
    agent: str = ""
    fed_by: tuple[Ref, ...] = ()
    when: When = ()
    isolate: State = ()
    held_by: tuple[Ref, ...] = ()
    relieve: Relieve | None = None
    prove: Prove | None = None
    reaches: Ref | None = None
    applies_to: Applies | None = None
