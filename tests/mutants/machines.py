"""What can be wrong with a machine file: each operator gives the mutants of one, with their place."""

from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from types import MappingProxyType
from typing import Any

from benchleaf.model.basics import Amount, Ref, Setting
from benchleaf.model.machine import Machine
from benchleaf.model.quantity import make

Mutant = tuple[str, Machine]


def replaced(machine: Machine, table: str, key: str, **changes: Any) -> Machine:
    rows = dict(getattr(machine, table))
    rows[key] = rows[key]._replace(**changes)
    changed: dict[str, Any] = {table: MappingProxyType(rows)}
    return machine._replace(**changed)


def scaled(amount: Amount, factor: str) -> Amount:
    quantity = amount.quantity
    return amount._replace(quantity=make(quantity.value * Decimal(factor), quantity.unit))


def on(table: str, change: Callable[[str, Any], Iterator[Mapping[str, Any]]]) -> Callable[[Machine], Iterator[Mutant]]:
    """An operator on each row of a table; `change` gives the changed fields, once for each mutant of the row."""

    def mutants(machine: Machine) -> Iterator[Mutant]:
        for key, row in getattr(machine, table).items():
            for changes in change(key, row):
                yield key, replaced(machine, table, key, **changes)

    return mutants


def each_without(field: str) -> Callable[[str, Any], Iterator[Mapping[str, Any]]]:
    def change(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
        items = getattr(row, field)
        for at in range(len(items)):
            yield {field: items[:at] + items[at + 1 :]}

    return change


def emptied(field: str, empty: Any) -> Callable[[str, Any], Iterator[Mapping[str, Any]]]:
    def change(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
        if getattr(row, field) != empty:
            yield {field: empty}

    return change


def shrunk(field: str, factor: str) -> Callable[[str, Any], Iterator[Mapping[str, Any]]]:
    def change(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
        amount = getattr(row, field)
        if amount is not None:
            yield {field: scaled(amount, factor)}

    return change


def proof_fewer(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    prove = row.prove
    for at in range(len(prove.between) if prove is not None else 0):
        yield {"prove": prove._replace(between=prove.between[:at] + prove.between[at + 1 :])}


def proof_blind(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    prove = row.prove
    for at in range(len(prove.sees) if prove is not None else 0):
        yield {"prove": prove._replace(sees=prove.sees[:at] + prove.sees[at + 1 :])}


def proof_open(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    if row.prove is not None and row.prove.access:
        yield {"prove": row.prove._replace(access=())}


def proof_behind(machine: Machine) -> Iterator[Mutant]:
    """The points of a proof moved behind a contact that is open anyway, or to other points of the machine."""
    names = list(machine.points)
    for key, energy in machine.energy.items():
        prove = energy.prove
        if prove is None or not prove.between:
            continue
        used = {ref.name for pair in prove.between for ref in pair}
        for other in [name for name in names if name not in used][:2]:
            pairs = tuple((Ref(other, pair[0].span), *pair[1:]) for pair in prove.between)
            yield f"{key} {other}", replaced(machine, "energy", key, prove=prove._replace(between=pairs))


def control_isolates(machine: Machine) -> Iterator[Mutant]:
    """A control called an isolator, and an energy isolated by it."""
    for name, condition in machine.conditions.items():
        if not condition.control:
            continue
        called = replaced(machine, "conditions", name, control=False, isolates=True)
        yield name, called
        for key, energy in machine.energy.items():
            if energy.isolate and any(test.condition.name == name for case in energy.when for test in case):
                cut = (Setting(Ref(name), condition.values[0]),)
                yield f"{name} {key}", replaced(called, "energy", key, isolate=cut)


def fed_once(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    if row.when:
        yield {"when": ()}
    for at in range(len(row.when)):
        if len(row.when) > 1:
            yield {"when": row.when[:at] + row.when[at + 1 :]}


def when_more(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    """One more thing asked before an energy counts as there: a test narrowed to one value."""
    for at, case in enumerate(row.when):
        for place, test in enumerate(case):
            if len(test.values) > 1:
                fewer = test._replace(values=test.values[:1])
                yield {"when": (*row.when[:at], (*case[:place], fewer, *case[place + 1 :]), *row.when[at + 1 :])}


def nearer(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    if row.kind.name in ("motion", "height", "hydraulic", "pneumatic"):
        yield {"reaches": Ref("touch", row.span)}


def stays(key: str, row: Any) -> Iterator[Mapping[str, Any]]:
    yield {"stays_live": not row.stays_live}


def hidden(machine: Machine) -> Iterator[Mutant]:
    """A part said to expose an energy only while some cover is off that it does not lie behind."""
    covers = [name for name, condition in machine.conditions.items() if condition.cover]
    for key, part in machine.parts.items():
        for at, exposed in enumerate(part.exposes):
            behind = {setting.condition.name for setting in exposed.unless}
            cover = next((name for name in covers if name not in behind), "")
            if cover and not behind:
                unless = (Setting(Ref(cover, exposed.span), machine.conditions[cover].values[0]),)
                less = exposed._replace(unless=unless)
                yield f"{key} {cover}", replaced(machine, "parts", key, exposes=change_at(part.exposes, at, less))


def change_at(items: tuple[Any, ...], at: int, item: Any) -> tuple[Any, ...]:
    return (*items[:at], item, *items[at + 1 :])


def cut_elsewhere(machine: Machine) -> Iterator[Mutant]:
    """An energy said to be cut off by another break than the one that cuts it."""
    breaks = {setting.condition.name: setting for each in machine.energy.values() for setting in each.isolate}
    for key, energy in machine.energy.items():
        others = [setting for name, setting in breaks.items() if name not in {s.condition.name for s in energy.isolate}]
        for at in range(len(energy.isolate)):
            if others:
                yield key, replaced(machine, "energy", key, isolate=change_at(energy.isolate, at, others[0]))


def held_elsewhere(machine: Machine) -> Iterator[Mutant]:
    """What a stand or prop holds is said to be held by another thing of the machine."""
    for key, energy in machine.energy.items():
        held = {ref.name for ref in energy.held_by}
        others = [name for name in machine.things if name not in held]
        for at, ref in enumerate(energy.held_by):
            if others and ref.name in machine.things:
                wrong = Ref(others[0], ref.span)
                yield (
                    f"{key} {others[0]}",
                    replaced(machine, "energy", key, held_by=change_at(energy.held_by, at, wrong)),
                )


OPERATORS: dict[str, Callable[[Machine], Iterator[Mutant]]] = {
    "drop an isolation": on("energy", each_without("isolate")),
    "drop a `when`": on("energy", fed_once),
    "narrow a `when`": on("energy", when_more),
    "drop a feeder": on("energy", each_without("fed_by")),
    "shrink a bleed": on("energy", shrunk("bleed", "0.1")),
    "shrink a capacitance": on("energy", shrunk("capacitance", "0.1")),
    "lower the highest voltage": on("energy", shrunk("highest", "0.5")),
    "raise a mass": on("energy", shrunk("mass", "10")),
    "lower a mass": on("energy", shrunk("mass", "0.1")),
    "lower a pressure": on("energy", shrunk("pressure", "0.1")),
    "shorten a cooling time": on("energy", shrunk("cools_in", "0.1")),
    "drop points of a proof": on("energy", proof_fewer),
    "move the points of a proof": proof_behind,
    "drop what a proof sees": on("energy", proof_blind),
    "drop the cover before the points": on("energy", proof_open),
    "drop a proof": on("energy", emptied("prove", None)),
    "drop the letting go": on("energy", emptied("relieve", None)),
    "forget that it comes back": on("energy", emptied("comes_back", False)),
    "forget that it stays, or claim it": on("energy", stays),
    "drop a holder": on("energy", each_without("held_by")),
    "shorten a reach": on("energy", nearer),
    "call a control an isolator": control_isolates,
    "forget that something isolates": on("conditions", emptied("isolates", False)),
    "drop a lock": on("conditions", emptied("lock", None)),
    "drop when it may be moved": on("conditions", emptied("move_when", ())),
    "forget that it is a cover": on("conditions", emptied("cover", False)),
    "forget that it springs back": on("conditions", emptied("springs_back", None)),
    "hide a part behind a cover": hidden,
    "cut it off elsewhere": cut_elsewhere,
    "hold it by another thing": held_elsewhere,
    "drop what a part exposes": on("parts", each_without("exposes")),
    "drop what a thing sets": on("things", each_without("sets")),
}
