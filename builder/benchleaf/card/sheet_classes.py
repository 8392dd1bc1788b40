"""The classes of machines for which a machine file has sheets of their own, each with the file as it stands for it.

The classes are cut by what is dangerous. What does not cut them, such as a limit that changed from some serial number
on, stays in the sheets of every class of which it may be for some machine; there it says for which it is.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import TypeVar

from benchleaf.model import only
from benchleaf.model.fastener import Fastener
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine, Part
from benchleaf.model.variant import Variant, holds_for_some
from benchleaf.model.variants import MOST_CLASSES, variants

Choosy = TypeVar("Choosy", Part, Limit, Fastener)


def sheet_classes(machine: Machine) -> tuple[tuple[Variant, Machine], ...]:
    """Each class with its machine file; a file of more classes than a card may have counts as one, uncut."""
    found = variants(machine)
    if not 1 < len(found) <= MOST_CLASSES:
        return ((Variant(), machine),)
    return tuple((variant, _for_class(variant, machine)) for variant in found)


def _for_class(variant: Variant, whole: Machine) -> Machine:
    cut = only.machine(variant, whole)

    def kept(table: Mapping[str, Choosy], left: Mapping[str, Choosy]) -> Mapping[str, Choosy]:
        return MappingProxyType(
            {
                name: left.get(name, each)
                for name, each in table.items()
                if name in left or holds_for_some(each.applies_to, variant, whole)
            }
        )

    parts = kept(whole.parts, cut.parts)
    limits = {
        name: each for name, each in kept(whole.limits, cut.limits).items() if not each.part or each.part.name in parts
    }
    fasteners = {name: each for name, each in kept(whole.fasteners, cut.fasteners).items() if each.holds.name in parts}
    points = {name: each for name, each in whole.points.items() if not each.part or each.part.name in parts}
    return cut._replace(
        parts=parts,
        limits=MappingProxyType(limits),
        fasteners=MappingProxyType(fasteners),
        points=MappingProxyType(points),
    )
