"""A bench for passes: records from YAML by the public doors, and a machine to hold procedures against."""

from benchleaf.model.assemble import assemble
from benchleaf.passes.base import Case
from benchleaf.source.tree import read

SHOP = "format: benchleaf/shop/1\nname: Trial shop"
MACHINE = """
format: benchleaf/machine/1
id: rig
name: Trial rig
maker: Marram Works
serials: {prefix: T-}
limits:
  band: {measure: dc-voltage, low: 22 V, high: 26 V}
  high: {measure: resistance, high: 1 ohm}
  tolerance: {measure: resistance, nominal: 200 ohm, tolerance: 10 %}
  drop: {measure: dc-voltage, drop: {from: rest, at_most: 1 V}}
"""
HEAD = """
format: benchleaf/procedure/1
id: trial
title: Trial
kind: inspection
machine: rig
revision: A
changed: {kind: technical, reason: Trial}
purpose: Trial.
crew: {technician: any}
outcomes: {done: {text: Done.}, other: {text: Other.}}
"""


FILES = {
    "shop": "procedures/shop.yaml",
    "machine": "procedures/rig/machine.yaml",
    "block": "procedures/common/b.yaml",
    "procedure": "procedures/rig/trial.yaml",
}


def record(text, kind):
    node = read(text, FILES[kind]).node
    assert node is not None
    made = assemble(node, kind).record
    assert made is not None
    return made


def case(steps, blocks=None, machine=""):
    """A case whose procedure has these steps (YAML of a list), with blocks by id (YAML of their steps and blanks).

    `machine` is more of the machine file.
    """
    made = {
        name: record(f"format: benchleaf/block/1\nid: {name}\ntitle: Block\n{text}", "block")
        for name, text in (blocks or {}).items()
    }
    return Case(
        record(SHOP, "shop"), record(MACHINE + machine, "machine"), record(f"{HEAD}steps:\n{steps}", "procedure"), made
    )
