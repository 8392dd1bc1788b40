"""Which energies may be there, and what isolates each, given the values of the conditions."""

from functools import lru_cache

from benchleaf.model.basics import Setting, State, When
from benchleaf.model.energy import Energy
from benchleaf.model.machine import Machine
from benchleaf.safety.valuation import Cases, Holds, Values, any_holds, cases

ELECTRICAL = frozenset({"battery", "mains", "dc", "capacitor"})
STORED = frozenset({"capacitor", "spring", "height", "hydraulic", "pneumatic", "heat"})


@lru_cache(maxsize=4096)
def isolation(machine: Machine, key: str) -> State:
    """The settings that cut an energy off: its own, else those of all that feeds it (each condition once)."""
    found: dict[str, Setting] = {}
    _collect(machine, key, found, set())
    return tuple(found.values())


def _collect(machine: Machine, key: str, found: dict[str, Setting], seen: set[str]) -> None:
    energy = machine.energy.get(key)
    if energy is None or key in seen:
        return
    seen.add(key)
    for setting in energy.isolate:
        found.setdefault(setting.condition.name, setting)
    if not energy.isolate:
        for feeder in energy.fed_by:
            _collect(machine, feeder.name, found, seen)


@lru_cache(maxsize=4096)
def feeders(machine: Machine, key: str) -> frozenset[str]:
    """The energies that feed this one, directly or through others, itself left out."""
    seen: set[str] = set()
    stack = [key]
    while stack:
        energy = machine.energy.get(stack.pop())
        for feeder in energy.fed_by if energy else ():
            if feeder.name not in seen:
                seen.add(feeder.name)
                stack.append(feeder.name)
    return frozenset(seen - {key})


def protective(machine: Machine, condition: str) -> bool:
    """Whether a condition keeps an energy away from hands: a break, a cover, a thing or what a thing sets.

    A key, a button or an interlock is a control and never protects.
    """
    if condition in machine.things:
        return True
    declared = machine.conditions.get(condition)
    if declared is None or declared.control:
        return False
    by_thing = any(setting.condition.name == condition for thing in machine.things.values() for setting in thing.sets)
    return declared.isolates or declared.cover or by_thing


def trusted(machine: Machine, when: When) -> When:
    """A `when` without its tests on controls, so that it holds at least as often."""
    cases = tuple(tuple(test for test in case if protective(machine, test.condition.name)) for case in when)
    return () if any(not case for case in cases) else cases


def may_be_there(machine: Machine, key: str, values: Values, controls_count: bool = False) -> bool:
    """Whether an energy may be there. What is stored outlives its isolation; controls count only for their operator."""
    return _may_be_there(machine, key, values, controls_count, frozenset())


def _may_be_there(machine: Machine, key: str, values: Values, controls: bool, seen: frozenset[str]) -> bool:
    energy = machine.energy[key]
    if any_holds(_when(machine, key, controls), values) is Holds.NO:
        return False
    if energy.stays_live or energy.kind.name in STORED:
        return True
    if cut_off(energy, values):
        return False
    known = [feeder.name for feeder in energy.fed_by if feeder.name in machine.energy and feeder.name not in seen]
    if not known:
        return not seen or not energy.fed_by
    return any(_may_be_there(machine, feeder, values, controls, seen | {key}) for feeder in known)


@lru_cache(maxsize=4096)
def _when(machine: Machine, key: str, controls: bool) -> Cases:
    when = machine.energy[key].when
    return cases(when if controls else trusted(machine, when))


def cut_off(energy: Energy, values: Values) -> bool:
    """Whether all of an energy's own isolators surely stand at their isolating value."""
    return bool(energy.isolate) and all(
        values.get(setting.condition.name) == frozenset((setting.value.name,)) for setting in energy.isolate
    )
