"""After the blocks stand: gates are put before the steps that need one, and covers that stand right are left alone."""

from collections import deque
from collections.abc import Callable, Mapping, Sequence

from benchleaf.model.flow import Station
from benchleaf.model.plan import Inserted
from benchleaf.safety.analysis import Analysis
from benchleaf.safety.weave import Run, Woven, chained

Covers = frozenset[str]


def gated(runs: Sequence[Run], gates: Mapping[str, Sequence[Inserted]]) -> tuple[Run, ...]:
    """The runs with the steps of each gate right before its station, whichever way comes to it."""
    if not gates:
        return tuple(runs)
    made = {key: chained(f"gate-{key}", steps, key) for key, steps in gates.items()}
    entry = {key: steps[0].key for key, steps in made.items() if steps}

    def led(each: Woven) -> Woven:
        ways = tuple(way._replace(to=entry.get(way.to, way.to)) for way in each.ways)
        return each._replace(ways=ways)

    return tuple(
        run._replace(steps=tuple(step for each in run.steps for step in (*made.get(each.key, ()), led(each))))
        for run in runs
    )


def tidied(
    runs: Sequence[Run], before: Analysis, covers: Covers, moved: Callable[[Station], Covers]
) -> tuple[Run, ...]:
    """The runs without opening what surely stands open, and without closing what no inserted step opened.

    `covers` are those of the machine; `moved` names what a written step moves: the writer's from then on.
    """
    steps = {each.key: each for run in runs for each in run.steps}
    idle = {key for key, each in steps.items() if _role(each) == "access" and _stands(each, before)}
    ours = _opened(steps, idle, moved)
    for key, each in steps.items():
        shut = _set(each) if _role(each) == "close" and _set(each) <= covers else frozenset()
        if shut and not shut & ours.get(key, shut):
            idle.add(key)
    idle |= _for_no_hands(runs, idle)
    return without(runs, idle) if idle else tuple(runs)


def _for_no_hands(runs: Sequence[Run], idle: set[str]) -> set[str]:
    """The proofs of blocks that give power back in which no hands come near any more."""
    found: set[str] = set()
    for run in runs:
        steps = [each for each in run.steps if each.step is not None and each.key not in idle]
        proving = {each.key for each in steps if _role(each) in ("relieve", "wait", "access", "prove")}
        hands = any(each.step.nearness == "hands" for each in steps if each.step and each.key not in proving)
        if run.kind.endswith("power") and not hands:
            found |= proving
    return found


def without(runs: Sequence[Run], idle: set[str]) -> tuple[Run, ...]:
    """The runs without some inserted steps, the ways closed over them."""
    onward = {each.key: each.ways[0].to for run in runs for each in run.steps if each.key in idle}

    def beyond(to: str) -> str:
        while to in onward:
            to = onward[to]
        return to

    kept = (
        run._replace(
            steps=tuple(
                each._replace(ways=tuple(way._replace(to=beyond(way.to)) for way in each.ways))
                for each in run.steps
                if each.key not in idle
            )
        )
        for run in runs
    )
    return tuple(run for run in kept if run.steps)


def _role(each: Woven) -> str:
    return each.step.role if each.step is not None else ""


def _set(each: Woven) -> Covers:
    return frozenset(setting.condition.name for setting in each.step.sets) if each.step is not None else frozenset()


def _stands(each: Woven, before: Analysis) -> bool:
    there = before.before.get(each.key)
    return (
        there is not None
        and each.step is not None
        and all(there.values.get(s.condition.name) == frozenset((s.value.name,)) for s in each.step.sets)
    )


def _opened(steps: Mapping[str, Woven], idle: set[str], moved: Callable[[Station], Covers]) -> dict[str, Covers]:
    """The covers that an inserted step may have opened last, before each step that can be reached."""
    first = next(iter(steps), "")
    known: dict[str, Covers] = {first: frozenset()}
    waiting = deque(known)
    while waiting:
        key = waiting.popleft()
        each = steps[key]
        after = known[key] - (moved(each.station) if each.station is not None else frozenset())
        if _role(each) == "access" and key not in idle:
            after |= _set(each)
        elif _role(each) == "close":
            after -= _set(each)
        for way in each.ways:
            if way.to in steps and (way.to not in known or not after <= known[way.to]):
                known[way.to] = known.get(way.to, frozenset()) | after
                waiting.append(way.to)
    return known
