"""Quantities: sizes that exist, limits that can be met, meters that decide them, numbers that fit the machine."""

from collections.abc import Iterable, Iterator
from itertools import chain
from types import MappingProxyType
from typing import Any

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.model.basics import Amount, Ref, Words
from benchleaf.model.machine import Machine
from benchleaf.model.nearest import nearest
from benchleaf.model.procedure import SupplyUse
from benchleaf.model.quantity_rules import rule_of
from benchleaf.model.shop import Shop
from benchleaf.model.units import dimensions, find
from benchleaf.passes import (
    quantities_limits,
    quantities_meters,
    quantities_proofs,
    quantities_slips,
    quantities_steps,
)
from benchleaf.passes import quantities_rules as rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.quantities_tables import never_negative, on_a_scale

_WHOLE = "ratio"
_OF_SUPPLIES = frozenset({"volume", "mass", "length", "area", "count", "ratio"})
_LEAVES = frozenset((Ref, Span, Words))
_MAPS = frozenset((dict, MappingProxyType))


def run(case: Case, facts: Facts) -> Result:
    """The times and amounts of one procedure, and the instrument of each reading."""
    if facts.flow is None:
        return Result(facts)
    procedure = case.procedure
    heads = (procedure.time, procedure.supplies or ())
    findings = chain(
        chain.from_iterable(_sizes(item) for item in heads),
        chain.from_iterable(_sizes(step) for step in procedure.steps),
        chain.from_iterable(_amounts(step.supplies) for step in procedure.steps),
        _amounts(procedure.supplies or ()),
        quantities_steps.of_stations(case, facts.flow, facts.expected),
    )
    return Result(facts, tuple(findings))


def _amounts(supplies: Iterable[SupplyUse]) -> Iterator[Finding]:
    """Amounts of supplies that no supply is measured in."""
    for use in supplies:
        if use.amount and use.amount.quantity.dimension not in _OF_SUPPLIES:
            named = _spoken(use.amount.quantity.dimension)
            sentence = f"`{use.amount}` of `{use.supply}`: nothing is used up by its {named}."
            yield rule_of("wrong-dimension").at(use.amount.span, sentence, mend="Write a volume, mass, length or area.")


def common(common: Common) -> tuple[Finding, ...]:
    """The numbers of a machine file; or those of the shop and the blocks."""
    machine = common.machine
    if machine is not None:
        slips = (
            quantities_slips.of_physics(machine),
            quantities_slips.of_siblings(machine, common.procedures, common.blocks),
        )
        proofs = quantities_proofs.of_proofs(machine, common.shop)
        return tuple(chain(_of_machine(machine), proofs, *slips))
    blocks = chain.from_iterable(_sizes(step) for block in common.blocks.values() for step in block.steps)
    return tuple(chain(_of_shop(common.shop), blocks, quantities_slips.of_machines(common.machines)))


def _of_machine(machine: Machine) -> Iterator[Finding]:
    for name, limit in machine.limits.items():
        yield from quantities_limits.of_limit(name, limit)
    for energy in machine.energy.values():
        yield from _sizes(energy)
        charging = energy.charging
        if charging and charging.from_ and charging.to and charging.from_.quantity >= charging.to.quantity:
            sentence = f"Charging is allowed from {charging.from_} to {charging.to}, which is never."
            yield rules.RANGE_OUT_OF_ORDER.at(charging.to.span, sentence)
    for record in chain(machine.fasteners.values(), machine.parts.values(), (machine.mass,)):
        yield from _sizes(record)
    if machine.circuit:
        for element in machine.circuit.elements.values():
            yield from _sizes(element, zero=True)


def _of_shop(shop: Shop) -> Iterator[Finding]:
    yield from _sizes((shop.torque, shop.pause, tuple(shop.things.values()), tuple(shop.wrenches.values())))
    yield from quantities_meters.of_shop(shop)
    for dimension, units in shop.units.items():
        if dimension not in dimensions():
            near = nearest(dimension, dimensions())
            span = units[0].span if units else shop.span
            yield rules.UNKNOWN_DIMENSION.at(span, f"Nothing is measured as `{dimension}`{near.clause}.")
            continue
        for words in units:
            if find(words.text, dimension) is None:
                yield rules.UNIT_OF_ANOTHER.at(words.span, f"`{words.text}` is not a unit of {_spoken(dimension)}.")


def _spoken(dimension: str) -> str:
    return dimension.replace("-", " ")


def _sizes(item: Any, field: str = "", zero: bool = False) -> Iterator[Finding]:
    """Sizes that do not exist, in a record or anything it is made of; `zero` lets nothing at all pass as a size."""
    kind = type(item)
    if kind is Amount:
        yield from _size(item, field, zero)
    elif kind in _MAPS:
        for part in item.values():
            yield from _sizes(part, field, zero)
    elif isinstance(item, tuple) and kind not in _LEAVES:
        fields = getattr(item, "_fields", None) or [field] * len(item)
        for name, part in zip(fields, item, strict=True):
            if part and (isinstance(part, tuple) or type(part) in _MAPS):
                yield from _sizes(part, name, zero)


def _size(amount: Amount, field: str, zero: bool) -> Iterator[Finding]:
    quantity = amount.quantity
    dimension, value = quantity.dimension, quantity.value
    if dimension == "temperature" and quantity.base < 0:
        yield rules.IMPOSSIBLE.at(amount.span, f"`{amount}` lies below absolute zero.")
    elif dimension == _WHOLE:
        if value < 0:
            mend = quantities_limits.without_sign(quantity.text)
            yield rules.IMPOSSIBLE.at(amount.span, f"A share of `{amount}` does not exist.", mend=mend)
        elif field.endswith("tolerance") and quantity.base >= 1:
            yield rules.TOLERANCE_TOO_WIDE.at(amount.span, f"A tolerance of {amount} lets everything pass.")
    elif value < 0 and (never_negative(dimension) or field in (dimension, "highest")):
        mend = quantities_limits.without_sign(quantity.text)
        yield rules.IMPOSSIBLE.at(amount.span, f"A {_spoken(dimension)} of `{amount}` does not exist.", mend=mend)
    elif value == 0 and not zero and not on_a_scale(dimension):
        yield rules.IMPOSSIBLE.at(amount.span, f"A {_spoken(dimension)} of `{amount}` is none at all.")


QUANTITIES = Pass("quantities", rules.RULES, run=run, common=common, needs=("flow",))
