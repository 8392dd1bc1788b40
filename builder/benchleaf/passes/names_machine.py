"""Every name that a machine file refers to."""

from collections.abc import Iterator
from itertools import chain

from benchleaf.model.basics import Ref
from benchleaf.model.circuit import Circuit
from benchleaf.model.energy import Energy
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.machine import Condition, Machine, Part, Thing
from benchleaf.passes.names_uses import (
    CONDITION,
    PART,
    POINT,
    VALUE,
    WHERE,
    Use,
    maybe,
    names,
    of_applies,
    of_state,
    of_when,
)

ENERGY = ("energy",)
FIGURED = ("part", "condition", "indicator")
COVER = ("cover",)


def of_machine(machine: Machine) -> Iterator[Use]:
    """All uses of names in a machine file."""
    for name, condition in machine.conditions.items():
        yield from _of_condition(name, condition)
    yield from chain.from_iterable(_of_thing(thing) for thing in machine.things.values())
    yield from chain.from_iterable(_of_energy(energy) for energy in machine.energy.values())
    yield from chain.from_iterable(_of_part(part) for part in machine.parts.values())
    for place in machine.places.values():
        yield from names(COVER, place.behind)
    for point in machine.points.values():
        yield from maybe(PART, point.part)
    for indicator in machine.indicators.values():
        for sign in indicator.shows:
            yield from maybe(("procedure",), sign.go)
    for limit in machine.limits.values():
        yield from maybe(PART, limit.part)
        yield from names(POINT, limit.between)
        yield from of_applies(limit.applies_to)
    for fastener in machine.fasteners.values():
        yield Use(PART, fastener.holds)
        yield from of_applies(fastener.applies_to)
    if machine.circuit:
        yield from _of_circuit(machine.circuit)
    for fault in machine.faults.values():
        yield Use(PART, fault.part)
        yield from (Use(("element",), Ref(name, change.span)) for name, change in fault.circuit.items())


def of_figure(machine: Machine) -> Iterator[Use]:
    """What the call-outs of the machine's figure name. To be shown is not to be used, so it stands apart."""
    for words in machine.figure.callouts.values() if machine.figure else ():
        if "-" in words.text and is_identifier(words.text):
            yield Use(FIGURED, Ref(*words))


def _of_condition(name: str, condition: Condition) -> Iterator[Use]:
    own = (condition.initial, condition.springs_back, *(follow.is_ for follow in condition.follows))
    yield from (Use(VALUE, value, name) for value in own if value)
    yield from of_state(condition.move_when)
    yield from names(("indicator", "limit"), condition.loses)
    for follow in condition.follows:
        yield from of_when(follow.when)
    yield from of_applies(condition.applies_to)


def _of_thing(thing: Thing) -> Iterator[Use]:
    yield from maybe(("shop-thing",), thing.is_)
    yield from names(ENERGY, thing.holds)
    yield from of_state(thing.sets)
    yield from names(("point", "node"), thing.joins)
    yield from maybe(("part", "condition"), thing.defeats)
    yield from of_state(thing.move_when)


def _of_energy(energy: Energy) -> Iterator[Use]:
    yield from names(ENERGY, energy.fed_by)
    yield from of_when(energy.when)
    yield from of_state(energy.isolate)
    yield from names(("thing", "part", "condition"), energy.held_by)
    if energy.blocks and energy.blocks.parted:
        yield from of_state(energy.blocks.parted.when)
    if energy.relieve:
        yield from maybe(WHERE, energy.relieve.at)
        yield from of_state(energy.relieve.sets)
    if energy.prove:
        yield from names(POINT, chain.from_iterable(energy.prove.between))
        yield from names(CONDITION, energy.prove.sees)
        yield from names(COVER, energy.prove.access)
    yield from of_applies(energy.applies_to)


def _of_part(part: Part) -> Iterator[Use]:
    yield from maybe(("place",), part.in_)
    yield from maybe(PART, part.on)
    for exposure in part.exposes:
        yield Use(ENERGY, exposure.energy)
        yield from of_state(exposure.unless)
    yield from names(ENERGY, part.holds)
    yield from maybe(COVER, part.cover)
    yield from of_applies(part.applies_to)


def _of_circuit(circuit: Circuit) -> Iterator[Use]:
    yield Use(("node",), circuit.ground)
    for element in circuit.elements.values():
        yield from maybe(PART, element.part)
        yield from of_when(element.closed_when)
        yield from maybe(("element",), element.of)
