"""The limits sheet: every limit and every torque of a machine with its source, small enough for a pocket."""

from typing import NamedTuple

from benchleaf.base.said import row
from benchleaf.card.bands import limit_words, value
from benchleaf.card.records import Value
from benchleaf.card.sheet_base import SheetHead, only_for, sheet_head
from benchleaf.card.wording import word
from benchleaf.model.fastener import Fastener
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.quantity import make
from benchleaf.model.relations import earlier_step
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.naming import measured, part_name, spoken
from benchleaf.trade.numbers import printed


class LimitRow(NamedTuple):
    """A limit in words, in both of the shop's units; `nominal` where it lies between two limits."""

    name: str
    sentence: str
    nominal: str
    how: str
    source: str
    only_for: str


class LimitGroup(NamedTuple):
    """The limits of one kind of measurement."""

    title: str
    rows: tuple[LimitRow, ...]


class TorqueRow(NamedTuple):
    """A screwed joint: thread and class, torque in both units, stages, locking."""

    name: str
    part: str
    count: int  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    thread: str
    torque: Value | None
    angle: str
    stages: tuple[Value, ...]
    sequence: str
    locking: str
    single_use: bool
    source: str
    only_for: str


class LimitsSheet(NamedTuple):
    """All limits by kind of measurement, and all joints."""

    head: SheetHead
    groups: tuple[LimitGroup, ...]
    torques: tuple[TorqueRow, ...]
    notice: str


def limits_sheet(machine: Machine, shop: Shop, variant: Variant = EVERY) -> LimitsSheet:
    """The sheet of one machine."""
    groups: dict[str, list[LimitRow]] = {}
    for key, limit in machine.limits.items():
        groups.setdefault(limit.measure.name, []).append(_limit(machine, key, limit, shop))
    return LimitsSheet(
        head=sheet_head(machine, shop, variant),
        groups=tuple(LimitGroup(measured(kind), tuple(rows)) for kind, rows in groups.items()),
        torques=tuple(_torque(machine, shop, key, each) for key, each in machine.fasteners.items()),
        notice=word("sheet", "notice-plain"),
    )


def _limit(machine: Machine, key: str, limit: Limit, shop: Shop) -> LimitRow:
    earlier = earlier_step(limit)
    steps = {earlier.name: word("sheet", "step-of", step=spoken(earlier.name))} if earlier else {}
    test = limit.test_voltage
    both = limit.nominal is not None and (limit.low is not None or limit.high is not None or limit.tolerance)
    return LimitRow(
        name=limit.name.text if limit.name else spoken(key),
        sentence=limit_words(limit, shop, steps),
        nominal=printed(limit.nominal.quantity, shop.units, "nominal") if limit.nominal and both else "",
        how=word("plain", "test-voltage", value=printed(test.quantity, shop.units)) if test else "",
        source=limit.source,
        only_for=only_for(limit.applies_to, machine),
    )


def _torque(machine: Machine, shop: Shop, key: str, each: Fastener) -> TorqueRow:
    part = part_name(machine, each.holds.name)
    torque = each.torque.quantity if each.torque else None
    shares = [stage.quantity.to("1") for stage in each.stages]
    class_ = word("plain", "class", name=each.class_) if each.class_ else ""
    return TorqueRow(
        name=each.name.text if each.name else spoken(key),
        part=part,
        count=int(each.count),
        thread=row((each.thread.text, class_), ", "),
        torque=value(torque, shop) if torque is not None else None,
        angle=printed(each.angle.quantity, shop.units) if each.angle else "",
        stages=tuple(value(make((torque.value * share).normalize(), torque.unit), shop) for share in shares)
        if torque is not None
        else (),
        sequence=row(spoken(ref.name) for ref in each.sequence),
        locking=each.locking.text if each.locking else "",
        single_use=each.single_use,
        source=each.source,
        only_for=only_for(each.applies_to, machine),
    )
