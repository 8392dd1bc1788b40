"""The state of the machine step by step, in plain sentences: what is locked, what may be there, and why."""

from collections.abc import Iterator, Mapping
from enum import Enum
from itertools import pairwise

from benchleaf.model.expected import Expected
from benchleaf.model.flow import Way
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Planned
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.naming import condition_name, energy_name, listed, spoken
from benchleaf.safety.paths import shortest
from benchleaf.safety.planning import Planning
from benchleaf.safety.presence import isolation, may_be_there
from benchleaf.safety.reach import met, nearness
from benchleaf.safety.sentences import say
from benchleaf.safety.trace_readings import readings
from benchleaf.safety.valuation import Holds, Values, holds


class Presence(Enum):
    """The three answers about an energy at a step."""

    GONE = "gone"
    THERE = "there"
    MAYBE = "maybe"


def presence(machine: Machine, key: str, values: Values, locked: frozenset[str]) -> Presence:
    """Whether an energy is surely gone, surely there, or may be there, where `locked` isolators are locked and proved.

    Controls count for nothing: this is the answer for hands.
    """
    needed = frozenset(needed_for(machine, key))
    if needed and needed <= locked:
        return Presence.GONE
    energy = machine.energy[key]
    if not may_be_there(machine, key, values):
        return Presence.GONE
    if energy.stays_live:
        return Presence.THERE
    working = not isolation(machine, key) or any(
        setting.value.name not in values.get(setting.condition.name, frozenset((setting.value.name,)))
        for setting in isolation(machine, key)
    )
    return Presence.THERE if working and holds(energy.when, values) is Holds.YES else Presence.MAYBE


def trace(machine: Machine, planning: Planning, expected: Expected | None = None) -> tuple[str, ...]:
    """One paragraph for each step in printing order; steps that nothing leads to are left out.

    With `expected` a step that reads says what the circuit lets its meter show.
    """
    steps = [each for section in planning.plan.sections for each in section.steps if section.kind != "closing"]
    numbers = {each.key: number for number, each in enumerate(steps, 1)}
    lines: list[str] = []
    for each in steps:
        if each.key in planning.woven.before:
            lines.extend(_step(machine, planning, each, numbers, steps[0].key))
            lines.extend(readings(expected, each.station))
    return tuple(lines)


def _step(machine: Machine, planning: Planning, each: Planned, numbers: Mapping[str, int], first: str) -> Iterator[str]:
    number = numbers[each.key]
    if each.inserted is not None:
        yield say("trace-inserted", number=str(number), command=each.inserted.command)
        return
    step = planning.stations[each.station].step
    locked = planning.labels.at(each.station)
    values = planning.woven.before[each.key].values
    close = nearness(machine, step)
    called = step.object.text if " " in step.object.text else f"{step.action.name} {spoken(step.object.text)}"
    yield say("trace-step", number=str(number), command=called, nearness=close)
    names = [condition_name(machine, name) for name in planning.labels.isolators if name in locked]
    yield say("trace-locked", names=listed(names)) if names else say("trace-unlocked")
    reached = set(met(machine, step))
    answers = {key: presence(machine, key, values, locked) for key in machine.energy}
    gone = [energy_name(machine, key) for key, answer in answers.items() if answer is Presence.GONE]
    if gone:
        yield say("trace-gone", names=listed(gone))
    for key, answer in answers.items():
        if answer is Presence.GONE:
            continue
        why = _because(machine, key, values)
        sentence = say(f"trace-{answer.value}", energy=energy_name(machine, key), why=why)
        if key in reached:
            sentence += " " + say("trace-reached", path=_told(planning.graph, first, each.key, numbers))
        yield sentence
    ends = planning.woven.before[each.key].loose
    if ends:
        yield say("trace-open", names=listed(sorted(f"{end.action} {spoken(end.name)}" for end in ends)))


def _because(machine: Machine, key: str, values: Values) -> str:
    """What keeps an energy from being surely gone: an isolator that may stand otherwise, or that it stays live."""
    energy = machine.energy[key]
    if energy.stays_live:
        return say("trace-stays")
    for setting in isolation(machine, key):
        have = values.get(setting.condition.name, frozenset())
        others = sorted(have - {setting.value.name})
        if others:
            return say(
                "trace-may-stand", condition=condition_name(machine, setting.condition.name), value=spoken(others[0])
            )
    return say("trace-not-proved") if isolation(machine, key) else say("trace-nothing")


def _told(graph: Mapping[str, tuple[Way, ...]], first: str, goal: str, numbers: Mapping[str, int]) -> str:
    path = shortest(graph, (first,), goal.__eq__)
    shown = []
    for key, after in pairwise(path):
        side = next(way.side for way in graph[key] if way.to == after)
        shown.append(f"{numbers.get(key, 0)}" if side == "next" else f"{numbers.get(key, 0)} ({side})")
    return (
        " → ".join([*shown, str(numbers.get(goal, 0))])
        if len(path) < 12
        else f"{shown[0]} → … → {shown[-1]} → {numbers[goal]}"
    )
