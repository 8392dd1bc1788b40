"""Whom an energy reaches: how close each step brings a person, and which energies it meets there."""

from benchleaf.model.actions import actions
from benchleaf.model.energy import Energy
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Step
from benchleaf.safety.presence import ELECTRICAL
from benchleaf.trade.hazards import KINDS, hazard

# A step with this hazard word airs the room.
AIRING = "gas-in-room"
# Only the surroundings of the machine are met here, not what lies open inside it.
OUTSIDE = frozenset({"open", "close", "place", "take"})


def reach_of(energy: Energy) -> str:
    """How far an energy reaches: touch, near or zone; by its kind where the machine file does not say it."""
    if energy.reaches is not None:
        return energy.reaches.name
    return hazard(energy.kind.name).reach if energy.kind.name in KINDS else "zone"


def nearness(machine: Machine, step: Step) -> str:
    """How close a step brings the person: senses, near, controls, probe or hands."""
    if step.action.name in ("connect", "disconnect") and _isolates(machine, step.object.text):
        # Moving a break is done from its handle, whoever asks for it.
        return "controls"
    if step.action.name != "measure":
        return actions().get(step.action.name, "hands")
    if step.clamp or step.installed:
        return "near"
    limit = machine.limits.get(step.object.text)
    measure = measures().get(limit.measure.name) if limit is not None else None
    return measure.near if measure is not None else "probe"


def _isolates(machine: Machine, name: str) -> bool:
    return name in machine.conditions and machine.conditions[name].isolates


def parts_of(machine: Machine, step: Step) -> tuple[str, ...]:
    """The parts that a step names: by `at` (part or place), object, fastener, limit or test points; in this order."""
    named: list[str] = []
    place = ""
    if step.at is not None:
        place = step.at.name if step.at.name in machine.places else ""
        named.append(step.at.name)
    name = step.object.text
    named.append(name)
    fastener, limit = machine.fasteners.get(name), machine.limits.get(name)
    if fastener is not None:
        named.append(fastener.holds.name)
    if limit is not None and limit.part is not None:
        named.append(limit.part.name)
    for point in step.between or (limit.between if limit is not None else ()):
        declared = machine.points.get(point.name)
        if declared is not None and declared.part is not None:
            named.append(declared.part.name)
    if place:
        named.extend(key for key, part in machine.parts.items() if part.in_ is not None and part.in_.name == place)
    return tuple(dict.fromkeys(key for key in named if key in machine.parts))


def neighbours(machine: Machine, parts: tuple[str, ...]) -> tuple[str, ...]:
    """All parts in the same places as these, these first: what hands meet on their way."""
    places = {machine.parts[key].in_.name for key in parts if machine.parts[key].in_ is not None}  # type: ignore[union-attr]
    there = [key for key, part in machine.parts.items() if part.in_ is not None and part.in_.name in places]
    return tuple(dict.fromkeys((*parts, *there)))


def met(machine: Machine, step: Step) -> tuple[str, ...]:
    """The energies that a step brings within reach, whether they are there or not; in the machine file's order.

    Hands that are nowhere in particular meet every energy.
    """
    close = nearness(machine, step)
    parts = parts_of(machine, step)
    zone = {key for key, energy in machine.energy.items() if reach_of(energy) == "zone"}
    near = {key for key, energy in machine.energy.items() if reach_of(energy) == "near"}
    if close == "hands":
        if step.action.name in OUTSIDE and not parts:
            found = zone | near
        elif not parts:
            found = set(machine.energy)
        else:
            found = zone | near | exposed(machine, neighbours(machine, parts))
    elif close == "probe":
        found = {key for key in exposed(machine, parts) if machine.energy[key].kind.name in ELECTRICAL}
    else:
        found = zone
    return tuple(key for key in machine.energy if key in found)


def exposed(machine: Machine, parts: tuple[str, ...]) -> set[str]:
    """The energies that these parts expose."""
    return {e.energy.name for key in parts for e in machine.parts[key].exposes if e.energy.name in machine.energy}
