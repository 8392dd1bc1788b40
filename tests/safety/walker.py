"""An honest technician: walks every path of a plan and knows only what was moved, locked and proved on the way.

It knows nothing of the engine that made the plan (29 CFR 1910.147(d), public text of the law).
"""

from collections import deque
from typing import NamedTuple

from tests.safety.workspace import Planned1

from benchleaf.model.plan import Planned
from benchleaf.safety.presence import isolation
from benchleaf.safety.reach import met, nearness


class Standing(NamedTuple):
    """What a technician has done so far on one path."""

    isolated: frozenset[str] = frozenset()
    locked: bool = False
    proved: bool = False


def isolators(planned: Planned1) -> dict[str, str]:
    machine = planned.case.machine
    return {
        setting.condition.name: setting.value.name
        for key in machine.energy
        for setting in isolation(machine, key)
        if setting.condition.name in machine.conditions
    }


def after(step: Planned, side: str, here: Standing, breaks: dict[str, str], written_sets: dict[str, str]) -> Standing:
    moved = {s.condition.name: s.value.name for s in step.inserted.sets} if step.inserted else written_sets
    isolated = set(here.isolated)
    for name, value in moved.items():
        if name in breaks:
            isolated.add(name) if value == breaks[name] else isolated.discard(name)
    role = step.inserted.role if step.inserted else ""
    locked = True if role == "lock" else False if role == "unlock" else here.locked
    proved = (role == "prove" and side == "next") or (here.proved and role != "unlock")
    return Standing(frozenset(isolated), locked, proved and locked)


def walks(planned: Planned1) -> dict[str, set[Standing]]:
    """All standings in which each step of a plan can be reached."""
    steps = {step.key: step for step in planned.steps}
    breaks = isolators(planned)
    stations = {station.key: station for station in planned.flow.stations}
    first = planned.steps[0].key
    seen: dict[str, set[Standing]] = {first: {Standing()}}
    queue = deque([(first, Standing())])
    while queue:
        key, here = queue.popleft()
        step = steps[key]
        sets: dict[str, str] = {}
        if step.station:
            written = stations[step.station].step
            name = written.object.text
            if name in breaks and written.action.name in ("disconnect", "connect"):
                sets[name] = breaks[name] if written.action.name == "disconnect" else "other"
            sets.update({s.condition.name: s.value.name for s in written.sets})
        for way in step.ways:
            there = after(step, way.side, here, breaks, sets)
            if way.to in steps and there not in seen.setdefault(way.to, set()):
                seen[way.to].add(there)
                queue.append((way.to, there))
    return seen


def unprotected(planned: Planned1) -> list[str]:
    """Steps that bring hands to an energy which, on some path, is not isolated, locked and proved."""
    machine = planned.case.machine
    stations = {station.key: station for station in planned.flow.stations}
    reached = walks(planned)
    found = []
    for step in planned.steps:
        written = stations[step.station].step if step.station else None
        if written is None or nearness(machine, written) != "hands" or written.access:
            continue
        needed = {
            setting.condition.name
            for key in met(machine, written)
            if machine.energy[key].kind.name in ("dc", "mains", "motion") and not machine.energy[key].stays_live
            for setting in isolation(machine, key)
            if setting.condition.name in machine.conditions
        }
        for here in reached.get(step.key, ()):
            if not needed <= here.isolated:
                found.append(f"{step.key}: {sorted(needed - here.isolated)} not isolated")
            if needed and not (here.locked and here.proved):
                found.append(f"{step.key}: without lock and proof")
    return found
