"""Published thresholds, tightened by the shop where it wants to; a laxer value of the shop never counts."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.model.shop import Shop


class Threshold(NamedTuple):
    """A published threshold: its size in the dimension's base unit, and where it comes from."""

    size: float
    text: str
    source: str


PUBLISHED: Mapping[str, Threshold] = {
    "shock": Threshold(50.0, "50 V", "29 CFR 1910.333(a)(1)"),
    "residual-voltage": Threshold(50.0, "50 V", "29 CFR 1910.333(a)(1); IEC 60204-1, 6.2.4 allows 60 V"),
}


def shock(shop: Shop) -> float:
    """The voltage in V from which live parts count as dangerous."""
    return tightened(shop, "shock")[0]


def tightened(shop: Shop, name: str) -> tuple[float, str]:
    """The threshold that counts, and its text: the published one or the shop's if that is lower."""
    published = PUBLISHED[name]
    own = shop.thresholds.get(name)
    if own is None or own.quantity.dimension != "voltage" or own.quantity.number() >= published.size:
        return published.size, published.text
    return own.quantity.number(), own.quantity.text
