"""Where the blocks stand: lockouts and power put on the ways that need them, in printing order."""

import re
from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from benchleaf.model.flow import OUTCOME, Flow, Station, Way
from benchleaf.model.plan import Inserted
from benchleaf.safety.labels import START, Labels

NOT_ZERO = "not-zero"
BATTERY_UNSAFE = "battery-unsafe"
WRONG_POLARITY = "wrong-polarity"
# Outcomes that inserted steps lead to: all leave the machine locked.
OWN_OUTCOMES = (NOT_ZERO, BATTERY_UNSAFE, WRONG_POLARITY)
_EXITS = {"prove": NOT_ZERO, "inspect": BATTERY_UNSAFE, "polarity": WRONG_POLARITY}
BUILD_ON = ("next", "inside", "then")


_ROLES = (
    "access|check|clear|close|confirm|hand-over|inspect|isolate|lock|polarity|prove|relieve|restore|safe|shut-down"
    "|tag|tell|tell-back|unlock|wait"
)
_OWN_KEY = rf"(begin|closing|gate|lock|power|prove|renew)-(.+-)?[0-9]+-({_ROLES})"


def own_key(key: str) -> bool:
    """Whether a key is of the form that inserted steps have."""
    return re.fullmatch(_OWN_KEY, key) is not None


class Woven(NamedTuple):
    """One step in printing order: a station's key, or an inserted step; with its ways."""

    key: str
    ways: tuple[Way, ...]
    station: Station | None = None
    step: Inserted | None = None


class Run(NamedTuple):
    """Steps that belong together: `kind` before | isolation | power | work | detour-isolation | detour-power.

    `locked` are the isolators locked in them, for a block those locked at its end.
    """

    kind: str
    locked: frozenset[str]
    steps: tuple[Woven, ...]
    target: str = ""


class Delta(NamedTuple):
    """What has to change on a way: isolators to lock and to unlock, while `already` are locked and stay so.

    `renew` tells why zero has to be proved again although nothing moved: work was held up for somebody else (held), or
    an energy comes back by itself (back).
    """

    lock: frozenset[str]
    unlock: frozenset[str]
    already: frozenset[str]
    renew: str = ""


class Blocks(NamedTuple):
    """Makers of the inserted steps, each given the station or outcome in front of which it stands and the change.

    `returning` are the energies that come back by themselves after they were let go.
    """

    confirm: Inserted
    lock: Callable[[str, Delta], Sequence[Inserted]]
    prove: Callable[[str, Delta], Sequence[Inserted]]
    access: Callable[[str, Delta], Sequence[Inserted]]
    renew: Callable[[str, Delta], Sequence[Inserted]]
    power: Callable[[str, Delta], Sequence[Inserted]]
    returning: frozenset[str] = frozenset()


class _Edge(NamedTuple):
    source: str
    way: int
    target: str


def arrivals(flow: Flow, labels: Labels, reached: frozenset[str]) -> dict[str, frozenset[str]]:
    """For each outcome that can be reached the isolators locked on arrival (its closing does the rest).

    Where all ways come in the same state the closing itself makes the change; where they differ, those in another state
    than the outcome wants pass a block of their own, so that no closing ever has to say 'if locked'.
    """
    found: dict[str, frozenset[str]] = {}
    into = _into(flow, reached)
    for key in labels.wishes:
        states = {labels.at(edge.source) for edge in into.get(key, ())}
        if key.startswith(OUTCOME) and states:
            found[key] = next(iter(states)) if len(states) == 1 else labels.at(key)
    return found


