"""What meters make of a limit, as card data: the band of surely good readings, grey stretches, uncertainty, ratio."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from math import ceil, floor, log10
from typing import NamedTuple

from benchleaf.base.said import row as together
from benchleaf.card.bands import value
from benchleaf.card.records import Band, BandRow, Grey, MeterBand, Value
from benchleaf.card.wording import word
from benchleaf.model.flow import Station
from benchleaf.model.limit import Limit
from benchleaf.model.quantity import make
from benchleaf.model.shop import Meter, Shop
from benchleaf.model.units import Unit, find
from benchleaf.passes.base import Case
from benchleaf.passes.quantities_around import GUARDED, decision_rule
from benchleaf.passes.quantities_decision import Around, Decision, Edge, decide, difference_limit
from benchleaf.passes.quantities_limits import dimension_of
from benchleaf.passes.quantities_proofs import Prover
from benchleaf.passes.quantities_risk import accepted_risk, risks_of_all
from benchleaf.passes.quantities_steps import may_not_connect
from benchleaf.passes.quantities_tables import difference_of
from benchleaf.passes.quantities_verdict import unit_of

# A meter that decides this badly is no alternative.
LEAST_RATIO, MOST_SHARE = 1.0, 0.5
_RATIO_FIGURES = 3
_RISK_FIGURES = 2
_MOST_PLACES = 15


class _View(NamedTuple):
    """How a limit is told: in which shop's units, by which decision rule, on which scale."""

    shop: Shop
    rule: str
    scale: "_Scale"


def with_meters(band: Band, case: Case, station: Station, limit: Limit, given: Around) -> Band:
    """The band with what the named meter and the others of the shop make of it; as it is where none says anything."""
    step, meters = station.step, case.shop.meters
    named = step.meter.name if step.meter else ""
    if named not in meters or limit.open:
        return band
    relative = limit.share is not None or difference_limit(limit) is not None
    scale = _Scale(unit_of(limit), dimension_of(limit), relative)
    view = _View(case.shop, decision_rule(limit, case.procedure, case.shop), scale)
    own = _of_meter(named, meters[named], limit, given, view, band.rows)
    if own is None:
        return band
    others = [
        _of_meter(key, meter, limit, given, view, band.rows)
        for key, meter in meters.items()
        if key != named and _is_like(meter, step.clamp) and not may_not_connect(case.machine, step, limit, meter)
        if (found := decide(limit, meter, given)) and not _is_hopeless(found)
    ]
    return _owned(band, own, view)._replace(others=tuple(one for one in others if one))


def with_provers(band: Band, shop: Shop, able: Sequence[Prover], limit: Limit) -> Band:
    """The limit of a proof of zero with the guarded bands of the meters that may prove it, the first one's first."""
    view = _View(shop, GUARDED, _Scale(unit_of(limit), dimension_of(limit), relative=False))
    found = [_of_meter(each.key, each.meter, limit, Around(), view, ()) for each in able]
    telling = [each for each in found[1:] if each and each.accept_high and Decimal(each.accept_high.value) > 0]
    return _owned(band, found[0], view)._replace(others=tuple(telling)) if found[0] else band


def _owned(band: Band, own: MeterBand, view: _View) -> Band:
    return band._replace(
        decision=view.rule,
        meter=own.name,
        accept_low=own.accept_low,
        accept_high=own.accept_high,
        grey=own.grey,
        uncertainty=own.uncertainty,
        ratio=own.ratio,
        specific_risk=own.specific_risk,
        consumer_risk=own.consumer_risk,
        producer_risk=own.producer_risk,
        accept=own.accept,
        doubt=own.doubt,
        rows=own.rows or band.rows,
    )


def _of_meter(
    key: str, meter: Meter, limit: Limit, given: Around, view: _View, rows: tuple[BandRow, ...]
) -> MeterBand | None:
    """What one meter makes of the limit, at each temperature where it depends on that."""
    if limit.by_temperature:
        return _by_temperature(key, meter, limit, given, view, rows)
    decision = decide(limit, meter, given)
    return _meter_band(key, meter, decision, limit, view) if decision else None


def _by_temperature(
    key: str, meter: Meter, limit: Limit, given: Around, view: _View, rows: tuple[BandRow, ...]
) -> MeterBand | None:
    """Each row with what is surely good there; uncertainty and ratio where they are worst."""
    shown, made = [], []
    for row, blank in zip(limit.by_temperature, rows, strict=True):
        alone = limit._replace(low=row.low, high=row.high, by_temperature=())
        decision = decide(alone, meter, given)
        if decision is None:
            return None
        made.append(_meter_band(key, meter, decision, alone, view))
        shown.append(blank._replace(accept_low=made[-1].accept_low, accept_high=made[-1].accept_high))
    texts = [
        word("band", "at", band=one.accept, temperature=row.at.printed) for one, row in zip(made, rows, strict=True)
    ]
    worst = max(made, key=lambda one: Decimal(one.uncertainty.value))
    risk = max((one.specific_risk for one in made), key=lambda text: Decimal(text or 0))
    return worst._replace(
        accept_low=None, accept_high=None, grey=(), accept=together(texts, "; "), specific_risk=risk, rows=tuple(shown)
    )


def _is_like(meter: Meter, clamp: bool) -> bool:
    """Whether a meter can stand in where a clamp is asked for: one that is called so."""
    return ("clamp" in meter.name.text.casefold()) == clamp


