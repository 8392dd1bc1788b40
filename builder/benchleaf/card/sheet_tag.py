"""The out-of-service tag of a machine: what it says in large, and the blanks for whoever leaves the machine locked."""

from typing import NamedTuple

from benchleaf.card.sheet_base import SheetHead, sheet_head
from benchleaf.card.sheet_isolation import IsolatorLine, isolator_lines
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.naming import condition_name, energy_name
from benchleaf.safety.sizes import size_text
from benchleaf.trade.numbers import printed


class HeldBy(NamedTuple):
    """A thing that may have to stay in place: its name and what it holds."""

    name: str
    holds: tuple[str, ...]


class Staying(NamedTuple):
    """An energy that no isolator takes away, with its size."""

    name: str
    size: str


class Tag(NamedTuple):
    """The tag: isolators to tick as locked, things to tick as left in place, and what stays whatever is locked."""

    head: SheetHead
    isolators: tuple[IsolatorLine, ...]
    things: tuple[HeldBy, ...]
    stays: tuple[Staying, ...]


def out_of_service_tag(machine: Machine, shop: Shop, variant: Variant = EVERY) -> Tag:
    """The tag of one machine; what it warns of and forbids is asked for by 29 CFR 1910.147(c)(5)(iii)."""
    lines = isolator_lines(machine)
    return Tag(
        head=sheet_head(machine, shop, variant),
        isolators=tuple(line for line in lines if line.kind == "break"),
        things=tuple(
            HeldBy(condition_name(machine, name), tuple(energy_name(machine, ref.name) for ref in thing.holds))
            for name, thing in machine.things.items()
            if thing.holds
        ),
        stays=tuple(
            Staying(energy_name(machine, key), size_text(energy, lambda quantity: printed(quantity, shop.units)))
            for key, energy in machine.energy.items()
            if energy.stays_live
        ),
    )
