"""How often a meter's verdict is wrong: for one accepted reading, and for all things made where their spread is stated.

Values are exact fractions in the base unit of what is measured; readings lie normally around the true value with the
meter's standard uncertainty U/k (JCGM 106:2012, clause 7 and 9.5).
"""

from fractions import Fraction
from typing import NamedTuple

from benchleaf.model.limit import Limit, Process
from benchleaf.passes.quantities_decision import Decision, Edge
from benchleaf.passes.quantities_limits import Size, dimension_of, read
from benchleaf.passes.quantities_tables import difference_of
from benchleaf.trade.guard import Risks, Zone, global_risks, specific_risk
from benchleaf.trade.meters import COVERAGE

# Accepts nothing.
NOTHING = Zone(1.0, 0.0)


class Made(NamedTuple):
    """The true values of all things made: mean and standard deviation in the base unit."""

    mean: Fraction
    deviation: Fraction


def made(process: Process, dimension: str) -> Made | None:
    """A process in the dimension of its limit; None where it is written in another, or has no spread."""
    mean, deviation = read(process.mean, dimension), read(process.standard_deviation, difference_of(dimension))
    if not isinstance(mean, Size) or not isinstance(deviation, Size) or deviation.quantity.value <= 0:
        return None
    # The zero of a scale of temperature does not count in a spread.
    width = Fraction(deviation.quantity.value) * deviation.quantity.unit.factor
    return Made(mean.quantity.base, width)


def guarded_ends(decision: Decision) -> tuple[Fraction | None, Fraction | None]:
    """The ends of the surely good readings, before they are put on the steps of the meter."""
    low, high = decision.low, decision.high
    return low.value + low.guard if low else None, high.value - high.guard if high else None


def accepted_risk(decision: Decision, least: Fraction | None, most: Fraction | None) -> float | None:
    """The specific risk of the accepted readings from `least` to `most`, where it is greatest: at one of these ends.

    None where nothing is accepted.
    """
    ends = [(end, edge) for end, edge in ((least, decision.low), (most, decision.high)) if edge and end is not None]
    if not ends or (least is not None and most is not None and least > most):
        return None
    limits = _zone(*(edge.value if edge else None for edge in (decision.low, decision.high)))
    return max(specific_risk(float(end), _standard(edge), limits.low, limits.high) for end, edge in ends)


def risks_of_all(limit: Limit, decision: Decision, least: Fraction | None, most: Fraction | None) -> Risks | None:
    """Global risks of accepting from `least` to `most`; None where the limit states no process.

    Both ends None: nothing is accepted.
    """
    process = made(limit.process, dimension_of(limit)) if limit.process else None
    standard = max(_standard(edge) for edge in decision.edges)
    if process is None or not standard:
        return None
    limits = _zone(*(edge.value if edge else None for edge in (decision.low, decision.high)))
    accepted = NOTHING if least is None and most is None else _zone(least, most)
    return global_risks(float(process.mean), float(process.deviation), standard, limits, accepted)


def _standard(edge: Edge) -> float:
    return float(edge.expanded) / COVERAGE


def _zone(low: Fraction | None, high: Fraction | None) -> Zone:
    return Zone(None if low is None else float(low), None if high is None else float(high))
