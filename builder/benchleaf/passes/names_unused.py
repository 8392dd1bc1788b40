"""What is declared and used by nothing: advice, judged over everything that could use it."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain, islice
from typing import Any

from benchleaf.base.finding import Finding
from benchleaf.base.said import listed
from benchleaf.model.blanks import every_step
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure, Step
from benchleaf.model.shop import Shop
from benchleaf.passes import names_machine, names_uses
from benchleaf.passes import names_rules as rules
from benchleaf.passes.names_uses import Use

INSERT = "insert"
_VOLTAGES = ("dc-voltage", "ac-voltage")

# Kinds under which a name of the machine may be used, by the kind under which it is declared.
_COUNTS_AS: dict[str, tuple[str, ...]] = {
    "condition": ("condition", "cover", "isolator"),
    "thing": ("thing", "condition"),
    "point": ("point", "node"),
    "place": ("place",),
    "limit": ("limit",),
    "fastener": ("fastener",),
}


def of_machine(machine: Machine, procedures: tuple[Procedure, ...], blocks: Mapping[str, Block]) -> Iterator[Finding]:
    """Declared names of a machine that neither its file nor any of its procedures uses; silent without procedures."""
    if not procedures:
        return
    used = _used(chain(names_machine.of_machine(machine), *(_of_procedure(each, blocks) for each in procedures)))
    nodes = (
        {node.name for element in machine.circuit.elements.values() for node in element.nodes}
        if machine.circuit
        else set()
    )
    used.setdefault("node", set()).update(nodes)
    tables: dict[str, Mapping[str, Any]] = {
        # What follows by itself is there to be read, even where nothing waits for it.
        "condition": {name: each for name, each in machine.conditions.items() if not each.follows},
        "thing": machine.things,
        "place": machine.places,
        "point": machine.points,
        "limit": machine.limits,
        "fastener": machine.fasteners,
    }
    for kind, table in tables.items():
        names = set().union(*(used.get(other, ()) for other in _COUNTS_AS[kind]))
        for name, record in table.items():
            if name not in names:
                by = "procedure of this machine measures" if kind == "limit" else "procedure of this machine uses"
                yield rules.UNUSED.at(record.span, f"No {by} the {kind} `{name}`.")


def of_workspace(shop: Shop, procedures: tuple[Procedure, ...], blocks: Mapping[str, Block]) -> Iterator[Finding]:
    """Gear of the shop and blocks that no procedure of the workspace uses; silent without procedures."""
    if not procedures:
        return
    used = _used(chain(names_uses.of_shop(shop), *(_of_procedure(each, blocks) for each in procedures)))
    names = set().union(*used.values(), _for_proofs(shop))
    tables: dict[tuple[str, str], Mapping[str, Any]] = {
        ("meter", "meters"): shop.meters,
        ("wrench", "wrenches"): shop.wrenches,
        ("tool", "tools"): shop.tools,
        ("supply", "supplies"): shop.supplies,
    }
    for (word, words), table in tables.items():
        # A shop owns more than its procedures ask for: one piece of advice a kind, so that it drowns nothing.
        idle = [name for name in table if name not in names]
        if idle:
            which = (
                f"the {word} `{idle[0]}`" if len(idle) == 1 else f"these {words}: " + listed(map("`{}`".format, idle))
            )
            yield rules.UNUSED.at(table[idle[0]].span, f"No procedure uses {which}.")
    steps = chain(*(procedure.steps for procedure in procedures), *(block.steps for block in blocks.values()))
    inserted = {step.object.text for step in steps if step.action.name == INSERT}
    for name, block in blocks.items():
        if name not in inserted:
            yield rules.UNUSED.at(block.id.span, f"No procedure inserts the block `{name}`.")


def _for_proofs(shop: Shop) -> set[str]:
    """The meters by which zero voltage is proved where the shop names none: the first of each kind of voltage."""
    unit = shop.proving_unit
    if unit is None or unit.meter is not None:
        return set()
    able = ((name for name, meter in shop.meters.items() if kind in meter.ranges) for kind in _VOLTAGES)
    return {name for names in able for name in islice(names, 1)}


def outcomes(procedure: Procedure, steps: Iterable[Step]) -> Iterator[Finding]:
    """Outcomes that no answer leads to."""
    written = chain(steps, (step for step in procedure.steps if step.action.name == INSERT))
    found = {lead.found.name for step in written for lead in names_uses.leads_of(step) if lead.found}
    for name, outcome in procedure.outcomes.items():
        if name not in found:
            yield rules.UNUSED.at(outcome.span, f"No answer leads to the outcome `{name}`.")


def _used(uses: Iterable[Use]) -> dict[str, set[str]]:
    used: dict[str, set[str]] = {}
    for use in uses:
        for kind in use.kinds:
            used.setdefault(kind, set()).add(use.ref.name)
    return used


def _of_procedure(procedure: Procedure, blocks: Mapping[str, Block]) -> Iterator[Use]:
    yield from names_uses.of_procedure(procedure)
    for step in every_step(procedure.steps, blocks):
        yield from names_uses.of_step(step)
