"""Whether the meter named at a step decides the limit, and what makes it fail to: its accuracy, its leads, its load."""

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from benchleaf.base.finding import Finding, Related
from benchleaf.model.limit import Limit
from benchleaf.model.procedure import Step
from benchleaf.model.shop import Meter
from benchleaf.model.units import Unit, base_unit
from benchleaf.passes import quantities_meter_rules as rules
from benchleaf.passes.quantities_decision import Around, Decision, decide, difference_limit
from benchleaf.passes.quantities_limits import dimension_of
from benchleaf.passes.quantities_risk import guarded_ends, risks_of_all
from benchleaf.trade.numbers import with_unit
from benchleaf.trade.rounding import half_even

# Test uncertainty ratios under which the meter can't decide, decides badly, decides with little room.
UNDECIDED, BADLY, BARELY = 1, 2, 4
MOST_OF_ONE_SIDE = 0.25
# Below this, the leads of a meter count: they have some tenths of an ohm (common practice, no source).
LOW_OHMS = 10
_FIGURES = 2


def of_decision(step: Step, limit: Limit, meter: Meter, around: Around) -> Iterator[Finding]:
    """What the meter's uncertainty does to the limit; the last grade is told apart, being told once a procedure."""
    decision = decide(limit, meter, around)
    if decision is None or step.meter is None:
        return
    rule = None
    if decision.ratio is not None:
        grades = ((UNDECIDED, rules.CANNOT_DECIDE), (BADLY, rules.TOO_COARSE), (BARELY, rules.RATHER_COARSE))
        rule = next((each for below, each in grades if decision.ratio < below), None)
    elif decision.share is not None and decision.share > MOST_OF_ONE_SIDE:
        rule = rules.TOO_COARSE
    if rule is None:
        return
    mend = _cure(limit, decision, around) or rule.mend
    sentence = _sentence(step, limit, decision) + _of_all(limit, decision)
    yield rule.at(step.meter.span, sentence, mend=mend, related=_where(limit, meter, step))


def _of_all(limit: Limit, decision: Decision) -> str:
    """How many verdicts on all that is made are wrong, where the limit states its process."""
    least, most = guarded_ends(decision)
    if least is not None and most is not None and least > most:
        least = most = None
    found = risks_of_all(limit, decision, least, most)
    if found is None:
        return ""
    return (
        f" Of all that is made, {found.producer:.2g} would be good and refused, {found.consumer:.2g} bad and accepted."
    )


def _where(limit: Limit, meter: Meter, step: Step) -> tuple[Related, ...]:
    return (
        Related(limit.span, f"The limit `{step.object}` stands here."),
        Related(meter.span, "The instrument is described here."),
    )


def _sentence(step: Step, limit: Limit, decision: Decision) -> str:
    unit = unit_of(limit)
    doubt = size_text(decision.expanded, unit)
    name, key = step.meter.name if step.meter else "", step.object.text
    if decision.ratio is not None and decision.low and decision.high:
        width = size_text(decision.high.value - decision.low.value, unit)
        ratio = f"{decision.ratio:.2g}"
        return f"`{name}` reads `{key}` to ±{doubt}, and the limits lie {width} apart: a ratio of {ratio}."
    share = round((decision.share or 0) * 100)
    if difference_limit(limit) is not None:
        return f"`{name}` tells the difference in `{key}` to ±{doubt}, which is {share} % of the limit."
    return f"`{name}` reads `{key}` to ±{doubt}, which is {share} % of the limit."


def _cure(limit: Limit, decision: Decision, around: Around) -> str:
    """What helps where accuracy alone is not to blame; empty where it is."""
    worst = max(decision.edges, key=lambda edge: edge.expanded)
    if worst.loading * 2 > worst.expanded:
        behind = size_text(around.series, base_unit("resistance"))
        return (
            f"Most of it is the meter's own load, since the points lie behind {behind}: read nearer to the source, "
            "or with a meter of higher input resistance."
        )
    if dimension_of(limit) == "resistance" and all(abs(edge.value) < LOW_OHMS for edge in decision.edges):
        return (
            "So few ohms are read with a four-wire meter, or as a voltage drop at a known current; "
            "with two leads, hold them together first and take off what they read."
        )
    return ""


def unit_of(limit: Limit) -> Unit:
    """The unit in which the limit is written."""
    share = limit.share
    rows = (limit, *limit.by_temperature, *((share,) if share else ()))
    amounts = [amount for row in rows for amount in (row.low, row.high) if amount]
    if limit.nominal:
        amounts.append(limit.nominal)
    difference = difference_limit(limit)
    if not amounts and difference is None:
        raise ValueError("a limit without a number has no unit")
    return difference.unit if difference is not None else amounts[0].quantity.unit


def size_text(size: Fraction, unit: Unit) -> str:
    """A width in a unit, to two figures: the zero of a temperature scale does not count in it."""
    value = size / unit.factor
    if not value:
        return with_unit(Decimal(0), unit)
    places = _FIGURES - 1 - Decimal(float(abs(value))).adjusted()
    return with_unit(half_even(value, -places), unit)
