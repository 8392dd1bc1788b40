"""What a step does with its instrument: clamp, polarity, test voltage, category, and whether it decides the limit."""

from collections.abc import Iterable, Iterator
from fractions import Fraction

from benchleaf.base.finding import Finding, Related
from benchleaf.model.energy import Energy
from benchleaf.model.expected import Expected
from benchleaf.model.flow import Flow
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Step
from benchleaf.model.shop import Meter
from benchleaf.model.units import base_unit
from benchleaf.passes import quantities_meter_rules as rules
from benchleaf.passes.base import Case
from benchleaf.passes.quantities_around import MEASURE, around, sources
from benchleaf.passes.quantities_limits import bounds, dimension_of
from benchleaf.passes.quantities_meters import of_step
from benchleaf.passes.quantities_slips import of_pieces
from benchleaf.passes.quantities_tables import ranges_for
from benchleaf.passes.quantities_verdict import of_decision, size_text
from benchleaf.trade.meters import Category, category_fits, parse_category

_CLAMPED = frozenset({"dc-current", "ac-current", "power"})
_POLAR = frozenset({"dc-voltage", "dc-current", "voltage-drop", "diode"})
# The lowest category that instruments are marked with.
_LOWEST = 2
_PHASES = 3
# Categories count from the voltage to earth (IEC 61010-2-030); between the lines of a star it is √3 times that.
_STAR = 3**0.5


def of_stations(case: Case, flow: Flow, expected: Expected | None) -> Iterator[Finding]:
    """Everything about the instruments of a procedure; that they decide with little room is told once."""
    barely: list[Finding] = []
    for station in flow.stations:
        limit = _limit(case.machine, station.step)
        if limit is None:
            continue
        yield from of_step(station.step, limit, case.shop)
        yield from _of_reading(station.step, limit)
        yield from of_pieces(case.machine, station.step, limit)
        meter = case.shop.meters.get(station.step.meter.name) if station.step.meter else None
        if meter is None:
            continue
        yield from _of_meter(case.machine, station.step, limit, meter)
        given = around(case.machine, flow, station, limit, expected)
        for finding in of_decision(station.step, limit, meter, given):
            if finding.slug == rules.RATHER_COARSE.slug:
                barely.append(finding)
            else:
                yield finding
    yield from _once(barely)


def _limit(machine: Machine, step: Step) -> Limit | None:
    return machine.limits.get(step.object.text) if step.action.name == MEASURE else None


def _once(found: Iterable[Finding]) -> Iterator[Finding]:
    """The first of several findings, the others beside it."""
    told = tuple(dict.fromkeys(found))
    for first in told[:1]:
        also = tuple(Related(each.span, each.sentence) for each in told[1:])
        yield first._replace(related=(*first.related, *also))


def _of_reading(step: Step, limit: Limit) -> Iterator[Finding]:
    kind = limit.measure.name
    label = measures()[kind].label if kind in measures() else kind
    if step.clamp and kind not in _CLAMPED:
        yield rules.CLAMP_WITHOUT_CURRENT.at(step.object.span, f"`{step.object}` is a {label}, which no clamp reads.")
    if step.reversed is None:
        return
    low, high = bounds(limit)
    if kind not in _POLAR:
        yield rules.NO_POLARITY.at(step.reversed.span, f"A {label} has no sign that could be reversed.")
    elif low is not None and low < 0 and (high is None or high > 0):
        sentence = f"Readings on both sides of zero are within `{step.object}`: nobody can tell which are reversed."
        yield rules.NO_POLARITY.at(step.reversed.span, sentence)


def _of_meter(machine: Machine, step: Step, limit: Limit, meter: Meter) -> Iterator[Finding]:
    if step.meter is None:
        return
    related = (Related(meter.span, "The instrument is described here."),)
    ranges = [each for kind in ranges_for(limit.measure.name) for each in meter.ranges.get(kind, ())]
    given = [each.test_voltage for each in ranges if each.test_voltage]
    texts = sorted({voltage.quantity.text for voltage in given})
    wanted = limit.test_voltage
    if wanted and given and not any(voltage.quantity.same(wanted.quantity) for voltage in given):
        sentence = f"`{step.meter}` tests with {', '.join(texts)}; `{step.object}` asks for {wanted}."
        yield rules.NO_SUCH_TEST_VOLTAGE.at(step.meter.span, sentence, related=related)
    elif wanted is None and len({voltage.quantity.base for voltage in given}) > 1:
        sentence = f"`{step.meter}` tests with {', '.join(texts)}; `{step.object}` does not say with which."
        yield rules.TEST_VOLTAGE_UNSAID.at(limit.span, sentence, related=related)
    yield from _category(machine, step, limit, meter)


def _category(machine: Machine, step: Step, limit: Limit, meter: Meter) -> Iterator[Finding]:
    why = may_not_connect(machine, step, limit, meter)
    if why and step.meter:
        related = (Related(meter.span, "The instrument is described here."),)
        yield rules.CATEGORY_TOO_LOW.at(step.meter.span, f"`{step.meter}` {why}.", related=related)


def may_not_connect(machine: Machine, step: Step, limit: Limit, meter: Meter) -> str:
    """Why the meter must not be connected there while it is live; empty where it may.

    A clamp stays outside of the insulation, and what is read with power off is proved dead before.
    """
    measure = measures().get(limit.measure.name)
    live = measure is not None and measure.power == "on" and measure.near == "probe" and step.power != "off"
    worst = max(sources(machine, step, limit), key=lambda source: source.highest, default=None)
    if not live or step.clamp or worst is None:
        return ""
    return beyond_rating(meter, worst.energy, worst.highest, by_voltage=dimension_of(limit) == "voltage")


def beyond_rating(meter: Meter, energy: Energy, highest: Fraction, by_voltage: bool) -> str:
    """What makes the energy, of at most `highest` V, too much for the meter; empty where it is not.

    A meter without category will do on what is no mains, as far as its ranges reach.
    """
    to_earth = float(highest) / (_STAR if energy.phases >= _PHASES else 1)
    carry = f"the points carry up to {size_text(highest, base_unit('voltage'))}"
    rated = parse_category(meter.category.text) if meter.category else None
    if isinstance(rated, Category):
        return "" if category_fits((rated,), Category(_LOWEST, to_earth)) else f"is rated {meter.category}; {carry}"
    tops = [each.to.quantity for ranges in meter.ranges.values() for each in ranges]
    reach = max((each.base for each in tops if each.dimension == "voltage"), default=highest)
    beyond = by_voltage and reach < highest
    return f"names no category; {carry}" if energy.kind.name == "mains" or beyond else ""
