"""Published limits, tightened by the shop where it wants to; a laxer value of the shop never counts."""

from collections.abc import Mapping
from decimal import Decimal

from benchleaf.model.quantity import Quantity, make
from benchleaf.model.shop import Shop
from benchleaf.trade.hazards import Limit, limits


def shock(shop: Shop) -> float:
    """The voltage in V from which live parts count as dangerous."""
    return tightened(shop, "shock")[0]


def tightened(shop: Shop, name: str) -> tuple[float, str]:
    """The limit that counts in its dimension's base unit, and its text: the published one or the shop's if stricter."""
    counts = quantity(shop, name)
    return (limits()[name].size, limits()[name].text) if counts is None else (counts.number(), counts.text)


def quantity(shop: Shop, name: str) -> Quantity | None:
    """The shop's own stricter value of a limit; None where the published one counts."""
    own = shop.thresholds.get(name)
    return own.quantity if own is not None and stricter(limits()[name], own.quantity) else None


def stricter(limit: Limit, own: Quantity) -> bool:
    """Whether a shop's value is stricter than the published limit."""
    if own.dimension != limit.dimension:
        return False
    return own.number() < limit.size if limit.tighter == "lower" else own.number() > limit.size


def all_tightened(shop: Shop) -> Mapping[str, Quantity]:
    """Every limit as it counts in this shop."""
    found = {}
    for name, limit in limits().items():
        own = quantity(shop, name)
        number, _, unit = limit.text.partition(" ")
        found[name] = own if own is not None else make(Decimal(number), unit)
    return found
