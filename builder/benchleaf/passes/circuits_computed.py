"""Limits that are taken from the circuit: what good machines show at all steps that read them, rounded outwards."""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from math import floor, isinf, log10

from benchleaf.model.basics import Amount
from benchleaf.model.flow import Station
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.quantity import make
from benchleaf.model.shop import Shop
from benchleaf.model.units import Unit, usual_unit
from benchleaf.passes.circuits_limits import in_unit, signless
from benchleaf.passes.circuits_points import KINDS, computable
from benchleaf.passes.circuits_state import Bench, reading_of
from benchleaf.passes.circuits_unknown import wanted
from benchleaf.trade.network import Trouble
from benchleaf.trade.network_read import Band, band

# Significant figures of a computed bound.
FIGURES = 3
_PREFIXED = {"voltage": ("mV", "V"), "current": ("mA", "A"), "resistance": ("mohm", "ohm", "kohm", "Mohm"),
             "capacitance": ("nF", "uF", "mF")}  # fmt: skip


def computed(machine: Machine, shop: Shop, bench: Bench, stations: tuple[Station, ...]) -> dict[str, Limit]:
    """The limits that the circuit gives, by name; one that it can't give at each of its steps is missing."""
    found: dict[str, list[Band | None]] = {}
    for station in stations:
        state = bench.state(station)
        if state is not None and wanted(machine, station) is not None:
            reading = None
            if computable(machine, station.step):
                here = bench.at(state)
                answer = band(here.network, reading_of(machine, shop, station.step), here.standing, stated=False)
                reading = None if isinstance(answer, Trouble) or answer.floating else answer
            found.setdefault(station.step.object.text, []).append(reading)
    return {
        name: made
        for name, bands in found.items()
        if (made := _limit(machine.limits[name], [each for each in bands if each], len(bands))) is not None
    }


def _limit(limit: Limit, bands: list[Band], count: int) -> Limit | None:
    values = [signless(limit, value) for each in bands for value in (each.low, each.high)]
    nominal = sum(signless(limit, each.nominal) for each in bands) / max(len(bands), 1)
    if len(bands) < count or any(isinf(value) for value in values) or max(values) <= min(values):
        return None
    unit = _unit(KINDS[limit.measure.name], max(abs(value) for value in values))
    low, high = in_unit(min(values), unit), in_unit(max(values), unit)
    step = 10 ** (floor(log10(max(abs(low), abs(high)))) - FIGURES + 1)
    place = Decimal(repr(step)).normalize()
    return limit._replace(
        low=_amount(limit, low, unit, place, ROUND_FLOOR),
        nominal=_amount(limit, in_unit(nominal, unit), unit, place, ROUND_HALF_EVEN),
        high=_amount(limit, high, unit, place, ROUND_CEILING),
    )


def _unit(dimension: str, largest: float) -> Unit:
    """The unit in which the largest value is a number from one up."""
    units = [usual_unit(dimension)]
    for symbol in _PREFIXED[dimension]:
        made = make(1, symbol).unit
        if largest >= float(made.factor):
            units.append(made)
    return units[-1]


def _amount(limit: Limit, value: float, unit: Unit, place: Decimal, way: str) -> Amount:
    # Rounding errors of the solver are no reason for another digit.
    exact = Decimal(f"{value:.9g}")
    return Amount(make(exact.quantize(place, way), unit), limit.from_.span if limit.from_ else limit.span)
