"""What steps expose people to beyond what is put in for them, and whether the machine file can carry a proof."""

from itertools import chain

from benchleaf.base.finding import Finding, Related
from benchleaf.model.basics import State
from benchleaf.model.flow import Flow, Station, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Step
from benchleaf.model.shop import Shop
from benchleaf.passes import hazards_rules as rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.hazards_machine import of_machine, of_shop
from benchleaf.passes.hazards_words import of_words
from benchleaf.safety.effects import moves
from benchleaf.safety.naming import condition_name, energy_name, part_name, spoken
from benchleaf.safety.paths import Graph, leads
from benchleaf.safety.planning import Planning
from benchleaf.safety.presence import isolation, may_be_there
from benchleaf.safety.reach import AIRING, exposed, met, nearness, neighbours, parts_of, reach_of
from benchleaf.safety.sizes import highest_voltage
from benchleaf.safety.thresholds import shock, tightened
from benchleaf.safety.valuation import IN_PLACE, Values, surely


def run(case: Case, facts: Facts) -> Result:
    """Hold every step of one procedure against what its words and its moves bring near."""
    if facts.flow is None or facts.planning is None:
        return Result(facts)
    planning, flow = facts.planning, facts.flow
    graph: Graph = {station.key: station.ways for station in flow.stations}
    found = chain(
        *(_station(case, station, planning) for station in flow.stations if station.key in planning.before.before),
        _evidence(case, flow, planning),
        _charged(case, flow, graph, planning),
        _bypasses(case, flow, graph, planning),
    )
    return Result(facts, tuple(found))


def common(common: Common) -> tuple[Finding, ...]:
    """What is wrong with the isolators of a machine file, or with the thresholds of the shop."""
    return of_shop(common.shop) if common.machine is None else of_machine(common.machine)


def _station(case: Case, station: Station, planning: Planning) -> list[Finding]:
    machine = case.machine
    before, during = planning.before.before[station.key].values, planning.before.during[station.key]
    dead = planning.labels.without_power(station.key)
    return [
        *of_words(machine, case.procedure, station, before),
        *_out_of_turn(case, station, before),
        *_follows_by_itself(machine, station),
        *([] if dead else _within_reach(machine, station, during)),
        *_not_held(machine, station, before),
        *_whole_string(machine, case.shop, station, before),
    ]


def _out_of_turn(case: Case, station: Station, before: Values) -> list[Finding]:
    machine, found = case.machine, []
    for setting in moves(machine, case.procedure, station.step):
        name = setting.condition.name
        declared = machine.conditions.get(name) or machine.things.get(name)
        if declared is None or before.get(name) == frozenset((setting.value.name,)):
            continue
        for needed in declared.move_when:
            if not surely((needed,), before):
                other = condition_name(machine, needed.condition.name)
                found.append(
                    rules.MOVED_OUT_OF_TURN.at(
                        station.step.span,
                        f"The {condition_name(machine, name)} may be moved only with the {other} at "
                        f"'{spoken(needed.value.name)}', which is not sure here.",
                        related=(Related(needed.condition.span, "asked for here"),),
                    )
                )
    return found


def _follows_by_itself(machine: Machine, station: Station) -> list[Finding]:
    step = station.step
    settings = (*step.sets, *(step.while_.sets if step.while_ is not None else ()))
    return [
        rules.SETS_WHAT_FOLLOWS.at(
            setting.condition.span,
            f"The {condition_name(machine, setting.condition.name)} follows by itself; a step can't set it.",
        )
        for setting in settings
        if setting.condition.name in machine.conditions and machine.conditions[setting.condition.name].follows
    ]


def _within_reach(machine: Machine, station: Station, during: Values) -> list[Finding]:
    """Movement that may start while probes are in hand: at the same place by `near`, anywhere by `zone`."""
    step = station.step
    if nearness(machine, step) != "probe":
        return []
    parts = parts_of(machine, step)
    there = exposed(machine, neighbours(machine, parts))
    for name, energy in machine.energy.items():
        reaches = reach_of(energy) == "zone" or (reach_of(energy) == "near" and name in there)
        if energy.kind.name == "motion" and reaches and isolation(machine, name):
            held = any(setting.condition.name in machine.things for setting in energy.isolate)
            if not held and may_be_there(machine, name, during, controls_count=True):
                sentence = f"{energy_name(machine, name).capitalize()} may start while the probes are in hand."
                return [rules.WITHIN_REACH.at(step.span, sentence, related=(Related(energy.span, "described here"),))]
    return []


def _not_held(machine: Machine, station: Station, before: Values) -> list[Finding]:
    """Hands at an energy that nothing isolates and that its holders may not hold."""
    step = station.step
    if nearness(machine, step) != "hands":
        return []
    placing = step.object.text if step.action.name in ("place", "take") else ""
    for name in met(machine, step):
        energy = machine.energy[name]
        holders = [ref.name for ref in energy.held_by if ref.name in machine.things]
        if not holders or isolation(machine, name) or energy.stays_live or placing in holders:
            continue
        held = any(before.get(holder) == frozenset((IN_PLACE,)) for holder in holders)
        if not held and may_be_there(machine, name, before):
            names = " or ".join(condition_name(machine, holder) for holder in holders)
            sentence = (
                f"Hands come within reach of the {energy_name(machine, name)}, and the {names} may not be in place."
            )
            return [rules.NOT_HELD.at(step.span, sentence)]
    return []


