"""Points 1 and 5 of the proof: whom each energy reaches at each step, and whether it is kept away there."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from benchleaf.card.proof_cone import Group, State, moving
from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import Energy, Setting, Sheet, Step, words
from benchleaf.card.proof_flow import ELECTRICAL, Moment, closure, isolators
from benchleaf.card.proof_walk import path_to

OHMIC = frozenset({"resistance", "continuity", "diode", "insulation-resistance"})
DRIVING = frozenset({"operate", "charge", "raise", "lower", "drive"})
DANGEROUS_VOLTS = 50.0
LACKS = {
    "isolate": "which is not isolated here",
    "lock": "whose isolation is not locked here",
    "relieve": "which is stored and not let go here",
    "prove": "which is not proved gone here",
    "try": "which nobody has tried to start since it was isolated",
}


class Meeting(NamedTuple):
    """A step at which an energy meets somebody.

    `how`: hands | access (hands before the proof) | owed (work after that, by when it must be proved) | probe | ohmic |
    warn | live.
    `bare` are the settings under which each exposed part is covered.
    """

    step: Step
    how: str
    bare: tuple[tuple[Setting, ...], ...] = ()


def meetings(sheet: Sheet, energy: Energy) -> Iterator[Meeting]:
    """All steps at which somebody may meet the energy, in printing order."""
    for step in sheet.steps:
        if step.nearness == "hands":
            bare = _bare_to_hands(sheet, energy, step)
            if bare and step.role != "safe" and not _allowed(energy, step):
                yield Meeting(step, "access" if step.access else "hands", bare)
        elif step.nearness == "probe" and not step.role and energy.kind in ELECTRICAL:
            bare = _bare(sheet, energy, step.parts)
            if step.measure in OHMIC:
                if bare or _in_circuit(sheet, energy, step):
                    yield Meeting(step, "ohmic", bare or ((),))
            elif bare and not _allowed(energy, step) and energy.highest >= DANGEROUS_VOLTS:
                yield Meeting(step, "probe", bare)
        if not step.role and not step.access:
            yield Meeting(step, "owed")
        if energy.key in step.live:
            yield Meeting(step, "live")
        if step.action in DRIVING and not step.role and moving(sheet, energy.key):
            yield Meeting(step, "warn")


def _in_circuit(sheet: Sheet, energy: Energy, step: Step) -> bool:
    """Whether an energy hangs together by its supply with what is at the points of a resistance reading.

    Where nothing electrical is said to be at the points, any circuit may be, unless the writer says that it is none.
    """
    exposed = {key for name in step.parts if name in sheet.parts for key, _ in sheet.parts[name].exposes}
    there = [key for key in exposed if key in sheet.energies and sheet.energies[key].kind in ELECTRICAL]
    if energy.stays_live or step.power in ("on", "either"):
        return False
    family = closure(sheet, energy.key)
    return not there or any(key in family or energy.key in closure(sheet, key) for key in there)


def _allowed(energy: Energy, step: Step) -> bool:
    """What stays live is worked on as it is; listed live work is for measuring and adjusting electrical things."""
    listed = energy.key in step.live and energy.kind in ELECTRICAL and step.action in ("measure", "adjust")
    return energy.stays_live or listed


def _bare_to_hands(sheet: Sheet, energy: Energy, step: Step) -> tuple[tuple[Setting, ...], ...]:
    """How the energy may meet hands in a step: empty where it can't, an empty setting where nothing covers it."""
    if energy.reach in ("near", "zone") or _behind_battery(sheet, energy, step):
        return ((),)
    if not step.parts:
        return () if _only_moves(sheet, step) else ((),)
    places = {sheet.parts[name].place for name in step.parts if name in sheet.parts} - {""}
    around = [name for name, part in sheet.parts.items() if part.place in places]
    return _bare(sheet, energy, (*step.parts, *around))


def _behind_battery(sheet: Sheet, energy: Energy, step: Step) -> bool:
    """Whether hands come to a battery that stays live and this is one of its loads or charging paths."""
    if energy.stays_live or not isolators(sheet, energy.key):
        return False
    exposed = {key for name in step.parts if name in sheet.parts for key, _ in sheet.parts[name].exposes}
    for key in exposed:
        battery = sheet.energies.get(key)
        if battery is not None and battery.kind == "battery" and battery.stays_live:
            loads = [name for name in sheet.energies if name != key and key in closure(sheet, name)]
            if any(energy.key in closure(sheet, name) for name in loads):
                return True
    return False


