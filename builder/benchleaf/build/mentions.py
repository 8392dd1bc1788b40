"""Everything that has a name in a workspace, and every place where something mentions a name: for `uses`."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple

from benchleaf.base.span import Span
from benchleaf.build.gather import Shelf
from benchleaf.model.basics import EMPTY, Ref
from benchleaf.model.blanks import every_step, written_steps
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure, Step
from benchleaf.model.relations import earlier_step
from benchleaf.passes import names_machine, names_uses
from benchleaf.passes.names_uses import Use

INSERT = "insert"
# Tables of a machine file and of the shop, with the kind of what stands in them.
OF_MACHINE = {
    "conditions": "condition",
    "things": "thing",
    "energy": "energy",
    "parts": "part",
    "places": "place",
    "points": "point",
    "indicators": "indicator",
    "limits": "limit",
    "fasteners": "fastener",
    "faults": "fault",
}
OF_SHOP = {"meters": "meter", "wrenches": "wrench", "things": "thing", "tools": "tool", "supplies": "supply"}
KINDS = (*OF_MACHINE.values(), "element", *OF_SHOP.values(), "block", "procedure", "step", "outcome")
# The words of the passes for a name that is asked for in some role, and what it then is.
_ROLES = {"cover": "condition", "isolator": "condition", "node": "point", "shop-thing": "thing"}


class Named(NamedTuple):
    """Something with a name. `machine` and `procedure` say whose it is; empty where it is everybody's.

    `label` is how it is told: `limit pack-at-rest`, `step 3 (measure pack-at-rest)`.
    """

    kind: str
    name: str
    machine: str
    procedure: str
    span: Span
    label: str


class Mention(NamedTuple):
    """A place where `owner` mentions a name as one of several kinds."""

    owner: Named
    kinds: tuple[str, ...]
    name: str
    span: Span


def named(shelf: Shelf) -> tuple[Named, ...]:
    """All that has a name."""
    shop = shelf.shop.record
    found = list(_of_tables(shop, OF_SHOP, "")) if shop else []
    for machine in _machines(shelf):
        found += _of_machine(machine)
    found += (_block(block) for block in _blocks(shelf).values())
    for procedure in _procedures(shelf):
        found.append(_head(procedure))
        found += (each for _, each in _steps(procedure, EMPTY))
        found += (_outcome(name, procedure) for name in procedure.outcomes)
    return tuple(found)


def mentions(shelf: Shelf) -> tuple[Mention, ...]:
    """All places where a name is mentioned."""
    found: list[Mention] = []
    for machine in _machines(shelf):
        for owner in _of_machine(machine):
            found += _told(owner, names_machine.of_machine(_alone(machine, owner)))
        for name, limit in machine.limits.items():
            earlier = earlier_step(limit)
            owner = Named("limit", name, machine.id.name, "", limit.span, f"limit {name}")
            found += [Mention(owner, ("step",), earlier.name, earlier.span)] if earlier else []
    if shelf.shop.record:
        for name, tool in shelf.shop.record.tools.items():
            owner = Named("tool", name, "", "", tool.span, f"tool {name}")
            found += (Mention(owner, ("tool",), ref.name, ref.span) for ref in tool.instead)
        unit = shelf.shop.record.proving_unit
        if unit and unit.meter:
            owner = Named("proving unit", "", "", "", unit.span, "proving unit")
            found.append(Mention(owner, ("meter",), unit.meter.name, unit.meter.span))
    for procedure in _procedures(shelf):
        found += _of_procedure(procedure, _blocks(shelf))
    return tuple(found)


def _machines(shelf: Shelf) -> Iterator[Machine]:
    return (each.record for each in shelf.machines.values() if each.record)


def _procedures(shelf: Shelf) -> Iterator[Procedure]:
    return (each.record for each in shelf.procedures.values() if each.record)


def _blocks(shelf: Shelf) -> Mapping[str, Block]:
    return {name: each.record for name, each in shelf.blocks.items() if each.record}


def _of_machine(machine: Machine) -> Iterator[Named]:
    yield from _of_tables(machine, OF_MACHINE, machine.id.name)
    elements = machine.circuit.elements if machine.circuit else {}
    for name, element in elements.items():
        yield Named("element", name, machine.id.name, "", element.span, f"element {name}")


def _of_tables(record: Any, tables: Mapping[str, str], machine: str) -> Iterator[Named]:
    for table, kind in tables.items():
        for name, each in getattr(record, table).items():
            yield Named(kind, name, machine, "", each.span, f"{kind} {name}")


def _alone(machine: Machine, owner: Named) -> Machine:
    """The machine with this one record in it, so that all uses are its."""
    circuit = machine.circuit
    tables: dict[str, Any] = dict.fromkeys(OF_MACHINE, EMPTY)
    bare = machine._replace(circuit=None, **tables)
    if owner.kind == "element" and circuit:
        only = {owner.name: circuit.elements[owner.name]}
        # The ground belongs to the circuit as a whole.
        return bare._replace(circuit=circuit._replace(elements=only, ground=Ref("")))
    table = next(name for name, kind in OF_MACHINE.items() if kind == owner.kind)
    only_one: dict[str, Any] = {table: {owner.name: getattr(machine, table)[owner.name]}}
    return bare._replace(**only_one)


def _block(block: Block) -> Named:
    return Named("block", block.id.name, "", "", block.id.span, f"block {block.id}")


def _head(procedure: Procedure) -> Named:
    name = procedure.id.name
    return Named("procedure", name, procedure.machine.name, name, procedure.id.span, f"procedure {name}")


def _outcome(name: str, procedure: Procedure) -> Named:
    span = procedure.outcomes[name].span
    return Named("outcome", name, procedure.machine.name, procedure.id.name, span, f"outcome {name}")


def _steps(procedure: Procedure, blocks: Mapping[str, Block]) -> Iterator[tuple[Step, Named]]:
    """The steps with their numbers as written, those of blocks with the numbers in the block, blanks filled."""
    numbers: dict[Span, tuple[int, str]] = {}
    for number, step in enumerate(procedure.steps, 1):
        numbers[step.span] = (number, "")
    for name, block in blocks.items():
        numbers |= {step.span: (number, f" of block {name}") for number, step in enumerate(block.steps, 1)}
    inserting = (step for step in written_steps(procedure.steps, blocks) if step.action.name == INSERT)
    for step in (*every_step(procedure.steps, blocks), *inserting):
        number, where = numbers.get(step.span, (0, ""))
        told = f"step {number} ({step.action} {_short(step.object.text)}){where}"
        name = step.id.name if step.id else ""
        yield step, Named("step", name, procedure.machine.name, procedure.id.name, step.span, told)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39].rstrip() + "…"


def _of_procedure(procedure: Procedure, blocks: Mapping[str, Block]) -> Iterator[Mention]:
    for step, owner in _steps(procedure, blocks):
        if step.action.name == INSERT:
            yield Mention(owner, ("block",), step.object.text, step.object.span)
            # What fills a blank may be a name of any kind.
            for words in step.values.values():
                yield Mention(owner, KINDS, words.text, words.span)
        yield from _told(owner, names_uses.of_step(step))
        for lead in names_uses.leads_of(step):
            if lead.go:
                yield Mention(owner, ("step",), lead.go.name, lead.go.span)
    head = _head(procedure)
    outcomes = {outcome.fault.span: name for name, outcome in procedure.outcomes.items() if outcome.fault}
    outcomes |= {each.then.procedure.span: name for name, each in procedure.outcomes.items() if each.then}
    for mention in _told(head, names_uses.of_procedure(procedure)):
        name = outcomes.get(mention.span)
        yield mention._replace(owner=_outcome(name, procedure)) if name else mention


def _told(owner: Named, uses: Iterable[Use]) -> Iterator[Mention]:
    for use in uses:
        if use.ref.name and not use.of:
            kinds = tuple(dict.fromkeys(_ROLES.get(kind, kind) for kind in use.kinds))
            yield Mention(owner, kinds, use.ref.name, use.ref.span)
