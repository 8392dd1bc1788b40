"""Work at batteries, which stay live: looked at first, warned of, parted, aired, joined only with proved polarity."""

from collections.abc import Callable, Iterator

from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import Energy, Sheet, Step
from benchleaf.card.proof_flow import ELECTRICAL, closure, isolators
from benchleaf.card.proof_order import has_exit
from benchleaf.card.proof_values import ANY, Cone
from benchleaf.card.proof_walk import explore, path_to

DANGEROUS_VOLTS = 50.0
HOUR = 3600
MOVING = frozenset({"remove", "fit", "swap", "disconnect", "connect"})


def battery_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """What is wrong with the work at each battery, and with what the card says of all that stays live."""
    yield from _uncounted(sheet)
    for key, energy in sheet.energies.items():
        touched = [step for step in sheet.steps if energy.kind == "battery" and touches(sheet, step, key)]
        if not touched:
            continue
        yield from _unseen(sheet, energy, touched)
        yield from _unpolarised(sheet, energy)
        if energy.stays_live:
            yield from _unwarned(sheet, energy, touched)
            yield from _whole(sheet, energy, touched)
        if "lithium" not in energy.chemistry:
            yield from _gassing(sheet, energy, touched)


def touches(sheet: Sheet, step: Step, key: str) -> bool:
    """Whether hands come to a part that exposes the energy."""
    return step.nearness == "hands" and _exposed(sheet, step, key)


def _exposed(sheet: Sheet, step: Step, key: str) -> bool:
    exposed = (sheet.parts[name].exposes for name in step.parts if name in sheet.parts)
    return any(key == each for exposes in exposed for each, _ in exposes)


def _uncounted(sheet: Sheet) -> Iterator[Doubt]:
    """Steps at what stays live of which the card does not keep count."""
    for step in sheet.steps:
        for key, energy in sheet.energies.items():
            close = step.nearness == "hands" or (step.nearness == "probe" and energy.kind in ELECTRICAL)
            within = close and not step.role and _within(sheet, step, key)
            if within and energy.stays_live and key not in step.stays:
                sentence = f"The {energy.name} stays live within reach, and the card does not say so."
                yield at_step(sheet, 1, step.at, sentence, (), key)


def _within(sheet: Sheet, step: Step, key: str) -> bool:
    """Whether an energy reaches who does the step: by the parts in hand, by those around them, or from afar."""
    energy = sheet.energies[key]
    if step.nearness == "probe":
        return _exposed(sheet, step, key)
    if energy.reach in ("near", "zone"):
        return True
    if not step.parts:
        return step.action not in ("open", "close", "place", "take")
    places = {sheet.parts[name].place for name in step.parts if name in sheet.parts} - {""}
    around = (part for part in sheet.parts.values() if part.place in places)
    return _exposed(sheet, step, key) or any(key == each for part in around for each, _ in part.exposes)


def _first(
    sheet: Sheet,
    after: Callable[[Step, bool], bool],
    wrong: Callable[[Step, bool], bool],
    said: str,
    key: str,
) -> Iterator[Doubt]:
    """A doubt at each step where `wrong` holds on some path, `after` telling what a step makes of what is asked."""

    def onward(index: int, state: bool) -> Iterator[tuple[str, int, bool]]:
        if index < len(sheet.steps):
            step = sheet.steps[index]
            for way in step.ways:
                yield way.side, way.target, after(step, state)
                if way.side == "otherwise":
                    yield way.side, way.target, state

    seen = explore(sheet.total, [False], onward)
    for step in sheet.steps:
        for state in seen[step.at]:
            if wrong(step, state):
                yield at_step(sheet, 2, step.at, said, path_to(seen, step.at, state), key)
                break


def _unseen(sheet: Sheet, energy: Energy, touched: list[Step]) -> Iterator[Doubt]:
    """Hands at a battery that nobody has looked at first, with a way out for one that swells or leaks."""

    def after(step: Step, looked: bool) -> bool:
        return looked or (step.role == "inspect" and energy.key in step.energies and has_exit(sheet, step))

    said = f"Hands come to the {energy.name} before anybody has looked whether it is sound."
    yield from _first(sheet, after, lambda step, looked: step in touched and not looked, said, energy.key)


