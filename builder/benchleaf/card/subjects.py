"""What a step acts on and with, as people call it."""

from benchleaf.base.said import fill
from benchleaf.card.records import Point
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Step
from benchleaf.passes.base import Case
from benchleaf.safety.naming import condition_name, part_name, spoken


def subject(case: Case, step: Step) -> str:
    """What a step with a name acts on, as people call it; the blanks of `each` stand as their range."""
    machine, text = case.machine, step.object.text
    fastener = machine.fasteners.get(text)
    for named in (machine.limits.get(text), fastener, machine.indicators.get(text)):
        if named is not None and named.name:
            return named.name.text
    if fastener is not None:
        return fill(
            "{thread} bolts of the {part}", thread=fastener.thread, part=part_name(machine, fastener.holds.name)
        )
    if text in machine.parts:
        return part_name(machine, text)
    if text in machine.conditions or text in machine.things:
        return condition_name(machine, text)
    return spoken(text)


def spoken_tool(case: Case, key: str) -> str:
    """The name of a tool, meter, wrench or thing."""
    shop = case.shop
    found = shop.tools.get(key) or shop.meters.get(key) or shop.wrenches.get(key) or shop.things.get(key)
    if found is not None:
        return found.name.text
    return condition_name(case.machine, key) if key in case.machine.things else spoken(key)


def point_of(machine: Machine, key: str) -> Point:
    """A test point with its name and place; one that the machine file does not know keeps its key."""
    point = machine.points.get(key)
    if point is None:
        return Point(key, key)
    place = point.place.text if point.place else part_name(machine, point.part.name) if point.part else ""
    return Point(key, point.name.text, place)
