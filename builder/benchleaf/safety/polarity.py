"""Where the polarity of a battery is owed: after its blocks were moved, until the last link or break is closed."""

from collections import deque
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from benchleaf.model.basics import State
from benchleaf.model.flow import Flow
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure, Step
from benchleaf.safety.effects import moves
from benchleaf.safety.labels import Labels
from benchleaf.safety.presence import feeders, isolation
from benchleaf.safety.reach import exposed, nearness, parts_of

# Work after which nobody can say which way round the blocks stand.
MOVING = frozenset({"remove", "fit", "swap", "disconnect", "connect"})


class Owed(NamedTuple):
    """The batteries whose polarity nobody has proved since they were moved, on some path to a station or outcome.

    `before` tells which there are when the station begins, `due` which an inserted block joins on the way to it.
    """

    before: Mapping[str, frozenset[str]]
    due: Mapping[str, frozenset[str]]


def owed(machine: Machine, procedure: Procedure, flow: Flow, labels: Labels) -> Owed:
    """Follow what is owed through the flow.

    Closing the last link, or a break that joins charger or loads, comes after a proof and so owes nothing more.
    """
    batteries = [key for key, energy in machine.energy.items() if energy.kind.name == "battery"]
    if not batteries or not flow.stations:
        return Owed({}, {})
    stations = {station.key: station for station in flow.stations}
    first = flow.stations[0].key
    before: dict[str, frozenset[str]] = {first: frozenset()}
    due: dict[str, frozenset[str]] = {}
    waiting = deque([first])
    while waiting:
        key = waiting.popleft()
        station = stations[key]
        after = (before[key] - joined(machine, procedure, station.step)) | _moved(machine, procedure, station.step)
        for way in station.ways:
            joins = after & freed(machine, labels.at(key) - labels.at(way.to))
            due[way.to] = due.get(way.to, frozenset()) | joins
            new = before.get(way.to, frozenset()) | (after - joins)
            if way.to not in before or new != before[way.to]:
                before[way.to] = new
                if way.to in stations:
                    waiting.append(way.to)
    return Owed(before, due)


def gates(
    machine: Machine, procedure: Procedure, flow: Flow, before: Mapping[str, frozenset[str]]
) -> dict[str, list[str]]:
    """The written steps that close a link or a break behind an owed battery, with these batteries."""
    found = {}
    for station in flow.stations:
        due = before.get(station.key, frozenset()) & joined(machine, procedure, station.step)
        if due:
            found[station.key] = sorted(due)
    return found


def joined(machine: Machine, procedure: Procedure, step: Step) -> frozenset[str]:
    """The batteries whose string, or a break between them and charger or loads, a step closes."""
    settings = moves(machine, procedure, step)
    found = {key for key in _batteries(machine) if _leaves(_parting(machine, key), settings)}
    opened = {
        s.condition.name
        for s in settings
        for key in machine.energy
        for each in isolation(machine, key)
        if each.condition.name == s.condition.name and each.value.name != s.value.name
    }
    return frozenset(found) | freed(machine, opened)


def freed(machine: Machine, names: Iterable[str]) -> frozenset[str]:
    """The batteries behind these isolators: those that feed what the isolators cut off."""
    opened = set(names)
    behind = {
        feeder
        for key in machine.energy
        if opened & {each.condition.name for each in isolation(machine, key)}
        for feeder in feeders(machine, key)
    }
    return frozenset(behind & set(_batteries(machine)))


def _moved(machine: Machine, procedure: Procedure, step: Step) -> frozenset[str]:
    settings = moves(machine, procedure, step)
    names = {s.condition.name for s in settings}
    handled = step.action.name in MOVING and nearness(machine, step) == "hands"
    there = exposed(machine, parts_of(machine, step)) if handled else set()
    found = set()
    for key in _batteries(machine):
        parting = _parting(machine, key)
        linked = bool(names & {s.condition.name for s in parting})
        if not _leaves(parting, settings) if linked else key in there:
            found.add(key)
    return frozenset(found)


def _batteries(machine: Machine) -> list[str]:
    return [key for key, energy in machine.energy.items() if energy.kind.name == "battery"]


def _parting(machine: Machine, key: str) -> State:
    blocks = machine.energy[key].blocks
    return blocks.parted.when if blocks is not None and blocks.parted is not None else ()


def _leaves(parting: State, settings: State) -> bool:
    """Whether the settings bring the string out of where it is parted."""
    apart = {s.condition.name: s.value.name for s in parting}
    return any(s.condition.name in apart and s.value.name != apart[s.condition.name] for s in settings)
