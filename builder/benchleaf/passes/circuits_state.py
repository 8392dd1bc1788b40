"""The state in which a step is done, and the circuit in it: solved once for each state and fault."""

from collections.abc import Mapping
from math import nan
from typing import NamedTuple

from benchleaf.model.basics import EMPTY
from benchleaf.model.circuit import ElementChange
from benchleaf.model.flow import Station
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure, Step
from benchleaf.model.shop import Shop
from benchleaf.passes.circuits_build import definite, network
from benchleaf.passes.circuits_history import held_in, remembers, states_before
from benchleaf.passes.circuits_points import CAPACITANCE, KINDS, RESISTANCE, VOLTAGE, leads
from benchleaf.safety.naming import condition_name, listed, spoken
from benchleaf.safety.planning import Planning
from benchleaf.safety.valuation import Values, moved, sprung
from benchleaf.trade.network import Settled, Trouble, settle
from benchleaf.trade.network_parts import AT_REST, Network, Standing, branches, dead
from benchleaf.trade.network_read import Reading
from benchleaf.trade.network_usual import usual

_NONE: frozenset[str] = frozenset()
# The conditions that the circuit asks for, with their values.
_Places = frozenset[tuple[str, frozenset[str]]]


class Stood(NamedTuple):
    """The circuit in the state of one step: at rest, or why not."""

    network: Network
    settled: Settled | Trouble

    @property
    def standing(self) -> Standing:
        """How everything stands from which readings begin."""
        return self.settled.standing if isinstance(self.settled, Settled) else AT_REST


class State(NamedTuple):
    """The state in which a step is done: one value for each condition, and the step, for what was done before it."""

    values: Values
    step: str


class Bench:
    """Circuits of one procedure by state and fault, each solved once.

    Not a value: it keeps what it has solved, for as long as one pass runs.
    """

    def __init__(self, machine: Machine, procedure: Procedure, planning: Planning) -> None:
        self._machine, self._procedure, self._planning = machine, procedure, planning
        self._solved: dict[tuple[_Places, str, frozenset[str]], Stood] = {}
        self._remember: dict[_Places, bool] = {}
        self._passed: dict[str, tuple[Values, ...]] = {}
        self._relevant = _relevant(machine)

    def state(self, station: Station) -> State | None:
        """The state during a step; None for a step that nothing leads to."""
        there = self._planning.woven.before.get(station.key)
        if there is None:
            return None
        settings = held_in(self._machine, self._procedure, station.step)
        # What springs back has done so, unless this very step holds it.
        values = definite(self._machine, moved(self._machine, sprung(self._machine, there.values), settings))
        return State(values, station.key)

    def at(self, state: State, fault: str = "") -> Stood:
        """The circuit in a state, sound or with a fault of the machine, as what was done before has left it."""
        places = self._places(state.values)
        if places not in self._remember:
            self._remember[places] = remembers(network(self._machine, state.values))
        return self._stood(state.values, fault, self._left(state.step, fault) if self._remember[places] else _NONE)

    def _stood(self, values: Values, fault: str, pulled: frozenset[str]) -> Stood:
        key = (self._places(values), fault, pulled)
        if key not in self._solved:
            changes: Mapping[str, ElementChange] = self._machine.faults[fault].circuit if fault else EMPTY
            drawn = network(self._machine, values, changes)
            self._solved[key] = Stood(drawn, settle(drawn, AT_REST._replace(pulled=pulled)))
        return self._solved[key]

    def _left(self, step: str, fault: str) -> frozenset[str]:
        """The coils that what was done before a step has left pulled in."""
        pulled = _NONE
        if step not in self._passed:
            states = states_before(self._machine, self._procedure, self._planning, step)
            self._passed[step] = tuple(states)
        for values in self._passed[step]:
            pulled = self._stood(values, fault, pulled).standing.pulled
        return pulled

    def _places(self, values: Values) -> _Places:
        return frozenset((name, values[name]) for name in self._relevant if name in values)

    def currents(self, state: State, kind: str) -> dict[str, float]:
        """The current through each element of the sound circuit that lets one pass while something of this kind is
        read, in amperes; nan through a mere wire, whose current the solver does not know."""
        stood = self.at(state)
        still = kind in (RESISTANCE, CAPACITANCE)
        drawn, standing = (dead(stood.network), AT_REST) if still else (stood.network, stood.standing)
        found = {each.name: nan for each in branches(drawn, standing) if each.first != each.last}
        if not still and isinstance(stood.settled, Settled):
            found |= {
                branch.name: current for branch, current in stood.settled.solution.currents() if branch.name in found
            }
        return found

    def words(self, state: State) -> str:
        """The state as far as the circuit asks for it: `key on and battery plug mated`."""
        told = [
            f"{condition_name(self._machine, name)} {spoken(next(iter(state.values[name])))}"
            for name in self._relevant
            if name in state.values
        ]
        return listed(told)


def _relevant(machine: Machine) -> tuple[str, ...]:
    """The conditions and things by which the circuit changes, in the order of the machine file."""
    elements = machine.circuit.elements.values() if machine.circuit else ()
    named = {test.condition.name for each in elements for case in each.closed_when for test in case}
    return (
        *(name for name in machine.conditions if name in named),
        *(name for name, thing in machine.things.items() if name in named or len(thing.joins) > 1),
    )


def reading_of(machine: Machine, shop: Shop, step: Step) -> Reading:
    """What a step reads in the circuit, with the resistance of its meter."""
    kind = KINDS[machine.limits[step.object.text].measure.name]
    red, black = leads(machine, step)
    return Reading(kind, red, black, _meter(machine, shop, step) if kind == VOLTAGE else usual().meter)


def _meter(machine: Machine, shop: Shop, step: Step) -> float:
    """The input resistance of the step's meter: of its ranges the lowest, else its own, else a usual one."""
    meter = shop.meters.get(step.meter.name) if step.meter is not None else None
    if meter is None:
        return usual().meter
    measure = machine.limits[step.object.text].measure.name
    stated = [r.input_resistance.quantity.number() for r in meter.ranges.get(measure, ()) if r.input_resistance]
    own = [meter.input_resistance.quantity.number()] if meter.input_resistance else []
    return min((size for size in stated or own if size > 0), default=usual().meter)
