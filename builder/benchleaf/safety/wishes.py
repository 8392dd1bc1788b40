"""What each step asks of the machine: locked, with power, or neither; and for which energies."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.said import fill
from benchleaf.model.flow import Flow, Station
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Outcome, Procedure, Step
from benchleaf.safety.analysis import Analysis, Standing
from benchleaf.safety.effects import moves
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.presence import ELECTRICAL, feeders, isolation, may_be_there
from benchleaf.safety.reach import exposed, met, nearness, parts_of, reach_of

LOCKED, POWER, FREE = "locked", "power", "free"
POWERED_ACTIONS = frozenset({"operate", "charge", "drive"})
WORKS = fill("the machine has to work for it")
WATCHES = fill("it watches what was set going")
SENSING = frozenset({"look", "listen", "smell", "read", "watch", "ask"})


class Wish(NamedTuple):
    """What a station asks for, and for which energies; `why` is a clause that completes 'because'."""

    label: str
    energies: tuple[str, ...] = ()
    why: str = ""


def wish(machine: Machine, procedure: Procedure, station: Station, analysis: Analysis) -> Wish:
    """What one station asks for: by what it says of power, by its action, and by what hands come near."""
    there = analysis.before.get(station.key)
    if there is None:
        return Wish(FREE)
    made = _wish(machine, procedure, station.step, there)
    if made.label != LOCKED:
        return made
    wanted = {*made.energies, *_around_covers(machine, made.energies, there)}
    return made._replace(energies=tuple(key for key in machine.energy if key in wanted))


def _around_covers(machine: Machine, energies: tuple[str, ...], there: Standing) -> set[str]:
    """What hands meet that open a cover for the proof of zero of these energies: all that reaches beyond its part."""
    proved = {key for each in energies for key in (each, *feeders(machine, each))}
    covers = {
        ref.name
        for key in proved
        if (prove := machine.energy[key].prove) is not None
        for ref in prove.access
        if ref.name in machine.conditions
    }
    shut = any(there.values[name] != frozenset((machine.conditions[name].values[-1].name,)) for name in covers)
    return {
        key
        for key, energy in machine.energy.items()
        if shut and reach_of(energy) != "touch" and needed_for(machine, key) and _possible(machine, key, there.values)
    }


def _wish(machine: Machine, procedure: Procedure, step: Step, there: Standing) -> Wish:
    reached = isolatable_there(machine, step, there.values)
    if step.power == "on":
        return Wish(POWER, why=fill("the step says that it needs power"))
    if step.power == "off":
        return Wish(LOCKED, reached or _all_isolatable(machine), fill("the step says that it needs power off"))
    if step.power == "either" and step.action.name != "measure":
        return (
            Wish(LOCKED, reached, fill("hands come within reach")) if _hands(machine, step) and reached else Wish(FREE)
        )
    if _moves_isolator_to_work(machine, procedure, step):
        return Wish(POWER, why=fill("the step connects what isolates"))
    if step.action.name == "measure":
        return _measuring(machine, step, reached)
    if step.action.name in POWERED_ACTIONS or step.while_ is not None:
        return Wish(POWER, why=WORKS)
    if _hands(machine, step) and reached:
        return Wish(LOCKED, reached, fill("hands come within reach"))
    return Wish(FREE)


def _measuring(machine: Machine, step: Step, reached: tuple[str, ...]) -> Wish:
    limit = machine.limits.get(step.object.text)
    measure = measures().get(limit.measure.name) if limit is not None else None
    power = measure.power if measure is not None else "either"
    if power == "off":
        return Wish(LOCKED, reached or _electrical_isolatable(machine, step), fill("it is read with power off"))
    if step.while_ is not None:
        return Wish(POWER, why=WORKS)
    if power == "on" and not step.power:
        always = [key for key in met(machine, step) if machine.energy[key].stays_live]
        fed = [key for key in met(machine, step) if not machine.energy[key].stays_live]
        if always and not fed:
            return Wish(FREE)
        return Wish(POWER, why=fill("it is read with power on"))
    if _hands(machine, step) and reached:
        return Wish(LOCKED, reached, fill("hands come within reach"))
    return Wish(FREE)


def _hands(machine: Machine, step: Step) -> bool:
    return nearness(machine, step) == "hands"


def isolatable_there(machine: Machine, step: Step, values: Mapping[str, frozenset[str]]) -> tuple[str, ...]:
    """The energies that the step meets, that may be there whatever controls say, and that can be cut off.

    Who places or takes what alone holds an energy stands within its reach by need.
    """
    reached = {*met(machine, step), *_paths_of_batteries(machine, step)}
    own = {step.object.text} if step.action.name in ("place", "take") else set()
    return tuple(
        key
        for key in machine.energy
        if key in reached and (needed := set(needed_for(machine, key))) and needed != own
        if _possible(machine, key, values)
    )


def _paths_of_batteries(machine: Machine, step: Step) -> set[str]:
    """For hands at a battery that stays live: every energy that it feeds or is charged by, to be opened and locked."""
    there = batteries_at(machine, step) if _hands(machine, step) else frozenset()
    fed = {key for key in machine.energy if there & feeders(machine, key)}
    return fed | {feeder for key in fed for feeder in feeders(machine, key)}


def batteries_at(machine: Machine, step: Step) -> frozenset[str]:
    """The batteries that stay live and whose parts a step names."""
    there = exposed(machine, parts_of(machine, step))
    return frozenset(k for k in there if machine.energy[k].kind.name == "battery" and machine.energy[k].stays_live)


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


def watching(flow: Flow, wishes: dict[str, Wish]) -> None:
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


def outcome_wish(machine: Machine, outcome: Outcome, there: Standing | None) -> Wish:
    """What an outcome asks for by the way it leaves the machine, given how the machine stands on arrival."""
    if there is None:
        return Wish(FREE)
    if outcome.leave == "as-final":
        return Wish(POWER, why=fill("the machine is left ready for use"))
    energies = tuple(key for key in _all_isolatable(machine) if _possible(machine, key, there.values))
    return Wish(LOCKED, energies, fill("the machine is left out of service")) if energies else Wish(FREE)
