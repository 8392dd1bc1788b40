"""The cheapest way to give each step its wish: where each isolator stands locked."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.model.flow import OUTCOME, Flow
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure
from benchleaf.safety.analysis import Analysis
from benchleaf.safety.effects import moves
from benchleaf.safety.isolators import Isolator, isolators, needed_for
from benchleaf.safety.wishes import LOCKED, POWER, Wish, outcome_wish, watching, wish
from benchleaf.trade.cut import minimum_cut

# Prices of a change on a way. A change counts most; then that it falls together with another isolator's; then that it
# comes late. The ways into outcomes count last: each path makes that change once, and the closings are shared.
CHANGE = 10**15
TOGETHER = 10**11
LATER = 10**6
AT_THE_END = 100
# No identifier, so that no step can be called so.
START = "(start)"
# What moves the machine or its load as a whole, and can't while something holds it.
TRAVELLING = frozenset({"drive", "raise", "lower"})


class Labels(NamedTuple):
    """The wish of each station and outcome, and which isolators stand locked there.

    `isolators` are all that the procedure may lock, by name.
    """

    wishes: Mapping[str, Wish]
    locked: Mapping[str, frozenset[str]]
    isolators: Mapping[str, Isolator]

    def at(self, key: str) -> frozenset[str]:
        """The isolators locked at a station or outcome; none at the start."""
        return self.locked.get(key, frozenset())

    def without_power(self, key: str) -> bool:
        """Whether an isolator that the machine needs for working is locked there."""
        return any(not self.isolators[name].rests for name in self.at(key))


def label(machine: Machine, procedure: Procedure, flow: Flow, analysis: Analysis) -> Labels:
    """Label every station and outcome, isolator by isolator, so that all wishes hold with the fewest changes.

    For each isolator a minimum cut: steps that want it locked are sources, steps that want power sinks. Among equally
    cheap ways the change comes late. A machine that no wish locks stays unlocked.
    """
    wishes = {station.key: wish(machine, procedure, station, analysis) for station in flow.stations}
    watching(flow, wishes)
    for key, outcome in procedure.outcomes.items():
        wishes[OUTCOME + key] = outcome_wish(machine, outcome, analysis.arriving.get(OUTCOME + key))
    edges = _edges(flow, wishes, analysis)
    known = isolators(machine, procedure)
    moved = _moved(machine, procedure, flow)
    locked: dict[str, set[str]] = {}
    # What the machine can't work without goes first: the rest changes where that changes, if it costs no more.
    for name, isolator in sorted(known.items(), key=lambda item: item[1].rests):
        sources = frozenset(k for k, each in wishes.items() if _needs(machine, each, name))
        moving = _travelling(machine, procedure, flow, isolator)
        sinks = frozenset(k for k, each in wishes.items() if _frees(k, each, isolator, moving)) - sources
        sinks |= frozenset(k for k, values in analysis.during.items() if _works(isolator, values)) - sources
        sinks |= moved.get(name, frozenset()) - sources
        if isolator.kind == "thing":
            sinks |= _let_go_dead(flow, wishes, locked, known) - sources
        for key in minimum_cut(_priced(edges, locked, isolator), sources, sinks | {START}) if sources else ():
            locked.setdefault(key, set()).add(name)
    return Labels(wishes, {key: frozenset(names) for key, names in locked.items()}, known)


def _travelling(machine: Machine, procedure: Procedure, flow: Flow, isolator: Isolator) -> frozenset[str]:
    """The stations that move what a thing holds: driving always, raising and lowering where it decides about that."""
    decide = {test.condition.name for key in isolator.energies for case in machine.energy[key].when for test in case}
    found = set()
    for station in flow.stations:
        if isolator.kind == "thing" and station.step.action.name in TRAVELLING:
            moved = {setting.condition.name for setting in moves(machine, procedure, station.step)}
            if station.step.action.name == "drive" or not moved or moved & decide:
                found.add(station.key)
    return frozenset(found)


def _moved(machine: Machine, procedure: Procedure, flow: Flow) -> Mapping[str, frozenset[str]]:
    """For each isolator the stations that move it themselves: it may not be held there."""
    found: dict[str, set[str]] = {}
    for station in flow.stations:
        for setting in moves(machine, procedure, station.step):
            found.setdefault(setting.condition.name, set()).add(station.key)
    return {name: frozenset(keys) for name, keys in found.items()}


def _let_go_dead(
    flow: Flow, wishes: Mapping[str, Wish], locked: Mapping[str, set[str]], known: Mapping[str, Isolator]
) -> frozenset[str]:
    """Stations from which the machine is left ready without being dead once more: what holds it has to be gone there.

    Hands take it away, and that they may do only while the machine can't move. Where nothing can be locked dead, or
    ever is, the rule says nothing.
    """
    dead = {key for key, names in locked.items() if any(not known[name].rests for name in names)}
    if not dead:
        return frozenset()
    into: dict[str, list[str]] = {}
    for station in flow.stations:
        for way in station.ways:
            into.setdefault(way.to, []).append(station.key)
    seen = {key for key, each in wishes.items() if key.startswith(OUTCOME) and each.label == POWER}
    stack = list(seen)
    while stack:
        for key in into.get(stack.pop(), ()):
            if key not in seen and key not in dead:
                seen.add(key)
                stack.append(key)
    return frozenset(key for key in seen if not key.startswith(OUTCOME))


def _edges(flow: Flow, wishes: Mapping[str, Wish], analysis: Analysis) -> list[tuple[str, str, int]]:
    """The ways as edges with their cost: one change each, a little less the later it comes."""
    edges = [(START, flow.stations[0].key, CHANGE)] if flow.stations else []
    for place, station in enumerate(flow.stations):
        for way in station.ways:
            if way.to in wishes and station.key in analysis.before:
                keep = 100 * CHANGE if station.step.together == "next" and way.side in ("next", "inside") else 0
                price = AT_THE_END if way.to.startswith(OUTCOME) else CHANGE - LATER * (place + 1)
                edges.append((station.key, way.to, keep + price))
    return edges


def _priced(
    edges: list[tuple[str, str, int]], locked: Mapping[str, set[str]], isolator: Isolator
) -> list[tuple[str, str, int]]:
    """The edges, cheaper by less than a change where another isolator changes already.

    One that rests in its isolating value is not moved, only locked: where another is locked that costs next to nothing.
    """
    nothing: set[str] = set()
    unmoved = isolator.kind == "break" and isolator.rests

    def price(one: str, other: str, cost: int) -> int:
        if cost <= TOGETHER or locked.get(one, nothing) == locked.get(other, nothing):
            return cost
        return 10 * AT_THE_END if unmoved else cost - TOGETHER

    return [(one, other, price(one, other, cost)) for one, other, cost in edges]


def _needs(machine: Machine, each: Wish, name: str) -> bool:
    return each.label == LOCKED and any(name in needed_for(machine, key) for key in each.energies)


def _frees(key: str, each: Wish, isolator: Isolator, moving: frozenset[str]) -> bool:
    """Whether a step wants this isolator moved back: for power what rests or holds may stay as it is.

    An outcome that leaves the machine ready takes everything off; what moves the machine takes away what holds it.
    """
    if key.startswith(OUTCOME):
        return each.label == POWER and isolator.kind != "relieve"
    if isolator.kind == "thing":
        return key in moving
    return each.label == POWER and not isolator.rests


def _works(isolator: Isolator, values: Mapping[str, frozenset[str]]) -> bool:
    """Whether the writer's own steps have brought this break surely out of its isolating value."""
    return isolator.kind == "break" and any(
        setting.value.name not in values.get(setting.condition.name, frozenset((setting.value.name,)))
        for setting in isolator.settings
        if isolator.rests
    )
