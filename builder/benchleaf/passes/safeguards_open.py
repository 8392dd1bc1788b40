"""What stands open, or otherwise than the card found it: when power comes back, and when the machine is given back."""

from functools import partial

from benchleaf.base.finding import Finding, Related
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.plan import Planned
from benchleaf.passes.base import Case
from benchleaf.passes.safeguards_rules import LEFT_OPEN, LEFT_OTHERWISE, OPENED_TWICE, POWER_WHILE_OPEN
from benchleaf.safety.effects import LooseEnd
from benchleaf.safety.naming import condition_name, listed, part_name, spoken
from benchleaf.safety.paths import leads
from benchleaf.safety.planning import Planning
from benchleaf.safety.reach import nearness

SHUT_FIRST = frozenset({"remove", "loosen", "drain"})
# What may stay open while power comes back for a reading behind it.
FOR_A_READING = frozenset({"open", "disconnect"})


def of_open(case: Case, planning: Planning) -> list[Finding]:
    """All that is open, or stands otherwise, where it may not."""
    return [
        *_power_while_open(case, planning),
        *_left_open(case, planning),
        *_left_otherwise(case, planning),
        *_opened_twice(case.machine, planning),
    ]


def _power_while_open(case: Case, planning: Planning) -> list[Finding]:
    """Power that has to come back for a step while something is open, loose or off."""
    machine, found = case.machine, []
    graph, lockings = planning.graph, planning.lockings
    told: set[str] = set()
    for section in planning.plan.sections:
        for each in section.steps:
            there = planning.woven.before.get(each.key)
            if there is None or not _gives_power(machine, each) or each.inserted is None:
                continue
            target = each.inserted.why.station
            read = leads(graph, each.key, partial(_read, machine, planning), lockings.__contains__)
            wrong = SHUT_FIRST if read else SHUT_FIRST | FOR_A_READING
            ends = [end for end in sorted(there.loose) if end.action in wrong]
            if ends and target in planning.stations and target not in told:
                told.add(target)
                names = listed([_loose(machine, end) for end in ends])
                step = planning.stations[target].step
                found.append(POWER_WHILE_OPEN.at(step.span, f"Power has to come back for this step while {names}."))
    return found


def _gives_power(machine: Machine, each: Planned) -> bool:
    if each.inserted is None:
        return False
    broken = any(
        s.condition.name in machine.conditions and machine.conditions[s.condition.name].isolates
        for s in each.inserted.sets
    )
    return each.inserted.role == "unlock" or (each.inserted.role == "restore" and broken)


def _read(machine: Machine, planning: Planning, key: str) -> bool:
    """Whether a step reads by probes with power on."""
    station = planning.stations.get(key)
    if station is None or station.step.action.name != "measure" or nearness(machine, station.step) != "probe":
        return False
    limit = machine.limits.get(station.step.object.text)
    measure = measures().get(limit.measure.name) if limit is not None else None
    return measure is not None and measure.power == "on"


def _left_open(case: Case, planning: Planning) -> list[Finding]:
    found = []
    for left in planning.left_open:
        outcome = case.procedure.outcomes[left.outcome]
        names = listed([_loose(case.machine, end) for end in left.loose])
        found.append(
            LEFT_OPEN.at(
                outcome.span, f"Outcome `{left.outcome}` leaves the machine ready, but {names} on some path to it."
            )
        )
    return found


def _left_otherwise(case: Case, planning: Planning) -> list[Finding]:
    """What an outcome leaves otherwise than the card found it, although `final` does not speak of it."""
    machine, found = case.machine, []
    said = {setting.condition.name for setting in case.procedure.final}
    for setting in case.procedure.initial:
        name = setting.condition.name
        declared = machine.conditions.get(name)
        if declared is None or name in said or not (declared.control or declared.isolates) or declared.may_change:
            continue
        for ending in planning.plan.endings:
            there = planning.leaving(machine, ending.outcome) if ending.leave == "as-final" else None
            if there is not None and there.get(name) != frozenset((setting.value.name,)):
                called = condition_name(machine, name)
                stands = listed([f"'{spoken(value)}'" for value in sorted(there[name] - {setting.value.name})])
                sentence = (
                    f"Outcome `{ending.outcome}` may leave the {called} at {stands}, and `final` says nothing of it."
                )
                span = case.procedure.outcomes[ending.outcome].span
                found.append(LEFT_OTHERWISE.at(span, sentence, related=(Related(setting.condition.span, "found so"),)))
                break
    return found


def _loose(machine: Machine, end: LooseEnd) -> str:
    words = {
        "open": "may stand open",
        "remove": "may be removed",
        "disconnect": "may be parted",
        "loosen": "may be loose",
        "drain": "may be drained",
        "place": "may be in place",
    }
    name = part_name(machine, end.name) if end.name in machine.parts else condition_name(machine, end.name)
    return f"the {name} {words[end.action]}"


def _opened_twice(machine: Machine, planning: Planning) -> list[Finding]:
    """A cover that the proof opened and that the writer's next steps open again."""
    opened = {
        s.condition.name
        for section in planning.plan.sections
        for each in section.steps
        if each.inserted is not None and each.inserted.role == "access"
        for s in each.inserted.sets
    }
    found = []
    for key in planning.labels.wishes:
        station = planning.stations.get(key)
        if station is None or not planning.labels.at(key) or station.step.access:
            continue
        if station.step.action.name in ("open", "remove") and station.step.object.text in opened:
            name = spoken(station.step.object.text)
            found.append(OPENED_TWICE.at(station.step.span, f"The {name} is already open here, for the proof of zero."))
    return found
