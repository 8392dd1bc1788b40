"""Where the blocks stand: lockouts and power put on the ways that need them, in printing order."""

from collections.abc import Callable, Sequence
from typing import NamedTuple

from benchleaf.model.flow import OUTCOME, Flow, Station, Way
from benchleaf.model.plan import Inserted
from benchleaf.safety.labels import Labels

START = "start"
NOT_ZERO = "not-zero"
BUILD_ON = ("next", "inside", "then")


class Woven(NamedTuple):
    """One step in printing order: a station's key, or an inserted step; with its ways."""

    key: str
    ways: tuple[Way, ...]
    station: Station | None = None
    step: Inserted | None = None


class Run(NamedTuple):
    """Steps that belong together: `kind` before | isolation | power | work | detour-isolation | detour-power."""

    kind: str
    locked: bool
    steps: tuple[Woven, ...]
    target: str = ""


class Blocks(NamedTuple):
    """Makers of the inserted steps, each given the key of the station or outcome in front of which it stands."""

    confirm: Inserted
    lock: Callable[[str], Sequence[Inserted]]
    prove: Callable[[str], Sequence[Inserted]]
    access: Callable[[str], Sequence[Inserted]]
    power: Callable[[str], Sequence[Inserted]]


class _Edge(NamedTuple):
    source: str
    way: int
    target: str


def arrivals(flow: Flow, labels: Labels, reached: frozenset[str]) -> dict[str, bool]:
    """For each outcome that can be reached whether the machine is locked on arrival (its closing does the rest).

    Where all ways come from the other state the closing itself makes the change; where they are mixed, those from the
    other state pass a block of their own, so that no closing ever has to say 'if locked'.
    """
    found: dict[str, bool] = {}
    for key in labels.wishes:
        sources = [e.source for e in _edges(flow, reached) if e.target == key]
        if key.startswith(OUTCOME) and sources:
            wanted = key in labels.locked
            found[key] = not wanted if all((s in labels.locked) != wanted for s in sources) else wanted
    return found


def weave(flow: Flow, labels: Labels, blocks: Blocks, reached: frozenset[str]) -> tuple[Run, ...]:
    """All steps but the closings, in printing order. `reached` are the stations that some path comes to."""
    arriving = arrivals(flow, labels, reached)
    edges = _edges(flow, reached)
    ways = {station.key: list(station.ways) for station in flow.stations}
    order = [station.key for station in flow.stations]
    inline: dict[str, list[Woven]] = {}
    detours: list[Run] = []
    chains = _access_chains(flow, labels, edges)
    targets = [*order, *(key for key in labels.wishes if key.startswith(OUTCOME))]
    for target in targets:
        locked = arriving.get(target, target in labels.locked)
        crossing = [e for e in edges if e.target == target and (e.source in labels.locked) != locked]
        if not crossing:
            continue
        made = _block(target, locked, blocks, chains.get(target))
        falls = _falls_through(order, target, crossing)
        if target in ways and (falls or len(crossing) == sum(e.target == target for e in edges)):
            inline[target] = _chained(f"{'lock' if locked else 'power'}-{target}", made, target)
        else:
            steps = _chained(f"{'lock' if locked else 'power'}-{target.removeprefix(OUTCOME)}", made, target)
            detours.append(Run("detour-isolation" if locked else "detour-power", locked, tuple(steps), target))
        first = inline[target][0].key if target in inline else detours[-1].steps[0].key
        for edge in crossing:
            if edge.source != START:
                ways[edge.source][edge.way] = ways[edge.source][edge.way]._replace(to=first)
    proofs = _proofs_after(chains, blocks, ways)
    return (*_runs(flow, labels, blocks, ways, inline, proofs), *detours)


def _edges(flow: Flow, reached: frozenset[str]) -> list[_Edge]:
    found = [_Edge(START, 0, flow.stations[0].key)] if flow.stations else []
    for station in flow.stations:
        if station.key in reached:
            found.extend(_Edge(station.key, place, way.to) for place, way in enumerate(station.ways))
    return found


