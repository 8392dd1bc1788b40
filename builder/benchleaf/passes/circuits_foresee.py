"""What a step's meter shows by the circuit: for good machines over their tolerances, and under each fault."""

import random
from collections.abc import Mapping
from math import isinf, nan
from typing import NamedTuple

from benchleaf.model.expected import Foreseen
from benchleaf.model.flow import Station
from benchleaf.model.relations import earlier_station
from benchleaf.passes.base import Case
from benchleaf.passes.circuits_limits import Bounds, in_unit, signless
from benchleaf.passes.circuits_points import computable
from benchleaf.passes.circuits_state import Bench, State, Stood, reading_of
from benchleaf.trade.network import Trouble, settle
from benchleaf.trade.network_parts import Network
from benchleaf.trade.network_read import Band, Reading, Shown, band, quick, read

# Corners tried where two readings are compared; the same ones in every run.
CORNERS = 24
SEED = 20


class Probe(NamedTuple):
    """A reading at a station, and the earlier one that it is compared with, each in its state."""

    station: Station
    reading: Reading
    state: State
    bounds: Bounds
    before: tuple[Reading, State] | None = None


def probe(case: Case, bench: Bench, stations: Mapping[str, Station], station: Station, bounds: Bounds) -> Probe | None:
    """The probe of a step; None where it, or what it compares with, is not to be computed."""
    state = bench.state(station)
    if state is None:
        return None
    reading = reading_of(case.machine, case.shop, station.step)
    if not bounds.of:
        return Probe(station, reading, state, bounds)
    earlier = stations.get(earlier_station(stations, station.key, bounds.of))
    if earlier is None or not computable(case.machine, earlier.step):
        return None
    before = bench.state(earlier)
    if before is None:
        return None
    return Probe(station, reading, state, bounds, (reading_of(case.machine, case.shop, earlier.step), before))


def foresee(case: Case, bench: Bench, asked: Probe, cured: frozenset[str]) -> tuple[Foreseen, Shown] | None:
    """All readings of a probe, in the unit of its limit; None where the sound circuit has no answer.

    Under a fault that is cured by now, the circuit is sound.
    """
    limit = case.machine.limits[asked.station.step.object.text]
    shown = read(bench.at(asked.state).network, asked.reading, bench.at(asked.state).standing)
    if isinstance(shown, Trouble):
        return None
    stated, whole = _bands(bench, asked, stated=True), _bands(bench, asked, stated=False)
    if stated is None or whole is None:
        return None
    faults: dict[str, float] = {}
    sides: dict[str, str] = {}
    for name in case.machine.faults:
        value = _shown(bench, asked, "" if name in cured else name)
        if value is not None:
            value = signless(limit, value)
            faults[name] = in_unit(value, asked.bounds.unit)
            sides[name] = asked.bounds.side(value)
    low, high = _ordered(signless(limit, whole.low), signless(limit, whole.high))
    least, most = _ordered(signless(limit, stated.low), signless(limit, stated.high))
    nominal = signless(limit, whole.nominal)
    side, unit, limit_name = asked.bounds.side(nominal), asked.bounds.unit, asked.station.step.object.text
    low, nominal, high, least, most = (in_unit(value, unit) for value in (low, nominal, high, least, most))
    words = bench.words(asked.state)
    made = Foreseen(
        asked.station.key, limit_name, unit.symbol, low, nominal, high, least, most, side, faults, sides, words
    )
    return made, shown


def _ordered(one: float, other: float) -> tuple[float, float]:
    return (one, other) if one <= other else (other, one)


def _shown(bench: Bench, asked: Probe, fault: str) -> float | None:
    """The reading, or the comparison, under a fault; None where the circuit has no answer."""
    now = _value(bench.at(asked.state, fault), asked.reading)
    if asked.before is None or now is None:
        return now
    then = _value(bench.at(asked.before[1], fault), asked.before[0])
    return None if then is None else _compared(asked.bounds.compared, now, then)


def _value(stood: Stood, reading: Reading) -> float | None:
    if isinstance(stood.settled, Trouble):
        return None
    value = quick(stood.settled, reading)
    if value is not None:
        return value
    shown = read(stood.network, reading, stood.standing)
    return None if isinstance(shown, Trouble) else shown.value


def _compared(how: str, now: float, then: float) -> float | None:
    if isinf(now) or isinf(then) or (how == "share" and then == 0):
        return None
    return {"drop": then - now, "within": now - then, "share": now / then if then else nan}[how]


def _bands(bench: Bench, asked: Probe, *, stated: bool) -> Band | None:
    here = bench.at(asked.state)
    if asked.before is None:
        found = band(here.network, asked.reading, here.standing, stated=stated)
        return None if isinstance(found, Trouble) else found
    nominal = _shown(bench, asked, "")
    if nominal is None:
        return None
    found_values = [nominal, *_sampled(bench, asked, stated=stated)]
    return Band(min(found_values), nominal, max(found_values))


def _sampled(bench: Bench, asked: Probe, *, stated: bool) -> list[float]:
    """Comparisons at corners drawn by a seed: both readings are of the same machine."""
    if asked.before is None:
        return []
    drawn = random.Random(SEED)
    here, there = bench.at(asked.state), bench.at(asked.before[1])
    sizes = [each for each in here.network.elements if each.tolerance > 0 and (each.stated or not stated)]
    found = []
    for _ in range(CORNERS):
        factors = {each.name: 1 + drawn.choice((-1, 1)) * each.tolerance for each in sizes}
        now = _value(_settled(here, factors), asked.reading)
        then = _value(_settled(there, factors), asked.before[0])
        value = None if now is None or then is None else _compared(asked.bounds.compared, now, then)
        if value is not None:
            found.append(value)
    return found


def _settled(stood: Stood, factors: Mapping[str, float]) -> Stood:
    moved = _moved(stood.network, factors)
    return Stood(moved, settle(moved, stood.standing))


def _moved(network: Network, factors: Mapping[str, float]) -> Network:
    return network._replace(
        elements=tuple(each.scaled(factors[each.name]) if each.name in factors else each for each in network.elements)
    )
