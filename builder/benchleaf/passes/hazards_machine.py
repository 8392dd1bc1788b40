"""The isolators of a machine file and the thresholds of a shop: what no procedure can make good."""

from math import prod

from benchleaf.base.finding import Finding, Related
from benchleaf.model.basics import Setting
from benchleaf.model.circuit import Circuit, ElementChange
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.passes import hazards_rules as rules
from benchleaf.safety.naming import condition_name, energy_name, spoken
from benchleaf.safety.presence import feeders
from benchleaf.safety.thresholds import stricter
from benchleaf.trade.hazards import limits

BRIDGED = frozenset({"short", "closed"})
MOST_VALUATIONS = 4096


def of_shop(shop: Shop) -> tuple[Finding, ...]:
    """Thresholds that the shop has loosened."""
    found = []
    for name, own in shop.thresholds.items():
        published = limits().get(name)
        if published is None or stricter(published, own.quantity):
            continue
        if own.quantity.dimension != published.dimension:
            sentence = f"The threshold `{name}` is a {published.dimension}, which {own} is not."
            found.append(rules.THRESHOLD_LOOSENED.at(own.span, sentence))
        elif own.quantity.number() != published.size:
            sentence = f"The threshold `{name}` of {own} is laxer than the published {published.text}."
            found.append(rules.THRESHOLD_LOOSENED.at(own.span, sentence))
    return tuple(found)


def of_machine(machine: Machine) -> tuple[Finding, ...]:
    """Isolators without a place, faults that bridge them, energies that too much decides about."""
    return (*_no_place(machine), *_bridged(machine), *_tangled(machine))


def _no_place(machine: Machine) -> list[Finding]:
    used = {s.condition.name for energy in machine.energy.values() for s in energy.isolate}
    found = []
    for name, condition in machine.conditions.items():
        if name in used and condition.isolates and condition.place is None:
            sentence = f"The {condition_name(machine, name)} isolates, but the file does not say where it is."
            found.append(rules.NO_PLACE.at(condition.span, sentence))
    return found


def _bridged(machine: Machine) -> list[Finding]:
    """Faults that close a switch of the circuit which an isolator opens, unless another of its switches is left."""
    if machine.circuit is None:
        return []
    found = []
    for fault_name, fault in machine.faults.items():
        for element_name, change in fault.circuit.items():
            if not _bridges(change):
                continue
            for key, energy in machine.energy.items():
                for setting in energy.isolate:
                    opened = _opened(machine.circuit, setting)
                    if element_name in opened and all(_bridges(fault.circuit.get(name)) for name in opened):
                        called = condition_name(machine, setting.condition.name)
                        sentence = (
                            f"With the fault `{fault_name}` the {energy_name(machine, key)} stays alive although the "
                            f"{called} isolates."
                        )
                        related = (Related(energy.span, "isolated here"),)
                        found.append(rules.FAULT_DEFEATS.at(change.span, sentence, related=related))
    return found


def _bridges(change: ElementChange | None) -> bool:
    return change is not None and change.state is not None and change.state.name in BRIDGED


def _opened(circuit: Circuit, setting: Setting) -> tuple[str, ...]:
    """The switches that stand open whenever an isolator stands at its isolating value."""
    name, value = setting.condition.name, setting.value.name
    return tuple(
        key
        for key, element in circuit.elements.items()
        if element.closed_when
        and all(
            any(test.condition.name == name and value not in {each.name for each in test.values} for test in case)
            for case in element.closed_when
        )
    )


def _tangled(machine: Machine) -> list[Finding]:
    found = []
    for key, energy in machine.energy.items():
        cone = conditions_behind(machine, key)
        ways = prod(len(machine.conditions[name].values) if name in machine.conditions else 2 for name in cone)
        if ways > MOST_VALUATIONS:
            sentence = f"{len(cone)} conditions decide about the {spoken(key)}: {ways} ways to stand are too many."
            found.append(rules.TOO_TANGLED.at(energy.span, sentence))
    return found


def conditions_behind(machine: Machine, key: str) -> frozenset[str]:
    """All conditions and things that decide whether an energy is there: its cone."""
    names: set[str] = set()
    for name in (key, *feeders(machine, key)):
        energy = machine.energy.get(name)
        if energy is not None:
            names |= {test.condition.name for case in energy.when for test in case}
            names |= {s.condition.name for s in energy.isolate} | {ref.name for ref in energy.held_by}
    open_ = list(names)
    while open_:
        condition = machine.conditions.get(open_.pop())
        for clause in condition.follows if condition is not None else ():
            for case in clause.when:
                for test in case:
                    if test.condition.name not in names:
                        names.add(test.condition.name)
                        open_.append(test.condition.name)
    return frozenset(name for name in names if name in machine.conditions or name in machine.things)
