"""The whole way from a flow to a plan: analyse, label, weave, analyse again, close, warn."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from benchleaf.base.said import row
from benchleaf.model.flow import OUTCOME, Flow, Station, Way
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Ending, EnergyLine, Inserted, Plan, Planned, PlanSection, Warned, Why
from benchleaf.model.procedure import Procedure
from benchleaf.model.quantity import Quantity
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.analysis import Analysis, analyse, inserted_node, written_nodes
from benchleaf.safety.blocks import polarity_steps
from benchleaf.safety.closing import Closing, LeftOpen, closings, endings
from benchleaf.safety.effects import moves
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.labels import Labels, label
from benchleaf.safety.locking import lockout
from benchleaf.safety.naming import condition_name, energy_name, listed, measured, spoken
from benchleaf.safety.placing import blocks_for
from benchleaf.safety.polarity import gates, owed
from benchleaf.safety.presence import isolation
from benchleaf.safety.relieved import relieved
from benchleaf.safety.renewing import before_hands
from benchleaf.safety.rests import rests_on
from benchleaf.safety.sentences import say
from benchleaf.safety.sizes import size_text
from benchleaf.safety.thresholds import all_tightened
from benchleaf.safety.tidying import gated, tidied
from benchleaf.safety.valuation import Values, entry, moved
from benchleaf.safety.warnings import Context, emergency_lines, gear_for, place_warnings
from benchleaf.safety.weave import OWN_OUTCOMES, Run, Woven, arrivals, chained, weave
from benchleaf.trade.hazards import hazard

Print = Callable[[Quantity], str]


class Planning(NamedTuple):
    """The plan with what the checks want to know about how it came to be.

    `before` is the analysis of the written steps alone, `woven` that of all steps.
    """

    plan: Plan
    before: Analysis
    woven: Analysis
    labels: Labels
    left_open: tuple[LeftOpen, ...]
    stations: Mapping[str, Station]

    def leaving(self, machine: Machine, outcome: str) -> Values | None:
        """The values of the conditions when an outcome has been closed; None where no path comes to it."""
        there = self.woven.arriving.get(OUTCOME + outcome)
        if there is None:
            return None
        values = there.values
        closing = next((ending.closing for ending in self.plan.endings if ending.outcome == outcome), "")
        for section in self.plan.sections:
            for step in section.steps if section.key == closing else ():
                values = moved(machine, values, step.inserted.sets if step.inserted is not None else ())
        return values

    @property
    def lockings(self) -> frozenset[str]:
        """The keys of the inserted steps that move or lock an isolator."""
        steps = (step for section in self.plan.sections for step in section.steps)
        return frozenset(step.key for step in steps if step.inserted and step.inserted.role in ("isolate", "lock"))

    @property
    def graph(self) -> dict[str, tuple[Way, ...]]:
        """The ways of all steps of the plan, put in or written, by key."""
        return {step.key: step.ways for section in self.plan.sections for step in section.steps}


def plan_procedure(
    machine: Machine, shop: Shop, procedure: Procedure, flow: Flow, print_quantity: Print, variant: Variant = EVERY
) -> Planning:
    """Plan one procedure whose flow is whole: every way leads to a station, an outcome or a stop.

    Machine and procedure are as they stand for the class `variant`.
    """
    before = analyse(machine, entry(machine, procedure.initial), written_nodes(machine, procedure, flow))
    labels = label(machine, procedure, flow, before)
    reached = frozenset(before.before)
    planned = partial(lockout, machine, shop, labels.isolators)
    owing = owed(machine, procedure, flow, labels)
    runs = weave(flow, labels, blocks_for(machine, shop, procedure, flow, before, labels, owing.due, variant), reached)
    runs = gated(runs, _gates(machine, procedure, flow, owing.before))
    woven = _analysed(machine, procedure, flow, runs)
    tidy = tidied(runs, woven, _covers(machine), lambda station: _moved(machine, procedure, station))
    if tidy != runs:
        runs, woven = tidy, _analysed(machine, procedure, flow, tidy)
    opened = frozenset(
        s.condition.name for run in runs for w in run.steps if w.step and w.step.role == "access" for s in w.step.sets
    )
    arriving = arrivals(flow, labels, reached)
    anew = partial(before_hands, machine, shop, labels.isolators)
    gone = relieved(machine, runs)
    made, wrong = closings(machine, procedure, labels, planned, woven, arriving, opened, gone, owing.due, anew)
    ends = endings(procedure, woven, made, opened)
    tails = [_closing_steps(place, closing) for place, closing in enumerate(made, 1)]
    used = {way.to for steps in (*(run.steps for run in runs), *tails) for each in steps for way in each.ways}
    ends.update({key: Ending(key, "out-of-service") for key in OWN_OUTCOMES if OUTCOME + key in used})
    plan = _plan(machine, labels, runs, gone, (made, tails), ends, woven, print_quantity, all_tightened(shop))
    return Planning(plan, before, woven, labels, wrong, {station.key: station for station in flow.stations})


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
    labels: Labels,
    runs: Sequence[Run],
    gone: Mapping[str, frozenset[str]],
    closed: tuple[Sequence[Closing], Sequence[tuple[Woven, ...]]],
    ends: dict[str, Ending],
    woven: Analysis,
    print_quantity: Print,
    limits: Mapping[str, Quantity],
) -> Plan:
    made, tails = closed
    steps = _to_closings(
        [*(each for run in runs for each in run.steps), *(each for tail in tails for each in tail)], closed
    )
    warned = place_warnings(Context(machine, print_quantity, woven.during, gone, limits), steps)
    sections = [_section(place, machine, labels, run, warned) for place, run in enumerate(runs, 1)]
    for place, (closing, tail) in enumerate(zip(made, tails, strict=True), 1):
        if tail:
            planned = tuple(
                Planned(each.key, each.ways, inserted=each.step, warnings=warned.get(each.key, ())) for each in tail
            )
            sections.append(PlanSection(f"closing-{place}", "closing", say(f"section-{closing.kind}"), planned))
    locked = _ever_locked(machine, labels, made)
    named = _named(machine, warned, locked)
    return Plan(
        tuple(sections),
        tuple(ends.values()),
        tuple(_line(machine, key, print_quantity) for key in named),
        gear_for(machine, warned, locked),
        emergency_lines(machine, named),
        rests_on(machine, labels, locked, named, print_quantity),
    )


def _to_closings(steps: Sequence[Woven], closed: tuple[Sequence[Closing], Sequence[tuple[Woven, ...]]]) -> list[Woven]:
    """The steps with each way to an outcome leading to the first step of its closing, as a reader follows them."""
    first = {
        OUTCOME + key: tail[0].key for closing, tail in zip(*closed, strict=True) if tail for key in closing.outcomes
    }
    return [
        each._replace(ways=tuple(way._replace(to=first.get(way.to, way.to)) for way in each.ways)) for each in steps
    ]


def _is_dead(labels: Labels, locked: frozenset[str]) -> bool:
    """Whether the machine can't work with these isolators locked."""
    return any(not labels.isolators[name].rests for name in locked)


