"""Readings and tightenings as a card shows them: points, instrument, limit, blanks; torque, stages, order."""

from collections.abc import Mapping, Sequence
from decimal import Decimal

from benchleaf.base.said import row
from benchleaf.card.acceptance import with_meters, with_provers
from benchleaf.card.bands import band, value
from benchleaf.card.choices import Numbers
from benchleaf.card.records import Band, BoltPlace, Point, Reading, Tightening
from benchleaf.card.subjects import point_of, subject
from benchleaf.card.wording import has_word, word
from benchleaf.model.basics import Amount
from benchleaf.model.expected import Expected
from benchleaf.model.fastener import Fastener
from benchleaf.model.flow import Flow, Station
from benchleaf.model.identifiers import each_value, spellings
from benchleaf.model.limit import Limit
from benchleaf.model.plan import Inserted
from benchleaf.model.procedure import Step
from benchleaf.model.quantity import Quantity, make
from benchleaf.model.relations import earlier_station
from benchleaf.model.shop import Meter, Shop
from benchleaf.passes.base import Case
from benchleaf.passes.quantities_around import around
from benchleaf.passes.quantities_limits import bounds
from benchleaf.passes.quantities_proofs import Prover, provers, zero_limit
from benchleaf.passes.quantities_verdict import LOW_OHMS, unit_of
from benchleaf.safety.naming import energy_name, measured
from benchleaf.trade.numbers import printed
from benchleaf.trade.patterns import bolt_order, bolt_places
from benchleaf.trade.tightening import Friction, parse_friction

_BY_LEADS = ("resistance", "continuity")
# Top in Ω of the lowest range of a meter made for contacts and leads: common practice, no source.
FEW_OHMS = 2


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
    able = provers_of(case, step)
    if able and prove is not None and prove.below is not None:
        limit = with_provers(limit, case.shop, able, zero_limit(prove, prove.below))
    pairs = tuple((point_of(case.machine, red), point_of(case.machine, black)) for red, black in proof.pairs)
    blanks = tuple(f"{red.key}–{black.key}" for red, black in pairs) or (energy_name(case.machine, key),)
    by_volts = proof.measure in ("dc-voltage", "ac-voltage")
    instrument = tester(able) if by_volts else proof.instrument
    prover = able[0].key if able else ""
    return Reading(proof.measure, measured(proof.measure), proof.unit, limit, pairs, instrument, prover, blanks=blanks)


def provers_of(case: Case, step: Inserted) -> tuple[Prover, ...]:
    """The meters with which the step may prove zero by voltage, or polarity, the one to take first."""
    energies = [case.machine.energy[key] for key in step.energies if key in case.machine.energy]
    return provers(case.shop, energies, tested_by(step))


def tested_by(step: Inserted) -> str:
    """The measure by which an inserted step proves zero or polarity; empty where it measures nothing."""
    return step.proof.measure if step.proof else "dc-voltage" if step.role == "polarity" else ""


def tester(able: Sequence[Prover]) -> str:
    """What the voltage tester is called: by its name, beside the word where the name does not hold it."""
    plain = word("plain", "tester")
    if not able:
        return plain
    name = able[0].meter.name.text
    return name if plain in name.casefold() else word("plain", "tester-is", name=name)


def reading(
    case: Case, flow: Flow, station: Station, limit: Limit, numbers: Numbers, expected: Expected | None
) -> Reading:
    """The reading of a written `measure`: points, instrument, limit in words, blanks to fill in."""
    step = station.step
    points = step.between or limit.between
    each = [dict(zip(step.each, chosen, strict=True)) for chosen in _each(step)]
    pairs = _pairs(case, [point.name for point in points], step.each)
    meter = case.shop.meters.get(step.meter.name) if step.meter else None
    plain = band(step.object.text, limit, case.shop, numbers.steps)
    return Reading(
        measure=limit.measure.name,
        label=measured(limit.measure.name),
        unit=_unit_of(_compared(case, flow, station, limit)),
        band=with_meters(plain, case, station, limit, around(case.machine, flow, station, limit, expected)),
        pairs=pairs,
        instrument=meter.name.text if meter is not None else "",
        instrument_key=step.meter.name if step.meter else "",
        how=_how(limit, meter, case.shop),
        blanks=tuple(" ".join(f"{name} {text}" for name, text in one.items()) for one in each) if step.each else ("",),
        repeat=_repeat(step),
    )


