"""What a card rests on: facts of the machine file that nothing else confirms, for whoever knows the machine to sign."""

from collections.abc import Callable, Iterator

from benchleaf.base.said import capital, fill, row
from benchleaf.model.basics import When
from benchleaf.model.energy import Energy
from benchleaf.model.machine import Machine
from benchleaf.model.quantity import Quantity
from benchleaf.safety.isolators import Isolator
from benchleaf.safety.labels import Labels
from benchleaf.safety.naming import condition_name, energy_name, kind_name, listed, part_name, spoken
from benchleaf.safety.reach import reach_of
from benchleaf.safety.sentences import say
from benchleaf.safety.sizes import size_text

Print = Callable[[Quantity], str]


def rests_on(
    machine: Machine, labels: Labels, locked: tuple[str, ...], named: tuple[str, ...], print_quantity: Print
) -> tuple[str, ...]:
    """The facts on which the lockouts of a card stand or fall; `locked` and `named` are energies of the card."""
    facts = [
        _isolator(machine, each, at)
        for each in labels.isolators.values()
        for at in range(len(each.settings))
        if set(each.energies) & set(locked)
    ]
    if machine.energy_none and locked:
        facts.append(say("rests-kinds", kinds=listed([kind_name(ref.name) for ref in machine.energy_none])))
    for key in named:
        facts.append(_energy(machine, key, print_quantity))
    if locked:
        facts.extend(_controls(machine))
    return tuple(facts)


def _isolator(machine: Machine, isolator: Isolator, at: int) -> str:
    """What one isolator takes away, whether it takes a lock, and when it may be moved."""
    setting = isolator.settings[at]
    name = setting.condition.name
    pieces = [
        say(
            "rests-isolator",
            condition=condition_name(machine, name),
            value=spoken(setting.value.name),
            energies=listed([energy_name(machine, key) for key in isolator.energies]),
        )
    ]
    declared = machine.conditions.get(name)
    if declared is not None:
        pieces.append(say("rests-lock" if declared.lock else "rests-no-lock"))
        stands = [
            say("rests-setting", condition=condition_name(machine, s.condition.name), value=spoken(s.value.name))
            for s in declared.move_when
        ]
        pieces.append(say("rests-moved-when", settings=listed(stands)) if stands else say("rests-moved-always"))
    return row(pieces)


def _energy(machine: Machine, key: str, print_quantity: Print) -> str:
    """One energy as the machine file describes it: size, feeders, when it is there, where it is met and shown gone."""
    energy = machine.energy[key]
    head = say(
        "rests-energy",
        Energy=capital(energy_name(machine, key)),
        size=size_text(energy, print_quantity) or "–",
        reach=say(f"rests-{reach_of(energy)}"),
    )
    return fill("{facts}.", facts=row([head, row(_facts(machine, key, print_quantity), "; ")], ": "))


def _facts(machine: Machine, key: str, print_quantity: Print) -> Iterator[str]:
    energy = machine.energy[key]
    fed = [energy_name(machine, ref.name) for ref in energy.fed_by]
    yield say("rests-fed", names=listed(fed)) if fed else say("rests-fed-by-nothing")
    if energy.when:
        yield say("rests-when", cases=_cases(machine, energy.when))
    parts = [part_name(machine, name) for name, part in machine.parts.items() if _exposes(machine, name, key)]
    if parts:
        yield say("rests-at", parts=listed(parts))
    held = [_holder(machine, ref.name) for ref in energy.held_by]
    if held:
        yield say("rests-held", names=listed(held))
    drained = [print_quantity(each.quantity) for each in (energy.tolerance, energy.bleed, energy.cools_in) if each]
    if drained:
        yield say("rests-drained", sizes=listed(drained))
    if energy.relieve is not None:
        yield say("rests-let-go")
    if energy.comes_back:
        yield say("rests-back")
    yield from _shown(machine, energy)


def _exposes(machine: Machine, part: str, key: str) -> bool:
    return any(each.energy.name == key for each in machine.parts[part].exposes)


def _shown(machine: Machine, energy: Energy) -> Iterator[str]:
    """How it is shown gone."""
    prove = energy.prove
    if energy.stays_live or prove is None:
        yield say("rests-stays" if energy.stays_live else "rests-no-proof")
        return
    pairs = [f"{pair[0].name}–{pair[1].name}" for pair in prove.between if len(pair) == 2]
    seen = [condition_name(machine, ref.name) for ref in prove.sees]
    if pairs or seen:
        yield say("rests-points", pairs=listed(pairs) or "–", seen=listed(seen) or "–")
    if prove.access:
        yield say("rests-behind", covers=listed([condition_name(machine, ref.name) for ref in prove.access]))


def _holder(machine: Machine, name: str) -> str:
    return condition_name(machine, name) if name in machine.things else part_name(machine, name)


def _cases(machine: Machine, when: When) -> str:
    cases = []
    for case in when:
        tests = [
            say(
                "rests-setting",
                condition=condition_name(machine, test.condition.name),
                value=row([spoken(value.name) for value in test.values], "/"),
            )
            for test in case
        ]
        cases.append(listed(tests))
    return row(cases, "; ")


def _controls(machine: Machine) -> Iterator[str]:
    """Which conditions are trusted to keep hands safe, and which go back by themselves."""
    breaks = [condition_name(machine, name) for name, each in machine.conditions.items() if each.isolates]
    if breaks:
        yield say("rests-breaks", names=listed(breaks))
    covers = [condition_name(machine, name) for name, each in machine.conditions.items() if each.cover]
    if covers:
        yield say("rests-covers", names=listed(covers))
    springs = [condition_name(machine, name) for name, each in machine.conditions.items() if each.springs_back]
    if springs:
        yield say("rests-springs", names=listed(springs))
