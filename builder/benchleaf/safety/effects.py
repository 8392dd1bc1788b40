"""What a written step moves: conditions that its action and `sets` change, and loose ends that it opens or closes."""

from typing import NamedTuple

from benchleaf.model.basics import Ref, Setting, State
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure, Step
from benchleaf.safety.valuation import IN_PLACE, OUT

OPENING = frozenset({"open", "remove", "disconnect", "loosen", "drain", "place"})
CLOSING = {
    "close": "open",
    "fit": "remove",
    "connect": "disconnect",
    "tighten": "loosen",
    "fill": "drain",
    "take": "place",
}


class LooseEnd(NamedTuple):
    """Something that must be put back: the action that opened it and what it acted on."""

    action: str
    name: str


def isolated_value(machine: Machine, condition: str) -> str:
    """The value by which energies of the machine name this condition as isolated; empty if none does."""
    for energy in machine.energy.values():
        for setting in energy.isolate:
            if setting.condition.name == condition:
                return setting.value.name
    return ""


def working_value(machine: Machine, procedure: Procedure, condition: str) -> str:
    """The value of the condition at the start of the procedure, else by the machine file, else its first other one."""
    for setting in procedure.initial:
        if setting.condition.name == condition:
            return setting.value.name
    declared = machine.conditions.get(condition)
    if declared is None:
        return OUT if condition in machine.things else ""
    if declared.initial is not None:
        return declared.initial.name
    isolated = isolated_value(machine, condition)
    return next((value.name for value in declared.values if value.name != isolated), "")


def moves(machine: Machine, procedure: Procedure, step: Step) -> State:
    """The settings that a step makes: by its action on a named condition or thing, then by `sets`."""
    name = step.object.text
    implied: list[Setting] = []
    if step.action.name in ("place", "take") and name in machine.things:
        implied.extend(_thing_moves(machine, procedure, step, name))
    elif name in machine.conditions:
        value = _condition_value(machine, procedure, step.action.name, name)
        if value:
            implied.append(Setting(Ref(name, step.object.span), Ref(value, step.object.span)))
    return (*implied, *step.sets)


def _thing_moves(machine: Machine, procedure: Procedure, step: Step, name: str) -> list[Setting]:
    placed = step.action.name == "place"
    made = [Setting(Ref(name, step.object.span), Ref(IN_PLACE if placed else OUT, step.object.span))]
    for setting in machine.things[name].sets:
        value = setting.value.name if placed else working_value(machine, procedure, setting.condition.name)
        made.append(Setting(setting.condition, Ref(value, setting.value.span)))
    return made


def _condition_value(machine: Machine, procedure: Procedure, action: str, name: str) -> str:
    values = machine.conditions[name].values
    if action in ("open", "remove"):
        return values[1].name if len(values) > 1 else ""
    if action in ("close", "fit"):
        return values[0].name
    if action == "disconnect":
        return isolated_value(machine, name)
    return working_value(machine, procedure, name) if action == "connect" else ""


def loose_ends(before: frozenset[LooseEnd], machine: Machine, step: Step) -> frozenset[LooseEnd]:
    """The loose ends after a step, given those before. Moving an isolator is the lock's business, not a loose end."""
    action, name = step.action.name, _subject(step)
    declared = machine.conditions.get(name)
    if declared is not None:
        if declared.isolates:
            return before
        action = {"remove": "open", "fit": "close"}.get(action, action)
    if action in OPENING:
        return before | {LooseEnd(action, name)}
    if action in CLOSING:
        return before - {LooseEnd(CLOSING[action], name)}
    return before


def _subject(step: Step) -> str:
    return step.at.name if step.at is not None and " " in step.object.text else step.object.text