def weave(flow: Flow, labels: Labels, blocks: Blocks, reached: frozenset[str]) -> tuple[Run, ...]:
    """All steps but the closings, in printing order. `reached` are the stations that some path comes to."""
    arriving = arrivals(flow, labels, reached)
    into = _into(flow, reached)
    ways = {station.key: list(station.ways) for station in flow.stations}
    order = [station.key for station in flow.stations]
    inline: dict[str, Run] = {}
    detours: list[Run] = []
    chains = _access_chains(flow, labels)
    proofs: dict[str, Delta] = {}
    taken: set[str] = set()
    places = {key: place for place, key in enumerate(order)}
    stale = _stale_ways(flow, labels, blocks.returning)
    for target in [*order, *(key for key in labels.wishes if key.startswith(OUTCOME))]:
        state = arriving.get(target, labels.at(target))
        for delta, group in _crossings(into.get(target, []), labels, state, stale).items():
            chain = chains.get(target) if delta.lock else None
            if chain:
                # One proof stands behind the chain, whichever way leads into it: of all that any of them locks.
                known = proofs.get(chain[0], delta)
                locked, already = known.lock | delta.lock, known.already | delta.already
                proofs[chain[0]] = Delta(locked, frozenset(), already - locked, known.renew or delta.renew)
            number = f"-{len(detours)}" if target in taken else ""
            taken.add(target)
            does = "lock" if delta.lock else "renew" if delta.renew else "power"
            name = f"{does}-{target.removeprefix(OUTCOME)}{number}"
            steps = tuple(chained(name, _block(target, delta, blocks, chain), target))
            if not steps:
                continue
            kind = "isolation" if delta.lock or delta.renew else "power"
            alone = len(group) == len(into[target])
            if target in ways and (_falls_through(order, places[target], group) or alone):
                inline[target] = Run(kind, state, steps, target)
            else:
                detours.append(Run(f"detour-{kind}", state, steps, target))
            for edge in group:
                if edge.source != START:
                    ways[edge.source][edge.way] = ways[edge.source][edge.way]._replace(to=steps[0].key)
    behind = _proofs_behind(chains, proofs, blocks, ways)
    return (*_runs(flow, labels, blocks, ways, inline, behind), *detours)


def _stale_ways(flow: Flow, labels: Labels, returning: frozenset[str]) -> dict[tuple[str, str], str]:
    """The ways on which a proof of zero has gone stale: behind a hold, and before work at an energy that comes back."""
    found = {}
    for station in flow.stations:
        for way in station.ways:
            wish = labels.wishes.get(way.to)
            back = wish is not None and bool(set(wish.energies) & returning)
            why = "held" if station.step.hold is not None else "back" if back else ""
            if why and wish is not None and not way.to.startswith(OUTCOME):
                found[station.key, way.to] = why
    return found


def _crossings(
    edges: list[_Edge], labels: Labels, state: frozenset[str], stale: Mapping[tuple[str, str], str]
) -> dict[Delta, list[_Edge]]:
    """The ways into a target on which something has to change or to be proved again, by what has to."""
    found: dict[Delta, list[_Edge]] = {}
    for edge in edges:
        before = labels.at(edge.source)
        renew = stale.get((edge.source, edge.target), "") if before & state else ""
        if before != state or renew:
            found.setdefault(Delta(state - before, before - state, before & state, renew), []).append(edge)
    return found


def _into(flow: Flow, reached: frozenset[str]) -> dict[str, list[_Edge]]:
    """The ways into each station and outcome, from what can be reached."""
    found: dict[str, list[_Edge]] = {}
    if flow.stations:
        found[flow.stations[0].key] = [_Edge(START, 0, flow.stations[0].key)]
    for station in flow.stations:
        if station.key in reached:
            for place, way in enumerate(station.ways):
                found.setdefault(way.to, []).append(_Edge(station.key, place, way.to))
    return found


def _falls_through(order: list[str], place: int, crossing: list[_Edge]) -> bool:
    """Whether the step printed just before goes on to this place by one of these edges."""
    before = order[place - 1] if place else START
    return any(edge.source == before for edge in crossing)


