"""The plan of a procedure: lockout, proof, restoration and warnings put in, and what makes that impossible."""

from benchleaf.base.finding import Finding, Related
from benchleaf.model.flow import Station, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Step
from benchleaf.passes.base import Case, Facts, Pass, Result
from benchleaf.passes.safeguards_open import of_open
from benchleaf.passes.safeguards_rules import (
    HANDS_UNPROTECTED,
    LIVE_CREW,
    LIVE_NOT_ALLOWED,
    LIVE_WORK_UNSAID,
    MOVED_BY_HAND,
    POWER_AND_HANDS,
    RULES,
    TOGETHER_BROKEN,
)
from benchleaf.safety.effects import moves
from benchleaf.safety.naming import condition_name, energy_name, listed
from benchleaf.safety.planning import Planning, plan_procedure
from benchleaf.safety.presence import ELECTRICAL, isolation, may_be_there
from benchleaf.safety.reach import exposed, met, nearness, parts_of
from benchleaf.safety.sizes import highest_voltage
from benchleaf.safety.thresholds import shock
from benchleaf.safety.wishes import isolatable_there
from benchleaf.trade.numbers import printed

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
    found += of_open(case, planning)
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


SAFEGUARDS = Pass("safeguards", RULES, run=run, needs=("flow",), gives=("plan", "planning"))
