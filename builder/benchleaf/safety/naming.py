"""How conditions, values, parts and energies are called on a card when the machine file gives no better name."""

from benchleaf.base.said import fill
from benchleaf.base.said import listed as listed
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.safety.sentences import has_sentence, say


def spoken(key: str) -> str:
    """An identifier as words."""
    return key.replace("-", " ")


def condition_name(machine: Machine, key: str) -> str:
    """The name of a condition or thing."""
    declared = machine.conditions.get(key)
    if declared is not None:
        return declared.name.text if declared.name else spoken(key)
    thing = machine.things.get(key)
    return thing.name.text if thing is not None and thing.name else spoken(key)


def condition_place(machine: Machine, key: str) -> str:
    """Where a condition's handle or a thing's place is; empty if the machine file does not say."""
    declared = machine.conditions.get(key) or machine.things.get(key)
    return declared.place.text if declared is not None and declared.place else ""


def energy_name(machine: Machine, key: str) -> str:
    """The name of an energy."""
    energy = machine.energy.get(key)
    return energy.name.text if energy is not None and energy.name else spoken(key)


def kind_name(kind: str) -> str:
    """A kind of energy as the machine file writes it."""
    return say(f"kind-{kind}") if has_sentence(f"kind-{kind}") else spoken(kind)


def measured(measure: str) -> str:
    """What is measured, in words."""
    known = measures().get(measure)
    return fill(known.label) if known else spoken(measure)


def part_name(machine: Machine, key: str) -> str:
    """The name of a part."""
    part = machine.parts.get(key)
    return part.name.text if part is not None else spoken(key)