def _falls_through(order: list[str], target: str, crossing: list[_Edge]) -> bool:
    """Whether the step printed just before goes on to the target by one of these edges."""
    place = order.index(target) if target in order else -1
    if place < 0:
        return False
    before = order[place - 1] if place else START
    return any(edge.source == before for edge in crossing)


def _access_chains(flow: Flow, labels: Labels, edges: list[_Edge]) -> dict[str, tuple[str, str]]:
    """Steps that the writer marks as needed before zero can be proved: first of the chain to (last, what follows)."""
    chains = {}
    stations = {station.key: station for station in flow.stations}
    for station in flow.stations:
        if not station.step.access or station.key not in labels.locked:
            continue
        last = station
        while (after := _only_way(last)) in stations and stations[after].step.access:
            last = stations[after]
        goes_to = _only_way(last)
        if goes_to in stations and goes_to in labels.locked:
            chains[station.key] = (last.key, goes_to)
    return chains


def _only_way(station: Station) -> str:
    onward = [way.to for way in station.ways if way.to != "stop"]
    return onward[0] if len(onward) == 1 else ""


def _block(target: str, locked: bool, blocks: Blocks, chain: tuple[str, str] | None) -> list[Inserted]:
    if not locked:
        return list(blocks.power(target))
    steps = list(blocks.lock(target))
    return steps if chain else [*steps, *blocks.access(target), *blocks.prove(target)]


def _chained(prefix: str, steps: Sequence[Inserted], target: str) -> list[Woven]:
    """Inserted steps one after the other, ending at the target; each proof has its second exit."""
    keys = [f"{prefix}-{place}-{step.role}" for place, step in enumerate(steps, 1)]
    made = []
    for key, step, after in zip(keys, steps, [*keys[1:], target], strict=True):
        ways = [Way("next", after)]
        if step.role == "prove":
            ways.append(Way(NOT_ZERO, OUTCOME + NOT_ZERO))
        if step.role == "confirm":
            ways.append(Way("otherwise", "stop"))
        made.append(Woven(key, tuple(ways), step=step))
    return made


def _proofs_after(
    chains: dict[str, tuple[str, str]], blocks: Blocks, ways: dict[str, list[Way]]
) -> dict[str, list[Woven]]:
    """The proof that stands behind a chain of access steps, by the station after which it is printed."""
    made = {}
    for last, after in set(chains.values()):
        steps = _chained(f"prove-{after}", blocks.prove(after), after)
        made[last] = steps
        ways[last] = [way._replace(to=steps[0].key) if way.to == after else way for way in ways[last]]
    return made


def _runs(
    flow: Flow,
    labels: Labels,
    blocks: Blocks,
    ways: dict[str, list[Way]],
    inline: dict[str, list[Woven]],
    proofs: dict[str, list[Woven]],
) -> list[Run]:
    """Stations and inline blocks grouped into runs, the confirmation first."""
    first = flow.stations[0].key
    entry = inline[first][0].key if first in inline else first
    runs = [Run("before", False, tuple(_chained("begin", [blocks.confirm], entry)))]
    work: list[Woven] = []
    work_locked = False

    def close() -> None:
        if work:
            runs.append(Run("work", work_locked, tuple(work)))
            work.clear()

    for station in flow.stations:
        locked = station.key in labels.locked
        if station.key in inline:
            close()
            runs.append(Run("isolation" if locked else "power", locked, tuple(inline[station.key]), station.key))
        elif work and locked != work_locked:
            close()
        work_locked = locked
        work.append(Woven(station.key, tuple(ways[station.key]), station=station))
        if station.key in proofs:
            close()
            runs.append(Run("isolation", locked, tuple(proofs[station.key]), station.key))
    close()
    return runs
