"""Points 6 and 8: breaks move only when they may, power is wanted only where it is, and no control isolates."""

from collections.abc import Iterator
from typing import NamedTuple

from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import Energy, Sheet, Step, words
from benchleaf.card.proof_flow import ELECTRICAL, VOLTAGES, closure
from benchleaf.card.proof_stand import Standing, by_card
from benchleaf.card.proof_values import ANY, Cone, Values
from benchleaf.card.proof_walk import Seen, explore, path_to

POWERED = frozenset({"operate", "charge", "drive"})
DEAD = frozenset({"off", "either"})
LOOSE = frozenset({"open", "remove", "disconnect", "loosen", "drain"})
# What may stay open while power comes back for a reading behind it.
FOR_A_READING = frozenset({"open", "disconnect"})
PRESSED = frozenset({"pressure", "running-pressure"})


class Stand(NamedTuple):
    """How some conditions stand on a path, and which of their locks are on."""

    values: Values
    locks: frozenset[str]


def move_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Breaks that are moved while they must not be, or while they are locked."""
    for name, condition in sheet.conditions.items():
        if condition.isolates and any(name in step.assigns for step in sheet.steps):
            yield from _moved(sheet, name)


def _walk(sheet: Sheet, cone: Cone, locked: frozenset[str]) -> Seen[Stand]:
    def onward(index: int, stand: Stand) -> Iterator[tuple[str, int, Stand]]:
        if index >= len(sheet.steps):
            return
        step = sheet.steps[index]
        values = cone.settled(cone.moved(stand.values, cone.change(step).after))
        locks = stand.locks
        if step.locks and step.role in ("lock", "unlock"):
            named = locked & set(step.locks)
            locks = locks | named if step.role == "lock" else locks - named
        for way in step.ways:
            yield way.side, way.target, Stand(values, locks)
            if way.side == "otherwise":
                yield way.side, way.target, Stand(cone.settled(stand.values), locks)

    return explore(sheet.total, [Stand(cone.start, frozenset())], onward)


def _moved(sheet: Sheet, name: str) -> Iterator[Doubt]:
    condition = sheet.conditions[name]
    cone = Cone(sheet, {name, *(other for other, _ in condition.move_when)})
    if name not in cone.base:
        return
    seen = _walk(sheet, cone, frozenset({name}))
    at = cone.index[name]
    demands = tuple(zip(cone.settings(condition.move_when), condition.move_when, strict=True))
    need = cone.needs(other for other, _ in condition.move_when)
    for step in sheet.steps:
        if name not in step.assigns or step.role == "confirm":
            continue
        goal = cone.value(name, step.assigns[name])
        for stand in seen[step.at]:
            if stand.values[at] == goal != ANY:
                continue
            sentence = ""
            if name in stand.locks:
                sentence = f"The {words(name)} is moved while a lock is on it."
            for whole in cone.whole(stand.values, need):
                wrong = next((words(other) for (i, v), (other, _) in demands if v == ANY or whole[i] != v), "")
                sentence = sentence or (wrong and f"The {words(name)} is moved where the {wrong} may stand otherwise.")
            if sentence:
                yield at_step(sheet, 6, step.at, sentence, path_to(seen, step.at, stand))
                break


def power_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Steps that want power where every source that could give it is cut off."""
    sources = [energy for energy in sheet.energies.values() if _source(sheet, energy)]
    wanting = [step for step in sheet.steps if _wants(step)]
    cone = Cone(sheet, {name for energy in sources for name, _ in energy.isolate})
    if not sources or not wanting or not cone.base:
        return
    cuts = {energy.key: cone.settings(energy.isolate) for energy in sources}
    seen = _walk(sheet, cone, frozenset())
    for step in wanting:
        meant = _meant(sheet, step, sources)
        for stand in seen[step.at]:
            during = cone.moved(stand.values, cone.change(step).during)
            if meant and all(all(v != ANY and during[i] == v for i, v in cuts[energy.key]) for energy in meant):
                named = " and ".join(energy.name for energy in meant)
                sentence = f"The step wants power where the {named} is cut off."
                yield at_step(sheet, 6, step.at, sentence, path_to(seen, step.at, stand), meant[0].key)
                break


def _source(sheet: Sheet, energy: Energy) -> bool:
    """Whether it is power, or a drive of its own, behind breaks which take a lock."""
    breaks = [sheet.conditions[name] for name, _ in energy.isolate if name in sheet.conditions]
    kinds = ELECTRICAL | {"pneumatic", "hydraulic", "motion"}
    return energy.kind in kinds and any(each.isolates and each.lock for each in breaks)


