"""The whole way from a flow to a plan: analyse, label, weave, analyse again, close, warn."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from benchleaf.model.flow import OUTCOME, Flow, Station, Way
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Ending, EnergyLine, Plan, Planned, PlanSection, Warned, Why
from benchleaf.model.procedure import Procedure
from benchleaf.model.quantity import Quantity
from benchleaf.model.shop import Shop
from benchleaf.safety.analysis import Analysis, Standing, analyse, inserted_node, written_nodes
from benchleaf.safety.blocks import access_steps, confirm, lock_steps, power_steps, proof_steps
from benchleaf.safety.closing import Closing, LeftOpen, closings, endings
from benchleaf.safety.labels import LOCKED, Labels, label, locked_energies
from benchleaf.safety.locking import Lockout, lockout
from benchleaf.safety.naming import condition_name, energy_name, listed, spoken
from benchleaf.safety.presence import isolation
from benchleaf.safety.sentences import say
from benchleaf.safety.sizes import size_text
from benchleaf.safety.valuation import domains, entry
from benchleaf.safety.warnings import Context, emergency_lines, gear_for, place_warnings
from benchleaf.safety.weave import NOT_ZERO, Blocks, Run, Woven, arrivals, weave
from benchleaf.trade.hazards import hazard

Print = Callable[[Quantity], str]


class Planning(NamedTuple):
    """The plan with what the checks want to know about how it came to be."""

    plan: Plan
    before: Analysis
    labels: Labels
    lockout: Lockout | None
    left_open: tuple[LeftOpen, ...]
    stations: Mapping[str, Station]


def plan_procedure(machine: Machine, shop: Shop, procedure: Procedure, flow: Flow, print_quantity: Print) -> Planning:
    """Plan one procedure whose flow is whole: every way leads to a station, an outcome or a stop."""
    start = entry(machine, procedure.initial)
    nodes = written_nodes(machine, procedure, flow)
    before = analyse(machine, start, nodes)
    labels = label(machine, procedure, flow, before)
    energies = locked_energies(machine, labels)
    locking = lockout(machine, shop, energies) if energies else None
    reached = frozenset(before.before)
    blocks = _blocks(machine, shop, procedure, flow, before, labels, locking)
    runs = weave(flow, labels, blocks, reached)
    woven = _analysed(machine, procedure, flow, runs)
    opened = frozenset(
        s.condition.name for run in runs for w in run.steps if w.step and w.step.role == "access" for s in w.step.sets
    )
    arriving = arrivals(flow, labels, reached)
    made, wrong = closings(machine, procedure, locking, woven, arriving, opened)
    ends = endings(procedure, woven, made, opened)
    if any(way.to == OUTCOME + NOT_ZERO for run in runs for w in run.steps for way in w.ways):
        ends[NOT_ZERO] = Ending(NOT_ZERO, "out-of-service")
    plan = _plan(machine, runs, made, ends, woven, locking, print_quantity)
    return Planning(plan, before, labels, locking, wrong, {station.key: station for station in flow.stations})


def _blocks(
    machine: Machine,
    shop: Shop,
    procedure: Procedure,
    flow: Flow,
    before: Analysis,
    labels: Labels,
    locking: Lockout | None,
) -> Blocks:
    lock = locking or Lockout((), (), (), (), (), (), (), ())
    own = {station.step.object.text for station in flow.stations if station.step.action.name in ("open", "remove")}
    covers = tuple(name for name in lock.covers if name not in own)
    driving = any(station.step.action.name == "drive" for station in flow.stations)
    anything = Standing(domains(machine), frozenset())

    def values(target: str) -> Standing:
        return before.before.get(target) or before.arriving.get(target) or anything

    why_lock, why_power = (
        partial(_why, machine, labels, "energy.lockout"),
        partial(_why, machine, labels, "energy.power"),
    )
    first = Why("energy.confirm", "what the card presumes is confirmed, never trusted")
    return Blocks(
        confirm=confirm(machine, procedure, first),
        lock=lambda target: lock_steps(machine, lock, values(target).values, why_lock(target)),
        prove=lambda target: proof_steps(machine, shop, lock, why_lock(target)),
        access=lambda target: access_steps(machine, lock, values(target).values, why_lock(target)),
        power=lambda target: power_steps(machine, procedure, lock, covers, driving, why_power(target)),
    )


def _why(machine: Machine, labels: Labels, rule: str, target: str) -> Why:
    wish = labels.wishes.get(target)
    if wish is None or wish.label != (LOCKED if rule == "energy.lockout" else "power"):
        reason = "a later step needs it" if rule == "energy.lockout" else "a later step needs power"
        return Why(rule, reason, target)
    names = [energy_name(machine, key) for key in wish.energies]
    sentence = f"{wish.why} ({listed(names)})" if names else wish.why
    return Why(rule, sentence, target, energy=wish.energies[0] if wish.energies else "")


def _analysed(machine: Machine, procedure: Procedure, flow: Flow, runs: Sequence[Run]) -> Analysis:
    written = {node.key: node for node in written_nodes(machine, procedure, flow)}
    nodes = []
    for run in runs:
        for each in run.steps:
            if each.station is not None:
                nodes.append(written[each.key]._replace(ways=each.ways))
            elif each.step is not None:
                nodes.append(inserted_node(each.key, each.step, each.ways))
    return analyse(machine, entry(machine, procedure.initial), nodes)


def _plan(
    machine: Machine,
    runs: Sequence[Run],
    made: Sequence[Closing],
    ends: dict[str, Ending],
    woven: Analysis,
    locking: Lockout | None,
    print_quantity: Print,
) -> Plan:
    steps = [each for run in runs for each in run.steps]
    tails = [_closing_steps(place, closing) for place, closing in enumerate(made, 1)]
    locked = frozenset(each.key for run in runs if run.locked for each in run.steps)
    context = Context(machine, print_quantity, woven.during, locked)
    warned = place_warnings(context, steps)
    sections = [_section(place, run, warned, locking is not None) for place, run in enumerate(runs, 1)]
    for place, (closing, tail) in enumerate(zip(made, tails, strict=True), 1):
        if tail:
            planned = tuple(Planned(each.key, each.ways, inserted=each.step) for each in tail)
            sections.append(PlanSection(f"closing-{place}", "closing", say(f"section-{closing.kind}"), planned))
    named = _named(machine, warned, locking)
    return Plan(
        tuple(sections),
        tuple(ends.values()),
        tuple(_line(machine, key, print_quantity) for key in named),
        gear_for(machine, warned, locking.energies if locking else ()),
        emergency_lines(machine, named),
        _rests_on(machine, locking),
    )


def _closing_steps(place: int, closing: Closing) -> tuple[Woven, ...]:
    keys = [f"closing-{place}-{number}-{step.role}" for number, step in enumerate(closing.steps, 1)]
    ends = [*keys[1:], "end"] if keys else []
    return tuple(
        Woven(key, (Way("next", after),), step=step) for key, step, after in zip(keys, closing.steps, ends, strict=True)
    )


_TITLES = {
    "before": "section-before",
    "isolation": "section-isolation",
    "power": "section-power",
    "detour-isolation": "section-detour",
    "detour-power": "section-detour-power",
}


def _section(place: int, run: Run, warned: dict[str, tuple[Warned, ...]], locks: bool) -> PlanSection:
    planned = tuple(
        Planned(
            each.key,
            each.ways,
            station=each.station.key if each.station is not None else "",
            inserted=each.step,
            warnings=warned.get(each.key, ()),
            live=tuple(ref.name for ref in each.station.step.live.energies)
            if each.station is not None and each.station.step.live is not None
            else (),
        )
        for each in run.steps
    )
    kind = run.kind.removeprefix("detour-")
    if run.kind == "work":
        title = say("section-work" if not locks else "section-work-locked" if run.locked else "section-work-open")
    else:
        title = say(_TITLES[run.kind])
    return PlanSection(f"part-{place}", kind, title, planned)


def _named(machine: Machine, warned: dict[str, tuple[Warned, ...]], locking: Lockout | None) -> tuple[str, ...]:
    """The energies that the card names at its head: locked ones, warned-of ones, and those that stay live."""
    keys = set(locking.energies) if locking else set()
    for warnings in warned.values():
        for each in warnings:
            keys |= {part.partition(":")[2] for part in each.key.split("+")}
    keys |= {key for key, energy in machine.energy.items() if energy.stays_live}
    return tuple(key for key in machine.energy if key in keys)


def _line(machine: Machine, key: str, print_quantity: Print) -> EnergyLine:
    energy = machine.energy[key]
    settings = isolation(machine, key)
    how = listed([f"{condition_name(machine, s.condition.name)} {spoken(s.value.name)}" for s in settings])
    prove = energy.prove
    proof = ""
    if prove is not None:
        if prove.measure and prove.below is not None:
            proof = f"{spoken(prove.measure)} below {print_quantity(prove.below.quantity)}"
        elif prove.look is not None:
            proof = prove.look.text
        elif prove.try_ is not None:
            proof = prove.try_.text
    return EnergyLine(
        key,
        energy.kind.name,
        energy_name(machine, key),
        size_text(energy, print_quantity),
        hazard(energy.kind.name).sign,
        energy.stays_live,
        how,
        proof,
    )


def _rests_on(machine: Machine, locking: Lockout | None) -> tuple[str, ...]:
    """Facts of the machine file that nothing else confirms and on which the lockout stands or falls."""
    if locking is None:
        return ()
    facts = [
        say(
            "rests-isolator",
            condition=condition_name(machine, s.condition.name),
            value=spoken(s.value.name),
            energies=listed([energy_name(machine, key) for key in locking.energies if s in isolation(machine, key)]),
        )
        for s in (*locking.things, *locking.isolators)
    ]
    if machine.energy_none:
        facts.append(say("rests-kinds", kinds=listed([ref.name for ref in machine.energy_none])))
    for key in locking.energies:
        prove = machine.energy[key].prove
        if prove is not None and prove.sees:
            seen = listed([condition_name(machine, ref.name) for ref in prove.sees])
            facts.append(say("rests-sees", energy=energy_name(machine, key), seen=seen))
    return tuple(facts)
