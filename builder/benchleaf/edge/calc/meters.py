"""A quantity in another unit, and what a reading decides, for `calc convert` and `calc guardband`."""

from benchleaf.edge.calc.complaint import Misfit
from benchleaf.edge.calc.given import Answer, Given, Values
from benchleaf.model.amounts import Accuracy
from benchleaf.model.quantity import Fault, Quantity, fit
from benchleaf.model.units import Unit, find, nearest, spellings, usual_unit
from benchleaf.trade.guard import guarded, specific_risk, uncertainty_ratio
from benchleaf.trade.meters import uncertainty
from benchleaf.trade.rounding import convert as converted

_GAUGE_AND_ABSOLUTE = {"pressure", "absolute-pressure"}


def convert(given: Given) -> Answer:
    """A quantity in another unit."""
    quantity, name = given.value("value", Quantity), given.word("to")
    target = find(name, quantity.dimension)
    if target is None:
        target = find(name)
        if target and {target.dimension, quantity.dimension} == _GAUGE_AND_ABSOLUTE:
            sentence = f"`{quantity.text}` counts from the pressure of the air around, `{name}` from none at all."
            raise Misfit("to", sentence, "Add that pressure, and write the value in `bar(a)` or `psia`.")
        other = fit(quantity, target.dimension) if target else None
        if target is None or not isinstance(other, Quantity):
            raise Misfit("to", *_no_unit(quantity, name, target))
        quantity = other
    result = converted(quantity, target)
    formula = "by the exact factor between the units" if result.exact else "by the factor between the units"
    if quantity.unit.offset or target.offset:
        formula = "by the exact factor and zero of the two scales"
    # Unmarked, it would be taken for gauge pressure.
    shown = target.symbol if target.dimension == "absolute-pressure" else name
    values: Values = {
        "converted": quantity.number(target),
        "printed": f"{result.printed:f}",
        "exact": result.exact,
    }
    return Answer(values, formula, "NIST SP 811 (2008), appendix B: factors B.8, rounding B.7", shown)


def _no_unit(quantity: Quantity, name: str, found: Unit | None) -> tuple[str, str]:
    dimension = quantity.dimension.replace("-", " ")
    usual = usual_unit(quantity.dimension).symbol
    if found:
        measures = found.dimension.replace("-", " ")
        return f"`{name}` is a unit of {measures}; `{quantity.text}` is {dimension}.", f"Write one as `{usual}`."
    near = nearest(name, quantity.dimension) or (usual,)
    return f"`{name}` is no unit that is read here.", "Write one as " + ", ".join(f"`{each}`" for each in near) + "."


def guardband(given: Given) -> Answer:
    """Uncertainty of a reading by the meter's accuracy, acceptance limits, ratio and risk."""
    limits = [given.value(key, Quantity) for key in ("low", "high") if given.has(key)]
    unit = limits[0].unit
    low, high, reading = (_of(given, key, unit) for key in ("low", "high", "reading"))
    if low is not None and high is not None and low > high:
        raise Misfit("low", "The lower limit is above the upper one.", "Give the smaller one as `low`.")
    accuracy = given.value("accuracy", Accuracy)
    step = _difference_unit(unit)
    resolution = _fitted(given.value("resolution", Quantity), step, "resolution")
    fixed = 0.0 if accuracy.fixed is None else _fitted(accuracy.fixed, step, "accuracy")
    at = reading if reading is not None else max((x for x in (low, high) if x is not None), key=abs)
    found = uncertainty(at, float(accuracy.percent), accuracy.digits, resolution, fixed, given.value("coverage", float))
    accepted = guarded(low, high, found.expanded)
    values: Values = {
        "half-width": found.half_width,
        "standard-uncertainty": found.standard,
        "expanded-uncertainty": found.expanded,
    }
    if accepted.low is not None:
        values["accept-low"] = accepted.low
    if accepted.high is not None:
        values["accept-high"] = accepted.high
    if low is not None and high is not None and found.expanded:
        values["tur"] = uncertainty_ratio(low, high, found.expanded)
    if reading is not None:
        values["risk"] = specific_risk(reading, found.standard, low, high)
    where = "the reading" if reading is not None else "the larger limit"
    inner = "a/√3" if accuracy.digits else "√(a² + (resolution/2)²)/√3"
    formula = (
        f"a = accuracy at {where}; u = {inner}; U = k u; accept from low + U to high - U; "
        "tur = (high - low)/(2 U); risk = normal share outside the limits"
    )
    if accepted.is_empty:
        formula += "; the guard bands meet: no reading is surely good"
    source = "GUM (JCGM 100) 4.3.7 and F.2.2.1; ILAC-G8:09/2019 (w = U); JCGM 106 clause 7"
    return Answer(values, formula, source, unit.symbol)


def _of(given: Given, key: str, unit: Unit) -> float | None:
    return _fitted(given.value(key, Quantity), unit, key) if given.has(key) else None


def _fitted(quantity: Quantity, unit: Unit, key: str) -> float:
    read = fit(quantity, unit.dimension)
    if isinstance(read, Fault):
        raise Misfit(key, read.sentence, read.mend)
    return read.number(unit)


def _difference_unit(unit: Unit) -> Unit:
    """The unit of a difference of two values in a unit: one of two temperatures is no temperature."""
    if unit.dimension != "temperature":
        return unit
    return next(same for name in spellings(unit) if (same := find(name, "temperature-difference")))