def _whole_string(machine: Machine, shop: Shop, station: Station, before: Values) -> list[Finding]:
    """Hands at the terminals of a battery whose whole voltage is within reach."""
    step = station.step
    if nearness(machine, step) != "hands" or step.live is not None or step.action.name == "measure":
        return []
    for name in sorted(exposed(machine, parts_of(machine, step))):
        energy = machine.energy[name]
        if energy.kind.name != "battery" or not energy.stays_live:
            continue
        parting = energy.blocks.parted if energy.blocks is not None else None
        volts = highest_voltage(energy)
        if parting is not None and (surely(parting.when, before) or _parts_it(step, parting.when)):
            volts /= parting.into
        if volts >= shock(shop):
            sentence = f"Up to {volts:g} V stand between the terminals of the {energy_name(machine, name)} in reach."
            return [rules.STRING_WHOLE.at(step.span, sentence)]
    return []


def _parts_it(step: Step, when: State) -> bool:
    """Whether the step is the one that parts or closes the string: with insulated tools it may be done whole."""
    names = {setting.condition.name for setting in when}
    return step.object.text in names or any(setting.condition.name in names for setting in step.sets)


def _evidence(case: Case, flow: Flow, planning: Planning) -> list[Finding]:
    """Readings of what an isolator's move has wiped out, inserted moves included."""
    machine, found = case.machine, []
    for station in flow.stations:
        step = station.step
        if step.action.name not in ("read", "look", "watch", "ask"):
            continue
        for name, condition in machine.conditions.items():
            lost = next((ref for ref in condition.loses if ref.name in (step.object.text, _named(step))), None)
            if lost is None:
                continue
            if any(leads(planning.graph, mover, station.key.__eq__, _never) for mover in _movers(case, planning, name)):
                called = condition_name(machine, name)
                sentence = f"On some path the {called} has been moved before, and the {spoken(lost.name)} are lost."
                found.append(rules.EVIDENCE_LOST.at(step.span, sentence, related=(Related(lost.span, "said here"),)))
    return found


def _never(key: str) -> bool:
    return False


def _named(step: Step) -> str:
    return step.at.name if step.at is not None else ""


def _movers(case: Case, planning: Planning, name: str) -> list[str]:
    """The steps, written or put in, that move a condition out of its working value."""
    isolator = planning.labels.isolators.get(name)
    values = {s.value.name for s in isolator.settings} if isolator is not None else set()
    written = [
        key
        for key, station in planning.stations.items()
        if any(
            s.condition.name == name and s.value.name in values
            for s in moves(case.machine, case.procedure, station.step)
        )
    ]
    return written + [
        each.key
        for section in planning.plan.sections
        for each in section.steps
        if each.inserted is not None
        and each.inserted.role == "isolate"
        and any(s.condition.name == name and s.value.name in values for s in each.inserted.sets)
    ]


def _charged(case: Case, flow: Flow, graph: Graph, planning: Planning) -> list[Finding]:
    """Hands at a battery within an hour after it was charged, with nothing aired."""
    machine, found = case.machine, []
    rest, called = tightened(case.shop, "rest-after-charge")
    gassing = {k for k, e in machine.energy.items() if e.kind.name == "battery" and "lithium" not in str(e.chemistry)}
    stations = {station.key: station for station in flow.stations}

    def at_battery(key: str) -> bool:
        step = stations[key].step if key in stations else None
        if step is None or nearness(machine, step) != "hands" or any(ref.name == AIRING for ref in step.hazards):
            return False
        return bool(gassing & exposed(machine, parts_of(machine, step)))

    def rested(key: str) -> bool:
        step = stations[key].step if key in stations else None
        if step is None:
            return True
        long = step.for_ is not None and step.for_.quantity.number() >= rest
        return (step.action.name == "wait" and long) or any(ref.name == AIRING for ref in step.hazards)

    for station in flow.stations:
        charges = station.step.action.name == "charge" and station.key in planning.before.before
        if charges and leads(graph, station.key, at_battery, rested):
            sentence = f"Hands come to the battery after this charge with less than {called} between."
            found.append(rules.CHARGED_JUST_NOW.at(station.step.span, sentence))
    return found


def _bypasses(case: Case, flow: Flow, graph: Graph, planning: Planning) -> list[Finding]:
    """Devices that were bypassed and are not shown to work before the machine is left ready."""
    machine, found = case.machine, []
    stations = {station.key: station for station in flow.stations}
    ready = {ending.outcome for ending in planning.plan.endings if ending.leave == "as-final"}
    for station in flow.stations:
        thing = machine.things.get(station.step.object.text)
        if station.step.action.name != "take" or thing is None or thing.defeats is None:
            continue
        device = thing.defeats.name

        def shown(key: str, device: str = device) -> bool:
            return key in stations and any(ref.name == device for ref in stations[key].step.tests)

        if leads(graph, station.key, lambda key: outcome_of(key) in ready, shown):
            sentence = f"The {part_name(machine, device)} was bypassed, and no step shows it working before the end."
            found.append(rules.BYPASS_UNTESTED.at(station.step.span, sentence))
    return found


HAZARDS = Pass("hazards", rules.RULES, run=run, common=common, needs=("flow", "planning"), by_class=True)