def _unwarned(sheet: Sheet, energy: Energy, touched: list[Step]) -> Iterator[Doubt]:
    """Hands at terminals of which no warning has told that they stay live, and how to work there."""
    rules = {f"stays:{energy.key}", f"live:{energy.key}"}
    said = f"Hands come to the {energy.name} before the card has warned that it stays live."
    yield from _first(
        sheet,
        lambda step, warned: warned or bool(rules & step.told),
        lambda step, warned: step in touched and not (warned or rules & step.told),
        said,
        energy.key,
    )


def _gassing(sheet: Sheet, energy: Energy, touched: list[Step]) -> Iterator[Doubt]:
    """Hands at a battery within an hour after a charge, with nothing aired."""

    def after(step: Step, charged: bool) -> bool:
        if step.action == "charge" and not step.role:
            return True
        return charged and not step.airs and not (step.action == "wait" and step.seconds >= HOUR)

    said = f"Hands come to the {energy.name} within an hour after a charge, and nothing is aired."
    yield from _first(
        sheet, after, lambda step, charged: charged and step in touched and not step.airs, said, energy.key
    )


def _unpolarised(sheet: Sheet, energy: Energy) -> Iterator[Doubt]:
    """A link or break closed behind blocks that were moved, before their polarity is proved."""
    apart = dict(energy.parted)
    breaks: dict[str, set[str]] = {}
    for key in sheet.energies:
        if energy.key in closure(sheet, key) and key != energy.key:
            for name in isolators(sheet, key):
                breaks.setdefault(name, set()).update(
                    value for each in sheet.energies.values() for by, value in each.isolate if by == name
                )

    def joins(step: Step) -> bool:
        if step.role == "confirm":
            return False
        links = any(name in apart and value != apart[name] for name, value in step.assigns.items())
        return links or any(name in breaks and value not in breaks[name] for name, value in step.assigns.items())

    def after(step: Step, owed: bool) -> bool:
        if step.role == "polarity" and energy.key in step.energies and has_exit(sheet, step):
            return False
        linked = apart.keys() & step.assigns.keys()
        parts = any(step.assigns[name] == apart[name] for name in linked) and step.role != "confirm"
        moves = not step.role and not linked and step.action in MOVING and touches(sheet, step, energy.key)
        return parts or moves or (owed and not joins(step))

    said = f"The {energy.name} is joined before its polarity is proved."
    yield from _first(sheet, after, lambda step, owed: owed and joins(step), said, energy.key)


def _whole(sheet: Sheet, energy: Energy, touched: list[Step]) -> Iterator[Doubt]:
    """Hands at terminals between which more than 50 V may stand, the string being whole."""
    if energy.highest < DANGEROUS_VOLTS:
        return
    cone = Cone(sheet, {name for name, _ in energy.parted})
    wanted = cone.settings(energy.parted)
    need = cone.needs(name for name, _ in energy.parted)
    halves = bool(energy.parted) and energy.highest / energy.lengths < DANGEROUS_VOLTS

    def onward(index: int, values: tuple[int, ...]) -> Iterator[tuple[str, int, tuple[int, ...]]]:
        if index < len(sheet.steps):
            step = sheet.steps[index]
            for way in step.ways:
                yield way.side, way.target, cone.settled(cone.moved(values, cone.change(step).after))
                if way.side == "otherwise":
                    yield way.side, way.target, cone.settled(values)

    seen = explore(sheet.total, [cone.start], onward)
    for step in touched:
        if (
            energy.key in step.live
            or step.action == "measure"
            or {name for name, _ in energy.parted} & set(step.assigns)
        ):
            continue
        for values in seen[step.at]:
            whole = any(value == ANY or full[at] != value for full in cone.whole(values, need) for at, value in wanted)
            if whole or not halves:
                sentence = f"Up to {energy.highest:g} V may stand between terminals of the {energy.name} within reach."
                yield at_step(sheet, 1, step.at, sentence, path_to(seen, step.at, values), energy.key)
                break
