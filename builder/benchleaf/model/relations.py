"""Limits that compare a reading with an earlier one: which step they name, and which station that is."""

from collections.abc import Container

from benchleaf.model.basics import Ref
from benchleaf.model.limit import Limit


def earlier_step(limit: Limit) -> Ref | None:
    """The step whose reading the limit compares with; None for a limit that stands alone."""
    if limit.within:
        return limit.within.of
    if limit.drop:
        return limit.drop.from_
    return limit.share.of if limit.share else None


def earlier_station(keys: Container[str], key: str, name: str) -> str:
    """The key of the station that a limit measured at station `key` means by a step's name; empty if there is none.

    `keys` are the keys of all stations.
    Inside a block the block's own step comes before one of the procedure.
    """
    stem = key
    while "-" in stem:
        stem = stem.rpartition("-")[0]
        if f"{stem}-{name}" in keys and f"{stem}-{name}" != key:
            return f"{stem}-{name}"
    return name if name in keys else ""
