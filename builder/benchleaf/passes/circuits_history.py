"""What was done before a step, for circuits that remember it: contactors that hold themselves once pulled in."""

from collections.abc import Iterator, Mapping
from heapq import heappop, heappush

from benchleaf.model.basics import State
from benchleaf.model.flow import Way
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure, Step
from benchleaf.passes.circuits_build import definite
from benchleaf.safety.analysis import DOUBTFUL
from benchleaf.safety.effects import moves
from benchleaf.safety.planning import Planning
from benchleaf.safety.valuation import moved, sprung
from benchleaf.trade.network import Settled, settle
from benchleaf.trade.network_parts import AT_REST, Network

# A way on which something went wrong is no way to tell the state by, as long as there is another.
_DOUBTED = 1000


def remembers(network: Network) -> bool:
    """Whether contacts of the circuit stand one way from rest, and another once all coils have been pulled in."""
    movers = {each.coil for each in network.elements if each.kind == "contact"}
    if not movers:
        return False
    rest = settle(network)
    if not isinstance(rest, Settled) or movers <= rest.standing.pulled:
        return False
    held = settle(network, AT_REST._replace(pulled=frozenset(movers)))
    return isinstance(held, Settled) and held.standing.pulled & movers != rest.standing.pulled & movers


def states_before(
    machine: Machine, procedure: Procedure, planning: Planning, key: str
) -> Iterator[dict[str, frozenset[str]]]:
    """The states through which the shortest way leads to a step, put in steps included: before and during each.

    The last one is that in which the step is found, its own doing not yet begun.
    """
    before = planning.woven.before
    inserted = {each.key: each.inserted for section in planning.plan.sections for each in section.steps}
    for passed in _way(planning.graph, key):
        if passed not in before:
            continue
        found = sprung(machine, before[passed].values)
        yield definite(machine, found)
        put_in, station = inserted.get(passed), planning.stations.get(passed)
        sets = put_in.sets if put_in is not None else held_in(machine, procedure, station.step) if station else ()
        if passed != key and sets:
            yield definite(machine, moved(machine, found, sets))


def held_in(machine: Machine, procedure: Procedure, step: Step) -> State:
    """What a written step sets, and what is held while it is done."""
    return (*moves(machine, procedure, step), *(step.while_.sets if step.while_ is not None else ()))


def _way(graph: Mapping[str, tuple[Way, ...]], key: str) -> list[str]:
    """The steps from the first of the plan to this one, by the way with the fewest of them."""
    first = next(iter(graph), key)
    came: dict[str, str] = {}
    waiting: list[tuple[int, int, str, str]] = [(0, 0, first, "")]
    count = 0
    while waiting:
        length, _, node, source = heappop(waiting)
        if node in came:
            continue
        came[node] = source
        for way in graph.get(node, ()):
            count += 1
            heappush(waiting, (length + (_DOUBTED if way.side in DOUBTFUL else 1), count, way.to, node))
    found = [key]
    while came.get(found[0]):
        found.insert(0, came[found[0]])
    return found
