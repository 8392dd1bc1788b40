"""From the tree of each kind of file to its record: shop, machine, block, procedure."""

from benchleaf.model.bind import Bound, bind
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.shop import Shop
from benchleaf.source.tree import Node

RECORDS: dict[str, type] = {"shop": Shop, "machine": Machine, "block": Block, "procedure": Procedure}


def assemble(node: Node, kind: str) -> Bound:
    """The record of a document whose shape has been checked.

    `kind` is shop, machine, block or procedure. The record is None where the tree does not fit its shape.
    """
    return bind(node, RECORDS[kind])