def _bare(sheet: Sheet, energy: Energy, parts: Iterable[str]) -> tuple[tuple[Setting, ...], ...]:
    if energy.reach != "touch":
        return ()
    exposed = (sheet.parts[name].exposes for name in parts if name in sheet.parts)
    return tuple(dict.fromkeys(unless for exposes in exposed for key, unless in exposes if key == energy.key))


def _only_moves(sheet: Sheet, step: Step) -> bool:
    """Whether hands only open or close a cover, or place or take a thing."""
    moved = [sheet.conditions[name] for name in step.assigns if name in sheet.conditions]
    if step.action in ("open", "close"):
        return any(condition.cover for condition in moved)
    return step.action in ("place", "take") and any(condition.thing for condition in moved)


def doubts_of(sheet: Sheet, group: Group, key: str, found: Iterable[Meeting]) -> Iterator[Doubt]:
    """The first doubt at each step where the energy meets somebody."""
    energy = sheet.energies[key]
    for meeting in found:
        for state in group.seen[meeting.step.at]:
            sentence = _sentence(group, energy, meeting, state)
            if sentence:
                point = {"ohmic": 5, "live": 6}.get(meeting.how, 1)
                path = path_to(group.seen, meeting.step.at, state)
                yield at_step(sheet, point, meeting.step.at, sentence, path, key)
                break


def _sentence(group: Group, energy: Energy, meeting: Meeting, state: State) -> str:
    """What is wrong when the step is reached in this state; empty where nothing is."""
    key, how, step = energy.key, meeting.how, meeting.step
    if how in ("hands", "access"):
        for moment in _moments(group, energy, meeting, state):
            lacking = group.fault(key, moment, proof=how == "hands")
            if lacking and not _covered(group, moment, meeting.bare):
                return f"Hands come within reach of the {energy.name}, {LACKS[lacking]}."
        return ""
    if how == "owed":
        if state.owing & group.owed[key] and any(group.fault(key, m) for m in _moments(group, energy, meeting, state)):
            return f"Hands made way for a proof within reach of the {energy.name}, which nobody proves before work."
        return ""
    moments = list(_moments(group, energy, meeting, state))
    if how == "ohmic":
        for moment in moments:
            lacking = "isolate" if energy.stays_live else group.fault(key, moment)
            if lacking and not _covered(group, moment, meeting.bare):
                return f"The {words(step.measure)} is read where the {energy.name} may be on, {LACKS[lacking]}."
        return ""
    alive = [moment for moment in moments if group.flows.alive(key, moment)]
    if how == "probe":
        if any(group.fault(key, m) and not _covered(group, m, meeting.bare) for m in alive):
            return f"The probes touch the {energy.name}, which may be there and is not listed as live work."
        return ""
    if how == "live":
        kinds = energy.kind in ELECTRICAL and step.action in ("measure", "adjust")
        if not kinds:
            return (
                f"Live work on the {energy.name}: only measuring and adjusting of electrical things may be done live."
            )
        return "" if alive else f"The step wants the {energy.name} live, which is cut off here."
    warned = (state.warned & group.to_warn[key]) or key in step.warned
    return f"The {energy.name} may start here, and nothing has warned of it." if alive and not warned else ""


def _moments(group: Group, energy: Energy, meeting: Meeting, state: State) -> Iterator[Moment]:
    """The moments before and while the step is done; who places or takes what holds a thing stands there by need."""
    step = meeting.step
    during, _ = group.passing(step, state)
    sides = [(state.values, False), (during, True)]
    family = [group.sheet.energies[name] for name in closure(group.sheet, energy.key)]
    own = {name for each in family for name in (*(name for name, _ in each.isolate), *each.held_by)}
    if step.nearness == "hands" and own & set(step.assigns):
        if step.action == "place":
            sides = sides[1:]
        elif step.action == "take":
            sides = sides[:1]
    watched = {name for unless in meeting.bare for name, _ in unless}
    for values, doing in sides:
        yield from group.standing(step, state, values, energy.key, watched, doing=doing)


def _covered(group: Group, moment: Moment, bare: tuple[tuple[Setting, ...], ...]) -> bool:
    """Whether every part that exposes it is surely covered, by nothing but what hands may trust."""
    conditions = group.sheet.conditions
    return all(
        unless
        and all(
            name in conditions
            and conditions[name].protects
            and moment.values[group.cone.index[name]] == group.cone.value(name, value)
            for name, value in unless
        )
        for unless in bare
    )