def _how(limit: Limit, meter: Meter | None, shop: Shop) -> str:
    """What the instrument is set to, or what is done with it first; empty where nothing must be said."""
    if limit.test_voltage:
        return word("plain", "test-voltage", value=printed(limit.test_voltage.quantity, shop.units))
    tops = [each.to.quantity.number() for kind in _BY_LEADS for each in meter.ranges.get(kind, ())] if meter else []
    # A meter whose ranges begin this low has leads of its own for it.
    if limit.measure.name not in _BY_LEADS or not tops or min(tops) <= FEW_OHMS:
        return ""
    low, high = bounds(limit)
    largest = max((side for side in (low, high) if side is not None), default=None)
    return word("plain", "zero-leads") if largest is not None and largest < LOW_OHMS else ""


def _each(step: Step) -> list[tuple[str, ...]]:
    """The values of the blanks of `each`, blank by blank side by side (one blank in nearly every case)."""
    columns = [each_value(text) for text in step.each.values()]
    return list(zip(*columns, strict=False)) if columns else []


def _unit_of(limit: Limit) -> str:
    """The unit in which a reading is written down; empty where nothing says it."""
    return "" if limit.open or limit.share else unit_of(limit).symbol


def _compared(case: Case, flow: Flow, station: Station, limit: Limit) -> Limit:
    """The limit of the earlier reading of which this one is a share; the limit itself otherwise."""
    if limit.share is None:
        return limit
    key = earlier_station({each.key for each in flow.stations}, station.key, limit.share.of.name)
    earlier = case.machine.limits.get(flow.station(key).step.object.text) if key else None
    return earlier or limit


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
    if step.repeat.keep == "all":
        return word("plain", "repeat-all", times=step.repeat.times)
    return word("plain", "repeat", times=step.repeat.times, keep=word("keep", step.repeat.keep))


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
    pattern = fastener.pattern.name if fastener.pattern else "circle"
    return Tightening(
        fastener=step.object.text,
        name=subject(case, step),
        thread=row(
            (fastener.thread.text, word("plain", "class", name=fastener.class_) if fastener.class_ else ""), ", "
        ),
        count=count,
        torque=value(whole.quantity, case.shop) if whole is not None else None,
        stages=tuple(stages),
        pattern=pattern,
        order=bolt_order(sequence, count, pattern),
        wrench=wrench.name.text if wrench is not None else "",
        info=fastener.locking.text if fastener.locking else "",
        source=fastener.source,
        lubrication=_lubrication(fastener),
        angle=_printed("angle", fastener.angle, case),
        prevailing=_printed("prevailing", fastener.prevailing, case),
        places=tuple(BoltPlace(round(x * 1000), round(y * 1000)) for x, y in bolt_places(count, pattern))
        if sequence
        else (),
    )


def _lubrication(fastener: Fastener) -> str:
    """How thread and bearing face must be for the torque to hold; empty where a number stands for it, or nothing."""
    friction = parse_friction(fastener.friction.name) if fastener.friction else None
    known = isinstance(friction, Friction) and has_word("friction", friction.word)
    return word("friction", friction.word) if known and isinstance(friction, Friction) else ""


def _printed(key: str, amount: Amount | None, case: Case) -> str:
    return word("plain", key, value=printed(amount.quantity, case.shop.units)) if amount else ""


def _scaled(quantity: Quantity, share: Decimal) -> Quantity:
    """A quantity times a share, in the same unit, without idle zeros."""
    return make((quantity.value * share).normalize(), quantity.unit)
