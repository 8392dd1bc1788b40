"""Which steps want the machine locked and which want power, and the cheapest way to give each its wish."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.model.flow import OUTCOME, Flow, Station
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Outcome, Procedure, Step
from benchleaf.safety.analysis import Analysis, Standing
from benchleaf.safety.effects import moves
from benchleaf.safety.isolators import Isolator, isolators, needed_for
from benchleaf.safety.presence import ELECTRICAL, isolation, may_be_there
from benchleaf.safety.reach import met, nearness, parts_of
from benchleaf.trade.cut import minimum_cut

LOCKED, POWER, FREE = "locked", "power", "free"
# Prices of a change on a way. A change counts most; then that it falls together with another isolator's; then that it
# comes late. The ways into outcomes count last: each path makes that change once, and the closings are shared.
CHANGE = 10**15
TOGETHER = 10**11
LATER = 10**6
AT_THE_END = 100
POWERED_ACTIONS = frozenset({"operate", "charge", "drive"})
# What moves the machine or its load as a whole, and can't while something holds it.
TRAVELLING = frozenset({"drive", "raise", "lower"})


WORKS = "the machine has to work for it"
WATCHES = "it watches what was set going"
SENSING = frozenset({"look", "listen", "smell", "read", "watch", "ask"})


class Wish(NamedTuple):
    """What a station asks for, and for which energies; `why` is a clause that completes 'because'."""

    label: str
    energies: tuple[str, ...] = ()
    why: str = ""


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


def wish(machine: Machine, procedure: Procedure, station: Station, analysis: Analysis) -> Wish:
    """What one station asks for (engine of demands)."""
    step = station.step
    there = analysis.before.get(station.key)
    if there is None:
        return Wish(FREE)
    reached = isolatable_there(machine, step, there.values)
    if step.power == "on":
        return Wish(POWER, why="the step says that it needs power")
    if step.power == "off":
        return Wish(LOCKED, reached or _all_isolatable(machine), "the step says that it needs power off")
    if step.power == "either" and step.action.name != "measure":
        return Wish(LOCKED, reached, "hands come within reach") if _hands(machine, step) and reached else Wish(FREE)
    if _moves_isolator_to_work(machine, procedure, step):
        return Wish(POWER, why="the step connects what isolates")
    if step.action.name == "measure":
        return _measuring(machine, step, reached)
    if step.action.name in POWERED_ACTIONS or step.while_ is not None:
        return Wish(POWER, why=WORKS)
    if _hands(machine, step) and reached:
        return Wish(LOCKED, reached, "hands come within reach")
    return Wish(FREE)


def _measuring(machine: Machine, step: Step, reached: tuple[str, ...]) -> Wish:
    limit = machine.limits.get(step.object.text)
    measure = measures().get(limit.measure.name) if limit is not None else None
    power = measure.power if measure is not None else "either"
    if power == "off":
        return Wish(LOCKED, reached or _electrical_isolatable(machine, step), "it is read with power off")
    if step.while_ is not None:
        return Wish(POWER, why=WORKS)
    if power == "on" and not step.power:
        always = [key for key in met(machine, step) if machine.energy[key].stays_live]
        fed = [key for key in met(machine, step) if not machine.energy[key].stays_live]
        if always and not fed:
            return Wish(FREE)
        return Wish(POWER, why="it is read with power on")
    if _hands(machine, step) and reached:
        return Wish(LOCKED, reached, "hands come within reach")
    return Wish(FREE)


def _hands(machine: Machine, step: Step) -> bool:
    return nearness(machine, step) == "hands"


def isolatable_there(machine: Machine, step: Step, values: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """The energies that the step meets, that may be there whatever controls say, and that can be cut off."""
    return tuple(key for key in met(machine, step) if needed_for(machine, key) and _possible(machine, key, values))


def _possible(machine: Machine, key: str, values: Mapping[str, frozenset[str]]) -> bool:
    """May be there, or could be the moment somebody moves an isolator back: standing at 'off' is not locked."""
    open_values = dict(values)
    for setting in isolation(machine, key):
        name = setting.condition.name
        declared = machine.conditions.get(name)
        if declared is not None and declared.isolates:
            open_values[name] = frozenset(value.name for value in declared.values)
    return may_be_there(machine, key, open_values)


def _all_isolatable(machine: Machine) -> tuple[str, ...]:
    return tuple(key for key in machine.energy if isolation(machine, key) and not machine.energy[key].stays_live)


def _electrical_isolatable(machine: Machine, step: Step) -> tuple[str, ...]:
    """The electrical energies at the parts probed; of the whole machine where the parts expose none."""
    electrical = tuple(key for key in _all_isolatable(machine) if machine.energy[key].kind.name in ELECTRICAL)
    here = set(met(machine, step)) if parts_of(machine, step) else set()
    return tuple(key for key in electrical if key in here) or electrical


def _moves_isolator_to_work(machine: Machine, procedure: Procedure, step: Step) -> bool:
    isolating = {(s.condition.name, s.value.name) for key in machine.energy for s in isolation(machine, key)}
    names = {name for name, _ in isolating if name in machine.conditions}
    return any(
        s.condition.name in names and (s.condition.name, s.value.name) not in isolating
        for s in moves(machine, procedure, step)
    )


def label(machine: Machine, procedure: Procedure, flow: Flow, analysis: Analysis) -> Labels:
    """Label every station and outcome, isolator by isolator, so that all wishes hold with the fewest changes.

    For each isolator a minimum cut: steps that want it locked are sources, steps that want power sinks. Among equally
    cheap ways the change comes late. A machine that no wish locks stays unlocked.
    """
    wishes = {station.key: wish(machine, procedure, station, analysis) for station in flow.stations}
    _watching(flow, wishes)
    for key, outcome in procedure.outcomes.items():
        wishes[OUTCOME + key] = _outcome_wish(machine, outcome, analysis.arriving.get(OUTCOME + key))
    moving = frozenset(station.key for station in flow.stations if station.step.action.name in TRAVELLING)
    edges = _edges(flow, wishes, analysis)
    known = isolators(machine, procedure)
    locked: dict[str, set[str]] = {}
    # What the machine can't work without goes first: the rest changes where that changes, if it costs no more.
    for name, isolator in sorted(known.items(), key=lambda item: item[1].rests):
        sources = frozenset(k for k, each in wishes.items() if _needs(machine, each, name))
        sinks = frozenset(k for k, each in wishes.items() if _frees(k, each, isolator, moving)) - sources
        sinks |= frozenset(k for k, values in analysis.during.items() if _works(isolator, values)) - sources
        for key in minimum_cut(_priced(edges, locked, isolator), sources, sinks | {"start"}) if sources else ():
            locked.setdefault(key, set()).add(name)
    return Labels(wishes, {key: frozenset(names) for key, names in locked.items()}, known)


def _edges(flow: Flow, wishes: Mapping[str, Wish], analysis: Analysis) -> list[tuple[str, str, int]]:
    """The ways as edges with their cost: one change each, a little less the later it comes."""
    edges = [("start", flow.stations[0].key, CHANGE)] if flow.stations else []
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


def _watching(flow: Flow, wishes: dict[str, Wish]) -> None:
    """What is looked at or asked straight after the machine was set going belongs to it, and wants power as well."""
    into: dict[str, list[str]] = {}
    for station in flow.stations:
        for way in station.ways:
            into.setdefault(way.to, []).append(station.key)
    for station in flow.stations:
        before = into.get(station.key, [])
        free = wishes[station.key].label == FREE and not station.step.power
        going = all(wishes[key].label == POWER and wishes[key].why in (WORKS, WATCHES) for key in before)
        if free and going and before and station.step.action.name in SENSING:
            wishes[station.key] = Wish(POWER, why=WATCHES)


def _outcome_wish(machine: Machine, outcome: Outcome, there: Standing | None) -> Wish:
    if there is None:
        return Wish(FREE)
    if outcome.leave == "as-final":
        return Wish(POWER, why="the machine is left ready for use")
    energies = tuple(key for key in _all_isolatable(machine) if _possible(machine, key, there.values))
    return Wish(LOCKED, energies, "the machine is left out of service") if energies else Wish(FREE)
