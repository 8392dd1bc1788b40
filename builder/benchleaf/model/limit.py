"""A limit: the one place where a number to be measured is written."""

from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.applies import Applies
from benchleaf.model.basics import AnyAmount, Ratio, Ref, Temperature, Time, Voltage, Words


class Within(NamedTuple):
    """A limit relative to an earlier reading: within so much of it."""

    span: Span
    value: AnyAmount
    of: Ref


class Drop(NamedTuple):
    """A limit on how far a reading may lie below an earlier one."""

    span: Span
    from_: Ref
    at_most: AnyAmount


class Share(NamedTuple):
    """A limit on the ratio of a reading to an earlier one."""

    span: Span
    of: Ref
    low: Ratio | None = None
    high: Ratio | None = None


class Spread(NamedTuple):
    """A limit on the range of repeated readings."""

    span: Span
    at_most: AnyAmount


class Steady(NamedTuple):
    """A limit on how much a reading may wander in a time."""

    span: Span
    within: AnyAmount
    for_: Time


class FallsBy(NamedTuple):
    """A limit on how much a reading may fall in a time."""

    span: Span
    at_most: AnyAmount
    over: Time


class AtTemperature(NamedTuple):
    """The band of a limit at one temperature; linear between, no verdict outside."""

    span: Span
    at: Temperature
    low: AnyAmount | None = None
    high: AnyAmount | None = None


class Process(NamedTuple):
    """How the true values of all things made are spread: taken as normal."""

    span: Span
    mean: AnyAmount
    standard_deviation: AnyAmount


class Limit(NamedTuple):
    """The one place where a number is written; exactly one form each.

    With `from_` the circuit gives the band; once it has, the record has `low` and `high` beside it.
    """

    span: Span
    measure: Ref
    name: Words | None = None
    low: AnyAmount | None = None
    nominal: AnyAmount | None = None
    high: AnyAmount | None = None
    tolerance: AnyAmount | None = None
    within: Within | None = None
    drop: Drop | None = None
    share: Share | None = None
    spread: Spread | None = None
    steady: Steady | None = None
    falls_by: FallsBy | None = None
    by_temperature: tuple[AtTemperature, ...] = ()
    open: bool = False
    from_: Ref | None = None
    test_voltage: Voltage | None = None
    decision: Ref | None = None
    process: Process | None = None
    part: Ref | None = None
    between: tuple[Ref, ...] = ()
    source: str = ""
    applies_to: Applies | None = None
