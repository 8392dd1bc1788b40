"""The plan of a procedure: lockout, proof, restoration and warnings put in, and what makes that impossible."""

from functools import partial

from benchleaf.base.finding import Finding, Related
from benchleaf.model.flow import Station, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.plan import Planned
from benchleaf.model.procedure import Step
from benchleaf.passes.base import Case, Facts, Pass, Result
from benchleaf.passes.safeguards_rules import (
    HANDS_UNPROTECTED,
    LEFT_OPEN,
    LIVE_CREW,
    LIVE_NOT_ALLOWED,
    LIVE_WORK_UNSAID,
    MOVED_BY_HAND,
    OPENED_TWICE,
    POWER_AND_HANDS,
    POWER_WHILE_OPEN,
    RULES,
    TOGETHER_BROKEN,
)
from benchleaf.safety.effects import LooseEnd, moves
from benchleaf.safety.naming import condition_name, energy_name, listed, part_name, spoken
from benchleaf.safety.paths import leads
from benchleaf.safety.planning import Planning, plan_procedure
from benchleaf.safety.presence import ELECTRICAL, isolation, may_be_there
from benchleaf.safety.reach import exposed, met, nearness, parts_of
from benchleaf.safety.sizes import highest_voltage
from benchleaf.safety.thresholds import shock
from benchleaf.safety.wishes import isolatable_there
from benchleaf.trade.numbers import printed

SHUT_FIRST = frozenset({"remove", "loosen", "drain"})
# What may stay open while power comes back for a reading behind it.
FOR_A_READING = frozenset({"open", "disconnect"})
MOVING_ACTIONS = frozenset({"operate", "disconnect", "connect", "place", "take", "charge", "raise", "lower"})


def run(case: Case, facts: Facts) -> Result:
    """Plan the procedure; without a whole flow there is nothing to plan and nothing to say."""
    if facts.flow is None or not facts.flow.stations:
        return Result(facts)
    planning = plan_procedure(
        case.machine,
        case.shop,
        case.procedure,
        facts.flow,
        lambda quantity: printed(quantity, case.shop.units),
        case.variant,
    )
    found: list[Finding] = []
    for station in facts.flow.stations:
        if station.key in planning.before.before:
            found += _station(case, station, planning)
    found += _power_while_open(case, planning)
    found += _left_open(case, planning)
    found += _opened_twice(case.machine, planning)
    return Result(facts._replace(plan=planning.plan, planning=planning), tuple(found))


def _station(case: Case, station: Station, planning: Planning) -> list[Finding]:
    step = station.step
    return [
        *_unisolated(case.machine, step, planning, station.key),
        *_live(case, step, planning, station.key),
        *_power_and_hands(case.machine, step, planning, station.key),
        *_passing(case, step),
        *_together(station, planning),
    ]


def _unisolated(machine: Machine, step: Step, planning: Planning, key: str) -> list[Finding]:
    """Hands within reach of an energy that may be there and that nothing takes away."""
    if nearness(machine, step) != "hands":
        return []
    values = planning.before.before[key].values
    for name in met(machine, step):
        energy = machine.energy[name]
        bare = not isolation(machine, name) and not energy.held_by and energy.relieve is None
        if bare and not energy.stays_live and energy.cools_in is None and may_be_there(machine, name, values):
            return [
                HANDS_UNPROTECTED.at(
                    step.span,
                    f"Hands come within reach of {energy_name(machine, name)}, which can't be cut off.",
                    related=(Related(energy.span, "described here"),),
                )
            ]
    return []


def _live(case: Case, step: Step, planning: Planning, key: str) -> list[Finding]:
    machine = case.machine
    if step.live is not None:
        return [*_live_allowed(machine, step), *_live_crew(case, step)]
    limit = machine.limits.get(step.object.text)
    measure = measures().get(limit.measure.name) if limit is not None and step.action.name == "measure" else None
    if (
        measure is None
        or measure.power == "off"
        or nearness(machine, step) != "probe"
        or planning.labels.without_power(key)
    ):
        return []
    threshold = shock(case.shop)
    values = planning.before.during[key]
    there = [
        name
        for name in machine.energy
        if name in exposed(machine, parts_of(machine, step))
        and machine.energy[name].kind.name in ELECTRICAL
        and highest_voltage(machine.energy[name]) >= threshold
        and may_be_there(machine, name, values)
    ]
    if not there:
        return []
    names = listed([energy_name(machine, name) for name in there])
    volts = max(highest_voltage(machine.energy[name]) for name in there)
    sentence = f"The probes go to live parts ({names}, up to {volts:g} V), and the step does not say why."
    mend = f"Add `live: {{energies: [{', '.join(there)}], why: infeasible, reason: …}}`."
    return [LIVE_WORK_UNSAID.at(step.span, sentence, mend=mend)]


def _live_allowed(machine: Machine, step: Step) -> list[Finding]:
    assert step.live is not None
    if step.action.name not in ("measure", "adjust"):
        sentence = f"Live work is for `measure` and `adjust`, not for `{step.action.name}`."
        return [LIVE_NOT_ALLOWED.at(step.live.span, sentence)]
    wrong = [
        ref
        for ref in step.live.energies
        if ref.name in machine.energy and machine.energy[ref.name].kind.name not in ELECTRICAL
    ]
    return [
        LIVE_NOT_ALLOWED.at(
            ref.span,
            f"The {energy_name(machine, ref.name)} is no electrical energy: nobody works on it live.",
        )
        for ref in wrong
    ]


def _live_crew(case: Case, step: Step) -> list[Finding]:
    assert step.live is not None
    needed = case.shop.energized_work.crew if case.shop.energized_work is not None else 1
    if len(case.procedure.crew) >= needed:
        return []
    sentence = f"The shop wants {needed} people for live work; the crew has {len(case.procedure.crew)}."
    return [LIVE_CREW.at(step.live.span, sentence)]


def _power_and_hands(machine: Machine, step: Step, planning: Planning, key: str) -> list[Finding]:
    if step.power != "on" or nearness(machine, step) != "hands":
        return []
    reached = isolatable_there(machine, step, planning.before.before[key].values)
    if not reached or (step.live is not None and step.action.name == "adjust"):
        return []
    names = listed([energy_name(machine, name) for name in reached])
    return [POWER_AND_HANDS.at(step.span, f"The step wants power while hands are within reach of {names}.")]


def _passing(case: Case, step: Step) -> list[Finding]:
    if step.action.name in MOVING_ACTIONS:
        return []
    found = []
    for setting in moves(case.machine, case.procedure, step):
        condition = case.machine.conditions.get(setting.condition.name)
        if condition is not None and condition.isolates:
            name = condition_name(case.machine, setting.condition.name)
            found.append(MOVED_BY_HAND.at(setting.condition.span, f"`{step.action.name}` moves the {name} in passing."))
    return found


def _together(station: Station, planning: Planning) -> list[Finding]:
    if station.step.together != "next":
        return []
    for way in station.ways:
        here, there = planning.labels.at(station.key), planning.labels.at(way.to)
        if way.side in ("next", "inside") and here != there and not outcome_of(way.to):
            word = "lockout" if there - here else "return of power"
            sentence = f"A {word} has to stand between this step and the next, which are to stay together."
            return [TOGETHER_BROKEN.at(station.step.span, sentence)]
    return []


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


SAFEGUARDS = Pass("safeguards", RULES, run=run, needs=("flow",), gives=("plan", "planning"))
