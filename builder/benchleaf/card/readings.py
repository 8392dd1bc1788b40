"""Readings and tightenings as a card shows them: points, instrument, limit, blanks; torque, stages, order."""

from collections.abc import Mapping
from decimal import Decimal

from benchleaf.card.bands import band, edges, value
from benchleaf.card.choices import Numbers
from benchleaf.card.records import Band, Point, Reading, Tightening
from benchleaf.card.subjects import point_of, subject
from benchleaf.card.wording import word
from benchleaf.model.identifiers import each_value, spellings
from benchleaf.model.limit import Limit
from benchleaf.model.measures import measures
from benchleaf.model.plan import Inserted
from benchleaf.model.procedure import Step
from benchleaf.model.quantity import Quantity, make
from benchleaf.passes.base import Case
from benchleaf.safety.naming import energy_name, spoken
from benchleaf.trade.numbers import printed
from benchleaf.trade.patterns import bolt_order


def proof_reading(case: Case, step: Inserted) -> Reading:
    """The reading of an inserted proof of zero: every pair of points below the limit of the proof."""
    proof = step.proof
    assert proof is not None
    key = step.energies[0]
    prove = case.machine.energy[key].prove
    below = prove.below.quantity if prove is not None and prove.below is not None else None
    high = value(below, case.shop, "high") if below is not None else None
    sentence = word("plain", "below", value=high.printed) if high else ""
    limit = Band(f"prove-{key}", energy_name(case.machine, key), "proof", sentence, high=high)
    pairs = tuple((point_of(case.machine, red), point_of(case.machine, black)) for red, black in proof.pairs)
    blanks = tuple(f"{red.key}–{black.key}" for red, black in pairs) or (energy_name(case.machine, key),)
    measure = measures().get(proof.measure)
    by_volts = proof.measure in ("dc-voltage", "ac-voltage")
    instrument = word("plain", "tester") if by_volts else proof.instrument
    label = measure.label if measure else spoken(proof.measure)
    return Reading(proof.measure, label, proof.unit, limit, pairs, instrument, blanks=blanks)


def reading(case: Case, step: Step, limit: Limit, numbers: Numbers) -> Reading:
    """The reading of a written `measure`: points, instrument, limit in words, blanks to fill in."""
    measure = measures().get(limit.measure.name)
    points = step.between or limit.between
    each = [dict(zip(step.each, chosen, strict=True)) for chosen in _each(step)]
    pairs = _pairs(case, [point.name for point in points], step.each)
    meter = case.shop.meters.get(step.meter.name) if step.meter else None
    low, nominal, high = edges(limit)
    first = low or nominal or high
    return Reading(
        measure=limit.measure.name,
        label=measure.label if measure else spoken(limit.measure.name),
        unit=first.unit.symbol if first else _unit_of(limit),
        band=band(step.object.text, limit, case.shop, numbers.steps),
        pairs=pairs,
        instrument=meter.name.text if meter is not None else "",
        instrument_key=step.meter.name if step.meter else "",
        how=word("plain", "test-voltage", value=printed(limit.test_voltage.quantity, case.shop.units))
        if limit.test_voltage
        else "",
        blanks=tuple(" ".join(f"{name} {text}" for name, text in one.items()) for one in each) if step.each else ("",),
        repeat=_repeat(step),
    )


def _each(step: Step) -> list[tuple[str, ...]]:
    """The values of the blanks of `each`, blank by blank side by side (one blank in nearly every case)."""
    columns = [each_value(text) for text in step.each.values()]
    return list(zip(*columns, strict=False)) if columns else []


def _unit_of(limit: Limit) -> str:
    for relation in (limit.within, limit.drop, limit.spread, limit.steady, limit.falls_by):
        amount = (
            getattr(relation, "value", None) or getattr(relation, "at_most", None) or getattr(relation, "within", None)
        )
        if amount is not None:
            return str(amount.quantity.unit.symbol)
    for row in limit.by_temperature:
        amount = row.low or row.high
        if amount is not None:
            return amount.quantity.unit.symbol
    return ""


def _pairs(case: Case, names: list[str], each: Mapping[str, str]) -> tuple[tuple[Point, Point], ...]:
    if len(names) != 2:
        return ()
    reds, blacks = spellings(names[0], each), spellings(names[1], each)
    rows = max(len(reds), len(blacks))
    return tuple(
        (point_of(case.machine, reds[place % len(reds)]), point_of(case.machine, blacks[place % len(blacks)]))
        for place in range(rows)
    )


def _repeat(step: Step) -> str:
    if step.repeat is None:
        return ""
    key = "repeat-all" if step.repeat.keep == "all" else "repeat"
    return word("plain", key, times=step.repeat.times, keep=step.repeat.keep)


def tightening(case: Case, step: Step) -> Tightening | None:
    """The joint that a `tighten` names, with torque and stages printed; None where it names none."""
    fastener = case.machine.fasteners.get(step.object.text)
    if fastener is None:
        return None
    wrench = case.shop.wrenches.get(step.wrench.name) if step.wrench else None
    whole = fastener.torque
    shares = [stage.quantity.to("1") for stage in fastener.stages]
    stages = [value(_scaled(whole.quantity, share), case.shop) for share in shares] if whole is not None else []
    count = fastener.count
    sequence = tuple(ref.name for ref in fastener.sequence)
    return Tightening(
        fastener=step.object.text,
        name=subject(case, step),
        thread=f"{fastener.thread}, {word('plain', 'class', name=fastener.class_)}"
        if fastener.class_
        else fastener.thread.text,
        count=count,
        torque=value(whole.quantity, case.shop) if whole is not None else None,
        stages=tuple(stages),
        pattern=fastener.pattern.name if fastener.pattern else "circle",
        order=bolt_order(sequence, count),
        wrench=wrench.name.text if wrench is not None else "",
        info=fastener.locking.text if fastener.locking else "",
        source=fastener.source,
    )


def _scaled(quantity: Quantity, share: Decimal) -> Quantity:
    """A quantity times a share, in the same unit, without idle zeros."""
    return make((quantity.value * share).normalize(), quantity.unit)