def _is_hopeless(decision: Decision) -> bool:
    if decision.ratio is not None:
        return decision.ratio < LEAST_RATIO
    return decision.share is not None and decision.share > MOST_SHARE


def _meter_band(key: str, meter: Meter, decision: Decision, limit: Limit, view: _View) -> MeterBand:
    scale, shop = view.scale, view.shop
    low, high = decision.low, decision.high
    least = scale.inward(low, up=True) if low else None
    most = scale.inward(high, up=False) if high else None
    if least is not None and most is not None and least > most:
        least = most = None
    accept_low = value(make(least, scale.unit), shop, "low") if least is not None else None
    accept_high = value(make(most, scale.unit), shop, "high") if most is not None else None
    zones = scale.grey(low, high, least, most, outside=view.rule != GUARDED)
    within = value(make(scale.reach(decision), scale.difference), shop)
    ends = scale.base(least), scale.base(most)
    of_all = risks_of_all(limit, decision, *ends)
    return MeterBand(
        key,
        meter.name.text,
        accept_low,
        accept_high,
        tuple(Grey(value(make(start, scale.unit), shop), value(make(end, scale.unit), shop)) for start, end in zones),
        value(make(scale.width(decision.expanded), scale.difference), shop),
        _share(decision.ratio, _RATIO_FIGURES),
        _accepted(accept_low, accept_high),
        word("band", "doubt", width=within.printed) if view.rule != GUARDED else "",
        _share(accepted_risk(decision, *ends), _RISK_FIGURES),
        _share(of_all.consumer, _RISK_FIGURES) if of_all else "",
        _share(of_all.producer, _RISK_FIGURES) if of_all else "",
    )


def _share(size: float | None, figures: int) -> str:
    """A number without unit as decimal text; empty for none."""
    return "" if size is None else f"{Decimal(f'{size:.{figures}g}'):f}"


def _accepted(low: Value | None, high: Value | None) -> str:
    if low and high:
        return word("band", "accept-both", low=low.printed, high=high.printed)
    if low:
        return word("band", "accept-low", low=low.printed)
    return word("band", "accept-high", high=high.printed) if high else word("band", "accept-none")


class _Scale:
    """Edges of a decision as numbers in the limit's unit, in steps of the meter's last digit."""

    def __init__(self, unit: Unit, dimension: str, relative: bool) -> None:
        difference = find(unit.symbol, difference_of(dimension))
        self.difference = unit if difference is None else difference
        self.unit = self.difference if relative else unit
        self._zero = Fraction(0) if relative else unit.offset
        self._factor = unit.factor
        self._relative = relative

    def inward(self, edge: Edge, *, up: bool) -> Decimal:
        """The limit moved inward by the guard band, to the next step of the meter that lies inside."""
        return self._stepped(edge, edge.value + (edge.guard if up else -edge.guard), up=up)

    def grey(
        self, low: Edge | None, high: Edge | None, least: Decimal | None, most: Decimal | None, *, outside: bool
    ) -> list[tuple[Decimal, Decimal]]:
        """Where the meter can't tell: from the limit to the accepted band, and as far `outside` of it."""
        found = []
        if low and least is not None:
            found.append((self._stepped(low, low.value - low.guard * outside, up=False), least))
        if high and most is not None:
            found.append((most, self._stepped(high, high.value + high.guard * outside, up=True)))
        return found

    def base(self, number: Decimal | None) -> Fraction | None:
        """A number in the limit's unit, in the base unit."""
        return None if number is None else Fraction(number) * self._factor + self._zero

    def reach(self, decision: Decision) -> Decimal:
        """How far around a limit the meter can't tell, where it is farthest."""
        edge = max(decision.edges, key=lambda each: each.guard)
        return self._on_step(edge, edge.guard / self._factor, up=True)

    def width(self, size: Fraction) -> Decimal:
        """A width to two figures, rounded up."""
        return _rounded(size / self._factor, _second_place(size / self._factor), up=True)

    def _stepped(self, edge: Edge, size: Fraction, *, up: bool) -> Decimal:
        number = (size - self._zero) / self._factor
        return self._on_step(edge, max(number, Fraction(0)) if self._relative else number, up=up)

    def _on_step(self, edge: Edge, number: Fraction, *, up: bool) -> Decimal:
        step = edge.step / self._factor
        places = _places(step) if step else None
        if places is None:
            return _rounded(number, _second_place(edge.guard / self._factor), up=up)
        return _decimal(_whole(number / step, up=up) * step, places)


def _whole(number: Fraction, *, up: bool) -> int:
    return ceil(number) if up else floor(number)


def _decimal(number: Fraction, places: int) -> Decimal:
    """A number that ends after so many decimal places, with all of them."""
    return Decimal(int(number * 10**places)).scaleb(-places)


def _rounded(number: Fraction, place: int, *, up: bool) -> Decimal:
    """To a power of ten, upwards or downwards."""
    return _decimal(_whole(number / Fraction(10) ** place, up=up) * Fraction(10) ** place, max(0, -place))


def _second_place(size: Fraction) -> int:
    """The power of ten of the second figure of a size; 0 for none at all."""
    return floor(log10(float(abs(size)))) - 1 if size else 0


def _places(step: Fraction) -> int | None:
    """How many decimal places a step has; None for one that never ends."""
    return next((places for places in range(_MOST_PLACES) if (step * 10**places).denominator == 1), None)
