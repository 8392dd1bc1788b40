"""Limits as a card shows them: the band in words, and low, nominal and high with their printed values."""

from collections.abc import Mapping
from decimal import Decimal

from benchleaf.base.said import row as together
from benchleaf.card.records import Band, BandRow, Value
from benchleaf.card.wording import word
from benchleaf.model.basics import Amount
from benchleaf.model.limit import AtTemperature, Limit, Share
from benchleaf.model.quantity import Quantity, fit, make
from benchleaf.model.shop import Shop
from benchleaf.passes.quantities_decision import difference_limit
from benchleaf.passes.quantities_tables import difference_of
from benchleaf.safety.naming import spoken
from benchleaf.trade.numbers import printed, printed_band
from benchleaf.trade.rounding import Role


def value(quantity: Quantity, shop: Shop, role: Role = "plain") -> Value:
    """A quantity as card data: as written, and as printed in the shop's units."""
    return Value(f"{quantity.value}", quantity.unit.symbol, printed(quantity, shop.units, role))


def band(key: str, limit: Limit, shop: Shop, numbers: Mapping[str, int]) -> Band:
    """The limit `key`; `numbers` gives the number of each step that a relation may name."""
    name = limit.name.text if limit.name else spoken(key)
    form, sentence, of = _form(limit, shop, numbers)
    low, nominal, high = _values(limit)
    return Band(
        key,
        name,
        form,
        sentence,
        value(low, shop, "low") if low else None,
        value(nominal, shop, "nominal") if nominal else None,
        value(high, shop, "high") if high else None,
        of,
        numbers.get(of, 0),
        limit.source,
        rows=tuple(_row(row, shop) for row in limit.by_temperature),
    )


def _values(limit: Limit) -> tuple[Quantity | None, Quantity | None, Quantity | None]:
    """The edges of the limit; of limits that compare readings, the most by which they may differ, or their shares."""
    if limit.share:
        low, high = limit.share.low, limit.share.high
        return low.quantity if low else None, None, high.quantity if high else None
    most = difference_limit(limit)
    return (None, None, _apart(most)) if most else edges(limit)


def _apart(quantity: Quantity) -> Quantity:
    """A difference as one: that of two temperatures has no zero of a scale."""
    read_as = fit(quantity, difference_of(quantity.dimension))
    return read_as if isinstance(read_as, Quantity) else quantity


def _row(row: AtTemperature, shop: Shop) -> BandRow:
    return BandRow(
        value(row.at.quantity, shop),
        value(row.low.quantity, shop, "low") if row.low else None,
        value(row.high.quantity, shop, "high") if row.high else None,
    )


def limit_words(limit: Limit, shop: Shop, steps: Mapping[str, object]) -> str:
    """The limit in words; `steps` says how the earlier step of a relation is called."""
    return _form(limit, shop, steps)[1]


def edges(limit: Limit) -> tuple[Quantity | None, Quantity | None, Quantity | None]:
    """Low, nominal and high of a limit, worked out from the tolerance where one is given."""
    low, nominal, high = (amount.quantity if amount else None for amount in (limit.low, limit.nominal, limit.high))
    if nominal is not None and limit.tolerance is not None and low is None and high is None:
        reach = _reach(nominal, limit.tolerance.quantity)
        if reach is not None:
            low, high = make(nominal.value - reach, nominal.unit), make(nominal.value + reach, nominal.unit)
    return low, nominal, high


def _reach(nominal: Quantity, tolerance: Quantity) -> Decimal | None:
    if tolerance.dimension == "ratio" and nominal.dimension != "ratio":
        reach = abs(nominal.value) * tolerance.to("1")
        return reach.normalize() if reach else reach
    # A tolerance of a temperature is a difference, whatever sign its unit carries.
    fitted = fit(tolerance, "temperature-difference") if nominal.dimension == "temperature" else tolerance
    if not isinstance(fitted, Quantity):
        return None
    unit = "K" if nominal.dimension == "temperature" else nominal.unit
    try:
        return fitted.to(unit)
    except ValueError:
        return None


def _form(limit: Limit, shop: Shop, numbers: Mapping[str, object]) -> tuple[str, str, str]:
    """Form, sentence and the step that a relation refers to."""
    most = difference_limit(limit)
    amount = printed(_apart(most), shop.units) if most else ""
    if limit.within is not None:
        of = limit.within.of.name
        return (
            "within",
            word(
                "band",
                "within",
                value=amount,
                step=numbers.get(of, 0),
            ),
            of,
        )
    if limit.drop is not None:
        of = limit.drop.from_.name
        return (
            "drop",
            word("band", "drop", value=amount, step=numbers.get(of, 0)),
            of,
        )
    if limit.share is not None:
        return "share", _share(limit.share, shop, numbers), limit.share.of.name
    if limit.spread is not None:
        return "spread", word("band", "spread", value=amount), ""
    if limit.steady is not None:
        held = _print(limit.steady.for_, shop)
        return (
            "steady",
            word("band", "steady", value=amount, time=held),
            "",
        )
    if limit.falls_by is not None:
        over = _print(limit.falls_by.over, shop)
        return (
            "falls-by",
            word("band", "falls-by", value=amount, time=over),
            "",
        )
    if limit.by_temperature:
        return "by-temperature", together((_at(row, shop) for row in limit.by_temperature), "; "), ""
    if limit.open:
        return "open", word("band", "open"), ""
    return "band", _sentence(*edges(limit), shop), ""


def _share(share: Share, shop: Shop, numbers: Mapping[str, object]) -> str:
    step = numbers.get(share.of.name, 0)
    low = _print(share.low, shop, "low") if share.low else ""
    high = _print(share.high, shop, "high") if share.high else ""
    form = "share-both" if low and high else "share-low" if low else "share-high"
    return word("band", form, low=low, high=high, step=step)


def _at(row: AtTemperature, shop: Shop) -> str:
    text = _sentence(row.low.quantity if row.low else None, None, row.high.quantity if row.high else None, shop)
    return word("band", "at", band=text, temperature=_print(row.at, shop))


def _sentence(low: Quantity | None, nominal: Quantity | None, high: Quantity | None, shop: Shop) -> str:
    if low is None and nominal is None and high is None:
        return ""
    shown = printed_band(low, nominal, high, shop.units)
    if shown.low and shown.high:
        return shown.text
    form = "low" if shown.low else "high" if shown.high else "nominal"
    return word("band", form, low=shown.low, high=shown.high, nominal=shown.nominal)


def _print(amount: Amount, shop: Shop, role: Role = "plain") -> str:
    return printed(amount.quantity, shop.units, role)