def _wants(step: Step) -> bool:
    if step.role or step.power in DEAD:
        return False
    reading = step.measure in VOLTAGES or step.measure.endswith("current")
    return (
        step.power == "on"
        or step.action in POWERED
        or (step.measure == "running-pressure")
        or (reading and bool(step.live))
    )


def _meant(sheet: Sheet, step: Step, sources: list[Energy]) -> list[Energy]:
    """The sources that could give the power: those of what the step sets going or reads, else any if plainly wanted."""
    going = [energy for energy in sheet.energies.values() if _sets_going(sheet, step, energy)]
    if going:
        feeding = {name for energy in going for name in closure(sheet, energy.key)}
        return [energy for energy in sources if energy.key in feeding]
    if step.measure:
        exposed = {key for name in step.parts if name in sheet.parts for key, _ in sheet.parts[name].exposes}
        kinds = ELECTRICAL if step.measure not in PRESSED else frozenset({"pneumatic", "hydraulic"})
        read = [energy for energy in sheet.energies.values() if energy.key in exposed and energy.kind in kinds]
        feeding = {name for energy in read for name in closure(sheet, energy.key)}
        return [energy for energy in sources if energy.key in feeding] or sources
    plainly = step.power == "on" or step.action in ("charge", "drive")
    return sources if plainly else []


def _sets_going(sheet: Sheet, step: Step, energy: Energy) -> bool:
    """Whether the step moves a control to where this energy needs it."""
    return any(
        name in sheet.conditions and sheet.conditions[name].control and step.assigns.get(name) in values
        for case in energy.when
        for name, values in case
    )


def isolator_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Isolations that name a control, or anything else that breaks nothing."""
    for energy in sheet.energies.values():
        for name, value in energy.isolate:
            condition = sheet.conditions.get(name)
            if condition is None or value not in condition.values:
                yield Doubt(8, "", 0, energy.key, f"The {energy.name} is isolated by what the machine does not have.")
            elif condition.control or not (condition.isolates or condition.thing):
                yield Doubt(
                    8, "", 0, energy.key, f"The {words(name)} is a control: it does not isolate the {energy.name}."
                )
        if energy.prove and energy.prove.sees:
            missing = sorted({name for name, _ in energy.isolate} - set(energy.prove.sees))
            for name in missing:
                sentence = f"The proof of the {energy.name} does not see whether the {words(name)} is open."
                yield Doubt(3, "", 0, energy.key, sentence)


def loose_doubts(sheet: Sheet, standing: Standing) -> Iterator[Doubt]:
    """Power that comes back while something is still open, loose or off; what is placed may be wanted under power."""
    for step in sheet.steps:
        breaks = [name for name in step.assigns if name in sheet.conditions and sheet.conditions[name].isolates]
        if not (step.role == "unlock" or (step.role == "restore" and breaks)):
            continue
        wanted = _read_with_power(sheet, step)
        for bit in standing.bits:
            action, mark, name = bit.partition(":")
            if wanted and action in FOR_A_READING and not standing.possible(step.at, by_card(bit)):
                continue
            if mark and name and action in LOOSE and standing.possible(step.at, bit):
                sentence = f"Power comes back while there is a loose end ({action} {words(name)})."
                yield at_step(sheet, 2, step.at, sentence, standing.path(step.at, bit))
                break


def _read_with_power(sheet: Sheet, step: Step) -> bool:
    """Whether probes read with power before the next lockout begins: a cover or plug may be open for just that."""
    seen, todo = {step.at}, [step.at]
    while todo:
        for way in sheet.steps[todo.pop()].ways:
            if way.target in seen or not 0 <= way.target < len(sheet.steps):
                continue
            after = sheet.steps[way.target]
            if not after.role and after.nearness == "probe" and (after.measure in VOLTAGES or _wants(after)):
                return True
            seen.add(way.target)
            if after.role not in ("isolate", "lock"):
                todo.append(way.target)
    return False


def access_doubts(sheet: Sheet, standing: Standing) -> Iterator[Doubt]:
    """Proofs at points that a cover still hides."""
    for step in sheet.steps:
        if step.role != "prove" or not step.measure:
            continue
        for energy in (sheet.energies[key] for key in step.energies if key in sheet.energies):
            for name in energy.prove.access if energy.prove else ():
                shut = f"{name}={sheet.conditions[name].closed}" if name in sheet.conditions else ""
                if shut and standing.possible(step.at, shut):
                    sentence = f"The points of the proof are hidden: the {words(name)} may be closed."
                    yield at_step(sheet, 2, step.at, sentence, standing.path(step.at, shut), energy.key)
