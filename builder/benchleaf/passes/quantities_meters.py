"""Instruments: ranges that make sense, and whether the one named at a step reaches the limit."""

from collections.abc import Iterator

from benchleaf.base.finding import Finding, Related
from benchleaf.model.amounts import parse_range
from benchleaf.model.bind import finding_of
from benchleaf.model.limit import Limit
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Step
from benchleaf.model.quantity import Fault, fit
from benchleaf.model.shop import Meter, MeterRange, Shop
from benchleaf.passes import quantities_meter_rules as meter_rules
from benchleaf.passes import quantities_rules as rules
from benchleaf.passes.quantities_limits import Size, bounds, dimension_of, read
from benchleaf.passes.quantities_tables import difference_of, ranges_for


def of_shop(shop: Shop) -> Iterator[Finding]:
    """What is wrong with the ranges of meters and wrenches."""
    for meter in shop.meters.values():
        for kind, ranges in meter.ranges.items():
            measure = measures().get(kind)
            for each in ranges if measure else ():
                yield from _range(each, measure.dimension if measure else "")
    yield from _proving_unit(shop)
    for wrench in shop.wrenches.values():
        if wrench.from_.quantity.base >= wrench.to.quantity.base:
            sentence = f"The wrench goes from {wrench.from_} to {wrench.to}."
            yield rules.RANGE_OUT_OF_ORDER.at(wrench.to.span, sentence)


def _proving_unit(shop: Shop) -> Iterator[Finding]:
    unit = shop.proving_unit
    found = parse_range(unit.range, "voltage") if unit else None
    if unit and isinstance(found, Fault):
        sentence = f"The voltages of the proving unit can't be read: {found.sentence}"
        mend = f"Write `{found.change}`." if found.change and found.length == len(found.text) else found.mend
        yield rules.RANGE_OUT_OF_ORDER.at(unit.span, sentence, mend=mend)


def _range(each: MeterRange, dimension: str) -> Iterator[Finding]:
    sizes = {
        "to": read(each.to, dimension),
        "from": read(each.from_, dimension),
        "resolution": read(each.resolution, difference_of(dimension)),
        "test_voltage": read(each.test_voltage, "voltage"),
    }
    yield from (size for size in sizes.values() if isinstance(size, Finding))
    to, start, resolution = sizes["to"], sizes["from"], sizes["resolution"]
    if isinstance(to, Size) and isinstance(start, Size) and start.quantity.base >= to.quantity.base:
        yield rules.RANGE_OUT_OF_ORDER.at(to.span, f"The range goes from {start.text} to {to.text}.")
    elif isinstance(to, Size) and start is None and to.quantity.value <= 0:
        yield rules.RANGE_OUT_OF_ORDER.at(to.span, f"A range that goes to {to.text} needs a `from` below it.")
    if isinstance(resolution, Size) and resolution.quantity.value <= 0:
        yield rules.IMPOSSIBLE.at(resolution.span, f"An instrument does not resolve `{resolution.text}`.")
    accuracy = each.accuracy.accuracy
    if accuracy.digits and each.resolution is None:
        sentence = f"`{accuracy.text}` counts digits, and the range does not say how large one is."
        yield meter_rules.DIGITS_WITHOUT_RESOLUTION.at(each.accuracy.span, sentence)
    fixed = fit(accuracy.fixed, difference_of(dimension)) if accuracy.fixed else None
    if isinstance(fixed, Fault):
        yield finding_of(fixed, each.accuracy.span)


def of_step(step: Step, limit: Limit, shop: Shop) -> Iterator[Finding]:
    """Whether the step names an instrument, and whether that one takes the reading and reaches the limit."""
    if step.meter is None:
        if not step.installed:
            sentence = f"This step does not say with what `{step.object.text}` is measured."
            yield rules.NO_METER.at(step.object.span, sentence)
        return
    meter = shop.meters.get(step.meter.name)
    if meter is None:
        return
    kinds = ranges_for(limit.measure.name)
    ranges = [each for kind in kinds for each in meter.ranges.get(kind, ())]
    if not ranges:
        # Ranges that nobody can read are told where they stand.
        if any(kind in meter.ranges for kind in kinds):
            return
        has = ", ".join(f"`{kind}`" for kind in meter.ranges)
        sentence = f"`{step.meter.name}` has no range for `{limit.measure.name}`; it has {has}."
        yield rules.METER_LACKS_KIND.at(step.meter.span, sentence, related=_meter_at(meter))
        return
    yield from _reach(step, limit, meter, ranges)


def _meter_at(meter: Meter) -> tuple[Related, ...]:
    return (Related(meter.span, "The instrument is described here."),)


def _reach(step: Step, limit: Limit, meter: Meter, ranges: list[MeterRange]) -> Iterator[Finding]:
    dimension = dimension_of(limit)
    wanted = [value for value in bounds(limit) if value is not None]
    tops = [size.quantity for each in ranges if isinstance(size := read(each.to, dimension), Size)]
    if step.meter is None or not wanted or not tops:
        return
    top = max(tops, key=lambda quantity: quantity.base)
    starts = [size.quantity for each in ranges if isinstance(size := read(each.from_, dimension), Size)]
    start = min(starts, key=lambda quantity: quantity.base) if len(starts) == len(ranges) else None
    # Where no range says where it begins, leads can be swapped: only the size of the reading counts.
    if max(wanted) > top.base or (start is None and min(wanted) < -top.base):
        sentence = f"`{step.meter.name}` reads up to {top.text}, which does not reach the limit `{step.object.text}`."
        yield rules.METER_RANGE_SHORT.at(step.meter.span, sentence, related=_meter_at(meter))
    if start is not None and min(wanted) < start.base:
        sentence = f"`{step.meter.name}` reads from {start.text} on, above a side of the limit `{step.object.text}`."
        yield rules.METER_RANGE_SHORT.at(step.meter.span, sentence, related=_meter_at(meter))
