"""Which machines something holds for: serial numbers and options."""

from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.basics import When


class Serials(NamedTuple):
    """A range of serial numbers: prefix and first and last number."""

    span: Span
    prefix: str = ""
    from_: int | None = None
    to: int | None = None


class Applies(NamedTuple):
    """Which serial numbers (any of the ranges) and options something holds for; empty means all."""

    span: Span
    serials: tuple[Serials, ...] = ()
    options: When = ()
