"""Which steps and proofs read something that a circuit can foretell."""

from collections.abc import Iterator

from benchleaf.model.energy import Prove
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Step

VOLTAGE, CURRENT, RESISTANCE, CAPACITANCE = "voltage", "current", "resistance", "capacitance"
# What the kinds of measurement come to in a circuit.
KINDS = {
    "dc-voltage": VOLTAGE,
    "ac-voltage": VOLTAGE,
    "voltage-drop": VOLTAGE,
    "dc-current": CURRENT,
    "ac-current": CURRENT,
    "resistance": RESISTANCE,
    "continuity": RESISTANCE,
    "insulation-resistance": RESISTANCE,
    "capacitance": CAPACITANCE,
}
# Kinds of which a meter shows the size without a sign.
UNSIGNED = ("ac-voltage", "ac-current")


def nodes(machine: Machine) -> frozenset[str]:
    """All nodes of the machine's circuit; a thing that joins points adds none."""
    elements = machine.circuit.elements.values() if machine.circuit else ()
    return frozenset(node.name for each in elements for node in each.nodes)


def computable(machine: Machine, step: Step) -> bool:
    """Whether the circuit foretells what a step measures: a known kind, between two nodes, in one place."""
    limit = machine.limits.get(step.object.text) if step.action.name == "measure" else None
    if limit is None or limit.measure.name not in KINDS or step.clamp or step.each:
        return False
    points = leads(machine, step)
    return len(points) == 2 and {*points} <= nodes(machine)


def leads(machine: Machine, step: Step) -> tuple[str, ...]:
    """The points between which a step measures, red first: its own, else those of its limit."""
    limit = machine.limits.get(step.object.text)
    return tuple(point.name for point in step.between or (limit.between if limit is not None else ()))


def proofs(machine: Machine) -> Iterator[tuple[str, Prove, tuple[tuple[str, str], ...]]]:
    """Energies proved gone by a voltage, with the pairs of points that the circuit knows.

    What is stored in a capacitor shows itself, whatever feeds it.
    """
    known = nodes(machine)
    for key, energy in machine.energy.items():
        prove = energy.prove
        if prove is None or prove.below is None or energy.kind.name == "capacitor":
            continue
        if KINDS.get(prove.measure) != VOLTAGE:
            continue
        pairs = tuple((one.name, other.name) for one, other in prove.between if {one.name, other.name} <= known)
        if pairs:
            yield key, prove, pairs
