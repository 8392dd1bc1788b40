"""The electrical circuit of a machine and what its faults do to it."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.basics import (
    EMPTY,
    Capacitance,
    Current,
    Ratio,
    Ref,
    Resistance,
    RotationalSpeed,
    Voltage,
    When,
)


class Element(NamedTuple):
    """One element between nodes; which sizes it may have depends on its type."""

    span: Span
    type: Ref
    nodes: tuple[Ref, ...]
    part: Ref | None = None
    voltage: Voltage | None = None
    resistance: Resistance | None = None
    tolerance: Ratio | None = None
    closed_when: When = ()
    of: Ref | None = None
    contact: str = ""
    pulls_in: Voltage | None = None
    drops_out: Voltage | None = None
    position: Ratio | None = None
    forward_voltage: Voltage | None = None
    rating: Current | None = None
    capacitance: Capacitance | None = None
    back_emf: Voltage | None = None
    speed: RotationalSpeed | None = None


class Circuit(NamedTuple):
    """Elements between named nodes; voltages count from `ground`."""

    span: Span
    ground: Ref
    elements: Mapping[str, Element]


class ElementChange(NamedTuple):
    """What a fault does to one element: open, short, or other sizes."""

    span: Span
    state: Ref | None = None
    voltage: Voltage | None = None
    resistance: Resistance | None = None
    position: Ratio | None = None
    pulls_in: Voltage | None = None
    drops_out: Voltage | None = None
    back_emf: Voltage | None = None
    capacitance: Capacitance | None = None


class Fault(NamedTuple):
    """Something that can be wrong: where, how often beside the others, and what it does."""

    span: Span
    part: Ref
    weight: int = 1
    says: str = ""
    circuit: Mapping[str, ElementChange] = EMPTY