def _access_chains(flow: Flow, labels: Labels) -> dict[str, tuple[str, str]]:
    """Steps that the writer marks as needed before zero can be proved: first of the chain to (last, what follows)."""
    chains = {}
    stations = {station.key: station for station in flow.stations}
    for station in flow.stations:
        if not station.step.access or not labels.at(station.key):
            continue
        last = station
        while (after := _only_way(last)) in stations and stations[after].step.access:
            last = stations[after]
        goes_to = _only_way(last)
        if goes_to in stations and labels.at(station.key) <= labels.at(goes_to):
            chains[station.key] = (last.key, goes_to)
    return chains


def _only_way(station: Station) -> str:
    onward = [way.to for way in station.ways if way.to != "stop"]
    return onward[0] if len(onward) == 1 else ""


def _block(target: str, delta: Delta, blocks: Blocks, chain: tuple[str, str] | None) -> list[Inserted]:
    """What is locked first, then what gets power: nothing is set free before the other thing is held."""
    steps: list[Inserted] = []
    if delta.renew and not delta.lock:
        steps += blocks.renew(target, Delta(delta.already, frozenset(), frozenset(), delta.renew))
    if delta.lock:
        steps += blocks.lock(target, delta)
        # Nobody puts hands into a machine that is only left locked: zero is proved where work is done.
        if not chain and not target.startswith(OUTCOME):
            proved = Delta(delta.lock | delta.already, frozenset(), frozenset()) if delta.renew else delta
            steps += [*blocks.access(target, proved), *blocks.prove(target, proved)]
    if delta.unlock:
        steps += blocks.power(target, delta)
    return steps


def chained(prefix: str, steps: Sequence[Inserted], target: str) -> list[Woven]:
    """Inserted steps one after the other, ending at the target; each proof has its second exit."""
    keys = [f"{prefix}-{place}-{step.role}" for place, step in enumerate(steps, 1)]
    onward = [*keys[1:], target] if keys else []
    made = []
    for key, step, after in zip(keys, steps, onward, strict=True):
        ways = [Way("next", after)]
        if step.role in _EXITS:
            ways.append(Way(_EXITS[step.role], OUTCOME + _EXITS[step.role]))
        if step.role == "confirm":
            ways.append(Way("otherwise", "stop"))
        made.append(Woven(key, tuple(ways), step=step))
    return made


def _proofs_behind(
    chains: dict[str, tuple[str, str]], proofs: dict[str, Delta], blocks: Blocks, ways: dict[str, list[Way]]
) -> dict[str, list[Woven]]:
    """The proof that stands behind a chain of access steps, by the station after which it is printed."""
    made: dict[str, list[Woven]] = {}
    for last, after in dict.fromkeys(chains.values()):
        delta = proofs.get(last)
        proof = [*blocks.access(after, delta), *blocks.prove(after, delta)] if delta is not None else []
        steps = chained(f"prove-{after}", proof, after) if proof else []
        if steps:
            made[last] = steps
            ways[last] = [way._replace(to=steps[0].key) if way.to == after else way for way in ways[last]]
    return made


def _runs(
    flow: Flow,
    labels: Labels,
    blocks: Blocks,
    ways: dict[str, list[Way]],
    inline: dict[str, Run],
    behind: dict[str, list[Woven]],
) -> list[Run]:
    """Stations and inline blocks grouped into runs, the confirmation first."""
    first = flow.stations[0].key
    entry = inline[first].steps[0].key if first in inline else first
    runs = [Run("before", frozenset(), tuple(chained("begin", [blocks.confirm], entry)))]
    work: list[Woven] = []
    state: frozenset[str] = frozenset()

    def close() -> None:
        if work:
            runs.append(Run("work", state, tuple(work)))
            work.clear()

    for station in flow.stations:
        here = labels.at(station.key)
        if station.key in inline:
            close()
            runs.append(inline[station.key])
        elif here != state:
            close()
        state = here
        work.append(Woven(station.key, tuple(ways[station.key]), station=station))
        if station.key in behind:
            close()
            runs.append(Run("isolation", state, tuple(behind[station.key]), station.key))
    close()
    return runs
