"""What of a machine file, of a procedure and of blocks is there for one class of machines.

A record goes whose `applies_to` leaves the class out, and so does what is about that record alone: test points, limits,
fasteners and faults of a part that is not there. Lists lose its name. Whatever cannot be told without it is read to the
safe side: an energy whose `when` asks for a condition that is not there may be there, and a part keeps exposing what a
cover that is not there would have hidden. What loses nothing is returned as it is.
"""

from collections.abc import Callable, Collection, Mapping
from types import MappingProxyType
from typing import NamedTuple, Protocol, TypeVar

from benchleaf.model.applies import Applies
from benchleaf.model.basics import Ref, State
from benchleaf.model.circuit import Circuit, Fault
from benchleaf.model.energy import Energy, Prove
from benchleaf.model.machine import Condition, Machine, Part, Thing
from benchleaf.model.procedure import Block, Procedure, Step
from benchleaf.model.variant import Variant, holds


class _Applying(Protocol):
    @property
    def applies_to(self) -> Applies | None: ...


Record = TypeVar("Record")
Choosy = TypeVar("Choosy", bound=_Applying)
Names = frozenset[str]


class Gone(NamedTuple):
    """Names that the machine file declares and a class does not have, by what they name."""

    conditions: Names = frozenset()
    energy: Names = frozenset()
    parts: Names = frozenset()
    points: Names = frozenset()
    limits: Names = frozenset()
    fasteners: Names = frozenset()
    faults: Names = frozenset()

    @property
    def held(self) -> Names:
        """Conditions and parts, which stand for each other where something is held or bypassed."""
        return self.conditions | self.parts


def gone(variant: Variant, whole: Machine) -> Gone:
    """What a class does not have of a machine file."""

    def out(table: Mapping[str, Choosy]) -> Names:
        return frozenset(name for name, each in table.items() if not holds(each.applies_to, variant, whole))

    parts = out(whole.parts)
    limits = {name for name, each in whole.limits.items() if each.part and each.part.name in parts}
    fasteners = {name for name, each in whole.fasteners.items() if each.holds.name in parts}
    return Gone(
        out(whole.conditions),
        out(whole.energy),
        parts,
        frozenset(name for name, each in whole.points.items() if each.part and each.part.name in parts),
        out(whole.limits) | limits,
        out(whole.fasteners) | fasteners,
        frozenset(name for name, each in whole.faults.items() if each.part.name in parts),
    )


def machine(variant: Variant, whole: Machine) -> Machine:
    """The machine file as it stands for one class.

    A kind of energy of which the class has none left counts as absent.
    """
    out = gone(variant, whole)
    if not any(out):
        return whole
    left = {each.kind.name for name, each in whole.energy.items() if name not in out.energy}
    lost = {each.kind.name: each for name, each in whole.energy.items() if name in out.energy}
    told = left | {ref.name for ref in whole.energy_none}
    absent = (Ref(kind, each.span) for kind, each in lost.items() if kind not in told)
    circuit = _circuit(whole.circuit, out) if whole.circuit else None
    return whole._replace(
        conditions=_kept(whole.conditions, out.conditions, lambda each: _condition(each, out)),
        things=_kept(whole.things, frozenset(), lambda each: _thing(each, out)),
        energy_none=(*whole.energy_none, *absent),
        energy=_kept(whole.energy, out.energy, lambda each: _energy(each, out)),
        parts=_kept(whole.parts, out.parts, lambda each: _part(each, out)),
        places=_kept(whole.places, frozenset(), lambda each: each._replace(behind=_refs(each.behind, out.conditions))),
        points=_kept(whole.points, out.points),
        limits=_kept(whole.limits, out.limits),
        fasteners=_kept(whole.fasteners, out.fasteners),
        circuit=circuit,
        faults=_kept(whole.faults, out.faults, lambda each: _fault(each, circuit)),
    )


def procedure(variant: Variant, whole: Procedure, of: Machine) -> Procedure:
    """The procedure for one class; `of` is the machine file as written, which says what the class does not have."""
    out = gone(variant, of)
    steps = _steps(variant, whole.steps, of)
    if steps is whole.steps and not any(out):
        return whole
    ids = {step.id.name for step in steps if step.id}
    left_out = {step.id.name for step in whole.steps if step.id} - ids
    spares = whole.spares
    return whole._replace(
        steps=steps,
        changed=whole.changed._replace(steps=_refs(whole.changed.steps, left_out)),
        initial=_state(whole.initial, out.conditions),
        final=_state(whole.final, out.conditions),
        locked=_refs(whole.locked, out.conditions),
        spares=None if spares is None else tuple(each for each in spares if each.part.name not in out.parts),
        outcomes=MappingProxyType(
            {key: each for key, each in whole.outcomes.items() if not each.fault or each.fault.name not in out.faults}
        ),
    )


