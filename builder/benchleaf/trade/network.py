"""A direct-current circuit and how it settles: contacts, diodes, motors and fuses to a fixed point.

Modified nodal analysis (Ho, Ruehli, Brennan, IEEE Transactions on Circuits and Systems 22 (1975)) of what conducts,
repeated until no coil, diode, motor or fuse wants to stand otherwise. Alternating current stands here by its
effective values, as far as it meets resistances alone.
"""

from functools import lru_cache
from typing import NamedTuple

from benchleaf.trade.network_parts import AT_REST, Element, Network, Standing, branches
from benchleaf.trade.network_solve import Shorted, Solution, solve

# Under this a voltage or a current counts as none: volts and amperes.
NOTHING = 1e-9
# Rounds before a circuit counts as one that never settles; each round changes one kind of element.
ROUNDS = 400


class Settled(NamedTuple):
    """A circuit at rest. `blown` are the fuses that did not hold, with the current that blew them, in amperes."""

    network: Network
    standing: Standing
    solution: Solution
    blown: tuple[tuple[str, float], ...] = ()


class Trouble(NamedTuple):
    """Why a circuit has no solution.

    `kind` is `shorted` (sources without resistance in a loop of wires), `chatter` (contactors that never settle) or
    `unsettled` (diodes or motors that don't); `names` are the elements concerned.
    """

    kind: str
    names: tuple[str, ...]


@lru_cache(maxsize=1024)
def settle(network: Network, start: Standing = AT_REST) -> Settled | Trouble:
    """The circuit when nothing moves any more, begun with `start` (nothing pulled in, nothing conducting)."""
    standing = start
    seen: dict[Standing, int] = {}
    passed: list[Standing] = []
    blown: tuple[tuple[str, float], ...] = ()
    elements = {each.name: each for each in network.elements}
    while len(passed) < ROUNDS:
        if standing in seen:
            return _restless(passed[seen[standing] :])
        seen[standing] = len(passed)
        passed.append(standing)
        try:
            solution = solve(branches(network, standing), network.ground)
        except Shorted as shorted:
            return Trouble("shorted", shorted.names)
        after, lost = _next(network, elements, standing, solution)
        if after == standing:
            return Settled(network, standing, _without_idle(network, standing, solution), blown)
        blown += lost
        standing = after
    return _restless(passed)


def _without_idle(network: Network, standing: Standing, solution: Solution) -> Solution:
    """The solution without diodes through which no current runs: what they alone lead to floats."""
    idle = {name for name in standing.conducting if abs(solution.current(name)) <= NOTHING}
    if not idle:
        return solution
    return solve(branches(network, standing._replace(conducting=standing.conducting - idle)), network.ground)


def _restless(states: list[Standing]) -> Trouble:
    """Which elements move for ever in a circle of standings."""
    coils = frozenset[str]().union(*(each.pulled for each in states))
    moving = tuple(sorted(name for name in coils if not all(name in each.pulled for each in states)))
    if moving:
        return Trouble("chatter", moving)
    others = frozenset[str]().union(*(each.conducting for each in states))
    return Trouble("unsettled", tuple(sorted(others)))


def _next(
    network: Network, elements: dict[str, Element], standing: Standing, solution: Solution
) -> tuple[Standing, tuple[tuple[str, float], ...]]:
    """The standing that this solution leads to: diodes first, one by one, then motors, coils, and fuses last."""
    flipped = _diode(network, standing, solution)
    if flipped:
        return standing._replace(conducting=standing.conducting ^ {flipped}), ()
    turning, stalled = _motors(network, standing, solution)
    if (turning, stalled) != (standing.turning, standing.stalled):
        return standing._replace(turning=turning, stalled=stalled), ()
    pulled = frozenset(each.name for each in network.elements if _pulls(each, standing, solution))
    if pulled != standing.pulled:
        return standing._replace(pulled=pulled, stalled=frozenset()), ()
    lost = tuple(
        (branch.name, abs(current))
        for branch, current in solution.currents()
        if elements[branch.name].kind == "fuse" and abs(current) > elements[branch.name].rating * (1 + NOTHING)
    )
    if not lost:
        return standing, ()
    return standing._replace(blown=standing.blown | {name for name, _ in lost}), lost


def _diode(network: Network, standing: Standing, solution: Solution) -> str:
    """The diode that is most in the wrong; one between parts that nothing else joins is tried conducting."""
    worst, name = NOTHING, ""
    for each in network.elements:
        if each.kind != "diode" or each.broken:
            continue
        anode, cathode = each.nodes
        if each.name in standing.conducting:
            wrong = -solution.current(each.name)
        elif not solution.joined(anode, cathode):
            return each.name
        else:
            wrong = solution.between(anode, cathode) - each.voltage
        if wrong > worst:
            worst, name = wrong, each.name
    return name


def _motors(
    network: Network, standing: Standing, solution: Solution
) -> tuple[frozenset[tuple[str, int]], frozenset[str]]:
    """Which motors turn, and which way: as the current drives them; one that would then feed back stands still."""
    turning, stalled = set(standing.turning), set(standing.stalled)
    for each in network.elements:
        if each.kind != "motor" or each.broken or not each.voltage:
            continue
        current = solution.current(each.name)
        way = next((way for name, way in turning if name == each.name), 0)
        if way and current * way < -NOTHING:
            turning.discard((each.name, way))
            stalled.add(each.name)
        elif way and abs(current) <= NOTHING:
            turning.discard((each.name, way))
        elif not way and each.name not in stalled and abs(current) > NOTHING:
            turning.add((each.name, 1 if current > 0 else -1))
    return frozenset(turning), frozenset(stalled)


def _pulls(each: Element, standing: Standing, solution: Solution) -> bool:
    if each.kind != "coil" or each.broken:
        return False
    voltage = abs(solution.between(*each.nodes))
    if each.name in standing.pulled:
        return voltage >= max(each.drops_out, 1e-6)
    return voltage >= max(each.pulls_in, 1e-6)
