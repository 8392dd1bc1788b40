"""Faults that a step takes away: after it, a good reading tells that the fault was there."""

from collections.abc import Mapping

from benchleaf.model.flow import Flow, Station
from benchleaf.model.machine import Machine

# What makes a part good again; charging does so for batteries.
MENDING = frozenset({"swap", "adjust"})
CHARGING = "charge"


def cured(machine: Machine, flow: Flow) -> Mapping[str, frozenset[str]]:
    """For each station the faults that are gone there, since every way to it passes a step that mends the part."""
    found: dict[str, set[str]] = {station.key: set() for station in flow.stations}
    for station in flow.stations:
        gone = {name for name, fault in machine.faults.items() if fault.part.name in _mended(machine, station)}
        if gone:
            around = _reached(flow, station.key)
            for other in flow.stations:
                if other.key != station.key and other.key not in around:
                    found[other.key] |= gone
    return {key: frozenset(names) for key, names in found.items()}


def _mended(machine: Machine, station: Station) -> frozenset[str]:
    """The parts that a step makes good."""
    step = station.step
    if step.action.name == CHARGING:
        elements = machine.circuit.elements.values() if machine.circuit else ()
        return frozenset(each.part.name for each in elements if each.type.name == "battery" and each.part)
    if step.action.name not in MENDING:
        return frozenset()
    named = {step.object.text, step.at.name if step.at else ""}
    return frozenset(named & set(machine.parts))


def _reached(flow: Flow, without: str) -> frozenset[str]:
    """The stations that can be reached from the first without passing one."""
    ways = {station.key: station.ways for station in flow.stations}
    seen: set[str] = set()
    waiting = [flow.stations[0].key] if flow.stations else []
    while waiting:
        key = waiting.pop()
        if key not in seen and key in ways and key != without:
            seen.add(key)
            waiting += [way.to for way in ways[key]]
    return frozenset(seen)