def blocks(variant: Variant, whole: Mapping[str, Block], of: Machine) -> Mapping[str, Block]:
    """The blocks for one class."""
    made = {name: each._replace(steps=_steps(variant, each.steps, of)) for name, each in whole.items()}
    return whole if all(made[name].steps is each.steps for name, each in whole.items()) else MappingProxyType(made)


def _steps(variant: Variant, steps: tuple[Step, ...], of: Machine) -> tuple[Step, ...]:
    kept = tuple(step for step in steps if holds(step.applies_to, variant, of))
    return steps if len(kept) == len(steps) else kept


def _kept(
    table: Mapping[str, Record], out: Names, change: Callable[[Record], Record] | None = None
) -> Mapping[str, Record]:
    """A table without the names that are gone, each record changed."""
    return MappingProxyType({name: change(each) if change else each for name, each in table.items() if name not in out})


def _refs(refs: tuple[Ref, ...], out: Collection[str]) -> tuple[Ref, ...]:
    return tuple(ref for ref in refs if ref.name not in out)


def _ref(ref: Ref | None, out: Collection[str]) -> Ref | None:
    return None if ref is not None and ref.name in out else ref


def _state(state: State, out: Collection[str]) -> State:
    return tuple(setting for setting in state if setting.condition.name not in out)


def _asks(state: State, out: Collection[str]) -> bool:
    """Whether a state asks for a condition that is gone, and so never surely holds."""
    return any(setting.condition.name in out for setting in state)


def _condition(each: Condition, out: Gone) -> Condition:
    return each._replace(move_when=_state(each.move_when, out.conditions), loses=_refs(each.loses, out.limits))


def _thing(each: Thing, out: Gone) -> Thing:
    return each._replace(
        holds=_refs(each.holds, out.energy),
        sets=_state(each.sets, out.conditions),
        joins=_refs(each.joins, out.points),
        defeats=_ref(each.defeats, out.held),
        move_when=_state(each.move_when, out.conditions),
    )


def _part(each: Part, out: Gone) -> Part:
    exposes = (one for one in each.exposes if one.energy.name not in out.energy)
    return each._replace(
        on=_ref(each.on, out.parts),
        exposes=tuple(one._replace(unless=()) if _asks(one.unless, out.conditions) else one for one in exposes),
        holds=_refs(each.holds, out.energy),
        cover=_ref(each.cover, out.conditions),
    )


def _energy(each: Energy, out: Gone) -> Energy:
    blocks, relieve = each.blocks, each.relieve
    if blocks and blocks.parted and _asks(blocks.parted.when, out.conditions):
        blocks = blocks._replace(parted=None)
    if relieve:
        relieve = relieve._replace(at=_ref(relieve.at, out.parts), sets=_state(relieve.sets, out.conditions))
    return each._replace(
        blocks=blocks,
        fed_by=_refs(each.fed_by, out.energy),
        isolate=_state(each.isolate, out.conditions),
        held_by=_refs(each.held_by, out.held),
        relieve=relieve,
        prove=_prove(each.prove, out) if each.prove else None,
    )


def _prove(prove: Prove, out: Gone) -> Prove | None:
    """A proof by readings at points none of which is there is none."""
    pairs = tuple(pair for pair in prove.between if not any(ref.name in out.points for ref in pair))
    if prove.between and not pairs:
        return None
    return prove._replace(
        between=pairs, sees=_refs(prove.sees, out.conditions), access=_refs(prove.access, out.conditions)
    )


def _circuit(circuit: Circuit, out: Gone) -> Circuit:
    there = {name: each for name, each in circuit.elements.items() if not each.part or each.part.name not in out.parts}
    kept = {name: each for name, each in there.items() if not each.of or each.of.name in there}
    return circuit._replace(elements=MappingProxyType(kept))


def _fault(each: Fault, circuit: Circuit | None) -> Fault:
    if circuit is None:
        return each
    kept = {name: change for name, change in each.circuit.items() if name in circuit.elements}
    return each._replace(circuit=MappingProxyType(kept))
