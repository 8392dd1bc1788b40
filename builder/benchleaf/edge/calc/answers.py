"""Which function answers which calculation, and results in the units that are asked for."""

from collections.abc import Callable, Mapping
from fractions import Fraction
from typing import NamedTuple

from benchleaf.edge.calc import joints, loads, meters, power
from benchleaf.edge.calc.catalogue import Calculation
from benchleaf.edge.calc.complaint import Misfit
from benchleaf.edge.calc.given import Answer, Given
from benchleaf.model.units import Unit, find, nearest, usual_unit

ANSWERS: Mapping[str, Callable[[Given], Answer]] = {
    "torque": joints.torque,
    "preload": joints.preload,
    "convert": meters.convert,
    "guardband": meters.guardband,
    "ventilation": power.ventilation,
    "short-circuit": power.short_circuit,
    "stored-energy": power.stored_energy,
    "discharge": power.discharge,
    "lift": loads.lift,
    "wire-drop": power.wire_drop,
    "battery-state": power.battery,
}


class Result(NamedTuple):
    """One result: a number with the spelling of its unit (empty for a truth), or a number as text."""

    value: float | str | bool
    unit: str


class Done(NamedTuple):
    """A calculation with its inputs as written, defaults included, and its results."""

    calculation: str
    inputs: Mapping[str, str]
    results: Mapping[str, Result]
    formula: str
    source: str


def answer(calculation: Calculation, given: Given, units: Mapping[str, str]) -> Done:
    """Calculate; raises Misfit where values do not go together, or a unit does not suit its result."""
    found = ANSWERS[calculation.name](given)
    results = {}
    for key, value in found.values.items():
        unit = calculation.results[key]
        if unit == "truth":
            results[key] = Result(value, "")
        elif unit in ("as asked", "text"):
            results[key] = Result(value, found.unit)
        elif isinstance(value, float | int):
            results[key] = _in_unit(key, float(value), found.unit if unit == "of the limit" else unit, units.get(key))
    for key in units:
        if key not in results:
            raise Misfit(f"unit.{key}", f"`{key}` has no value for these inputs.", "Leave its unit away.")
    return Done(calculation.name, given.texts, results, found.formula, found.source)


# Results that are a difference of two readings, where readings can be temperatures.
_DIFFERENCES = ("half-width", "standard-uncertainty", "expanded-uncertainty")


def _in_unit(key: str, value: float, spelling: str, asked: str | None) -> Result:
    unit = _unit_of(key, spelling)
    if asked is None:
        return Result(value, unit.symbol if key in _DIFFERENCES else spelling)
    wanted = find(asked, unit.dimension)
    if wanted is None:
        near = nearest(asked, unit.dimension) or (usual_unit(unit.dimension).symbol,)
        dimension = unit.dimension.replace("-", " ")
        mend = "Write one as " + ", ".join(f"`{each}`" for each in near) + "."
        raise Misfit(f"unit.{key}", f"`{asked}` is no unit of {dimension}, which `{key}` is.", mend)
    base = Fraction(value) * unit.factor + unit.offset
    return Result(float((base - wanted.offset) / wanted.factor), asked)


def _unit_of(key: str, spelling: str) -> Unit:
    dimension = {"N·m": "torque", "MPa": "stress", "J": "energy", "m3/h": "flow"}.get(spelling)
    unit = find(spelling, "temperature-difference") if key in _DIFFERENCES else None
    unit = unit or find(spelling, dimension) or find(spelling)
    if unit is None:
        raise KeyError(spelling)
    return unit
