"""Point 4 of the proof: every path ends in an outcome or stops, and each outcome leaves the machine as it says."""

from collections.abc import Iterator

from benchleaf.card.proof_cone import Group, State
from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import LOST, OUT, STOP, End, Sheet, words
from benchleaf.card.proof_runs import LEAVING
from benchleaf.card.proof_stand import LOCK, Standing
from benchleaf.card.proof_values import ANY, Cone
from benchleaf.card.proof_walk import Taken, explore, path_to

LEFT = {"lock": "not locked", "isolate": "not isolated", "relieve": "still stored"}


def path_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Ways that lead nowhere, and steps from which no end is reached."""
    before: dict[int, list[int]] = {}
    ended = {end.at for end in sheet.ends}
    for step in sheet.steps:
        for way in step.ways:
            if way.target == LOST:
                yield at_step(sheet, 4, step.at, f"The way `{way.side}` leads to `{way.to}`, which is not on the card.")
            elif way.target == STOP:
                ended.add(step.at)
            else:
                before.setdefault(way.target, []).append(step.at)
        if not step.ways:
            yield at_step(sheet, 4, step.at, "Nothing says what comes after this step.")
    todo = list(ended)
    while todo:
        for index in before.get(todo.pop(), ()):
            if index not in ended:
                ended.add(index)
                todo.append(index)
    for step in sheet.steps:
        if step.at not in ended and step.ways:
            yield at_step(sheet, 4, step.at, "From this step no path ends in an outcome.")


def end_doubts(sheet: Sheet, standing: Standing) -> Iterator[Doubt]:
    """What as-final outcomes leave open, moved, locked or untold."""
    for end in sheet.ends:
        if end.leave == "as-final":
            yield from _as_final(sheet, standing, end)
    for section in dict.fromkeys(closing for closing in sheet.closings.values() if closing):
        alike = [key for key, closing in sheet.closings.items() if closing == section]
        steps = [step for step in sheet.steps if step.section == section]
        if len({sheet.leaves[key] for key in alike}) > 1:
            yield Doubt(4, "", 0, "", f"The findings {', '.join(alike)} end alike and leave the machine differently.")
        elif sheet.leaves[alike[0]] == "as-final" and any(step.role in LEAVING for step in steps):
            yield Doubt(4, "", 0, "", f"The finding `{alike[0]}` tags the machine and calls it ready.")


def _as_final(sheet: Sheet, standing: Standing, end: End) -> Iterator[Doubt]:
    def doubt(bit: str, sentence: str) -> Doubt:
        path = standing.path(end.at, bit)
        return at_step(sheet, 4, end.at, f"{_called(sheet, end, path)} {sentence}", path)

    for bit in standing.bits:
        action, mark, name = bit.partition(":")
        if mark and name and standing.possible(end.at, bit):
            left = f"the {words(name)} locked" if bit.startswith(LOCK) else f"a loose end ({action} {words(name)})"
            yield doubt(bit, f"may leave {left}.")
    for name, value in _to_stand(sheet).items():
        condition = sheet.conditions.get(name)
        if condition is None or (condition.follows and not condition.may_change):
            continue
        for other in standing.others(end.at, name, value):
            yield doubt(f"{name}={other}", f"may leave the {words(name)} {words(other)}, not {words(value)}.")
    yield from _following(sheet, end)


def _called(sheet: Sheet, end: End, path: tuple[Taken, ...]) -> str:
    """The finding by which a path comes to an end; several findings may share a closing section."""
    for at, side in path:
        for way in sheet.steps[at].ways if at < len(sheet.steps) else ():
            if way.side == side and way.to.startswith("outcome:"):
                return f"The finding `{way.to.removeprefix('outcome:')}`"
    return f"The finding `{end.outcomes[0]}`" if end.outcomes else "The end of the card"


def _to_stand(sheet: Sheet) -> dict[str, str]:
    """How everything must stand in the end: as `final` says; covers and things that the card moves shut and out."""
    moved = {name for step in sheet.steps for name in step.assigns if name in sheet.conditions}
    usual = {
        name: sheet.conditions[name].closed if sheet.conditions[name].cover else OUT
        for name in sorted(moved)
        if sheet.conditions[name].cover or sheet.conditions[name].thing
    }
    return usual | dict(sheet.final)


def _following(sheet: Sheet, end: End) -> Iterator[Doubt]:
    """`final` of conditions that others decide."""
    for name, value in sheet.final.items():
        condition = sheet.conditions.get(name)
        if condition is None or not condition.follows or condition.may_change:
            continue
        cone = Cone(sheet, (name,))
        need = cone.needs((name,))

        def onward(
            index: int, values: tuple[int, ...], cone: Cone = cone
        ) -> Iterator[tuple[str, int, tuple[int, ...]]]:
            if index < len(sheet.steps):
                step = sheet.steps[index]
                after = cone.settled(cone.moved(values, cone.change(step).after))
                for way in step.ways:
                    yield way.side, way.target, after
                    if way.side == "otherwise":
                        yield way.side, way.target, cone.settled(values)

        seen = explore(sheet.total, [cone.start], onward)
        wanted = cone.value(name, value)
        for values in seen[end.at]:
            if any(whole[cone.index[name]] != wanted for whole in cone.whole(values, need)) or wanted == ANY:
                path = path_to(seen, end.at, values)
                sentence = f"{_called(sheet, end, path)} may leave the {words(name)} otherwise than {words(value)}."
                yield at_step(sheet, 4, end.at, sentence, path)
                break


def left_doubts(sheet: Sheet, group: Group, key: str) -> Iterator[Doubt]:
    """Energies that an out-of-service outcome leaves with power on, unlocked or under pressure."""
    energy = sheet.energies[key]
    if energy.stays_live:
        return
    for end in sheet.ends:
        if end.leave != "out-of-service" or not end.closed_off:
            continue
        for state in group.seen[end.at]:
            lacking = _left(group, key, state)
            if lacking:
                path = path_to(group.seen, end.at, state)
                sentence = f"{_called(sheet, end, path)} leaves the {energy.name} {LEFT[lacking]}."
                yield at_step(sheet, 4, end.at, sentence, path, key)
                break


def _left(group: Group, key: str, state: State) -> str:
    """What an energy that can be isolated lacks when the machine is left; what drains away by itself may do so."""
    known = group.flows.known[key]
    for moment in group.moments(state.values, state.locks, state.stored, state.proof, state.off, group.need[key]):
        lacking = group.flows.fault(key, moment)
        if lacking == "relieve" and not moment.stored & known.relieve:
            continue
        if lacking and group.flows.isolable(key):
            return lacking
    return ""