def _ever_locked(machine: Machine, labels: Labels, made: Sequence[Closing]) -> tuple[str, ...]:
    """The energies that some part of the card locks away."""
    names = {name for station in labels.locked.values() for name in station}
    return tuple(key for key in machine.energy if set(needed_for(machine, key)) & names)


def _closing_steps(place: int, closing: Closing) -> tuple[Woven, ...]:
    return tuple(chained(f"closing-{place}", closing.steps, "end"))


def _gates(
    machine: Machine, procedure: Procedure, flow: Flow, before: Mapping[str, frozenset[str]]
) -> dict[str, list[Inserted]]:
    """The proofs of polarity before written steps that close a link."""
    return {
        key: polarity_steps(machine, batteries, Why("energy.polarity", "", key))
        for key, batteries in gates(machine, procedure, flow, before).items()
    }


def _covers(machine: Machine) -> frozenset[str]:
    return frozenset(name for name, condition in machine.conditions.items() if condition.cover)


def _moved(machine: Machine, procedure: Procedure, station: Station) -> frozenset[str]:
    return frozenset(setting.condition.name for setting in moves(machine, procedure, station.step))


_TITLES = {
    "before": "section-before",
    "isolation": "section-isolation",
    "power": "section-power",
    "detour-isolation": "section-detour",
    "detour-power": "section-detour-power",
}


def _section(
    place: int, machine: Machine, labels: Labels, run: Run, warned: dict[str, tuple[Warned, ...]]
) -> PlanSection:
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
    if run.kind != "work":
        return PlanSection(f"part-{place}", kind, say(_title(run)), planned)
    if not any(labels.locked.values()):
        return PlanSection(f"part-{place}", kind, say("section-work"), planned)
    title = "section-work-locked" if _is_dead(labels, run.locked) else "section-work-open"
    return PlanSection(f"part-{place}", kind, say(title), planned, _stands(machine, labels, run.locked))


def _title(run: Run) -> str:
    """The sentence key of an inserted run's title; a run that locks and unlocks nothing has its own."""
    roles = {each.step.role for each in run.steps if each.step is not None}
    if roles & {"lock", "unlock", "confirm"}:
        return _TITLES[run.kind]
    if "prove" in roles:
        return "section-proof"
    return {"isolation": "section-safe", "power": "section-free"}[run.kind.removeprefix("detour-")]


def _stands(machine: Machine, labels: Labels, locked: frozenset[str]) -> str:
    """What is locked and what holds during a run, for its head."""
    order = [labels.isolators[name] for name in labels.isolators if name in locked]
    breaks = [
        row((condition_name(machine, i.name), spoken(i.settings[0].value.name))) for i in order if i.kind == "break"
    ]
    things = [condition_name(machine, i.name) for i in order if i.kind == "thing"]
    parts = [say("stands-locked", names=listed(breaks)) if breaks else say("stands-free")]
    if things:
        parts.append(say("stands-held", names=listed(things)))
    return row(parts)


def _named(machine: Machine, warned: dict[str, tuple[Warned, ...]], locked: tuple[str, ...]) -> tuple[str, ...]:
    """The energies that the card names at its head: locked ones, warned-of ones, and those that stay live."""
    keys = set(locked)
    for warnings in warned.values():
        for each in warnings:
            keys |= {part.partition(":")[2] for part in each.key.split("+")}
    keys |= {key for key, energy in machine.energy.items() if energy.stays_live}
    return tuple(key for key in machine.energy if key in keys)


def _line(machine: Machine, key: str, print_quantity: Print) -> EnergyLine:
    energy = machine.energy[key]
    settings = isolation(machine, key)
    how = listed([row((condition_name(machine, s.condition.name), spoken(s.value.name))) for s in settings])
    prove = energy.prove
    proof = ""
    if prove is not None:
        if prove.measure and prove.below is not None:
            proof = say("proved-below", measure=measured(prove.measure), below=print_quantity(prove.below.quantity))
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
