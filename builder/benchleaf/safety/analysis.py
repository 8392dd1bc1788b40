"""Forward analysis of a step graph: what each condition may be at every node, and which loose ends may be open."""

from collections import deque
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from benchleaf.model.basics import State
from benchleaf.model.flow import Flow, Way
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted
from benchleaf.model.procedure import Procedure
from benchleaf.safety.effects import LooseEnd, loose_ends, moves
from benchleaf.safety.valuation import Values, joined, moved, sprung

# Sides on which a step went wrong, or nobody could reach it: it may have been done or not.
DOUBTFUL = ("otherwise", "cant_reach")


class Node(NamedTuple):
    """A step as the analysis sees it: what it moves for good and while it is done, what it opens and closes."""

    key: str
    ways: tuple[Way, ...]
    settings: State = ()
    meanwhile: State = ()
    opens: frozenset[LooseEnd] = frozenset()
    closes: frozenset[LooseEnd] = frozenset()


class Standing(NamedTuple):
    """What may be at one place of the graph: values of the conditions, loose ends."""

    values: Values
    loose: frozenset[LooseEnd]


class Analysis(NamedTuple):
    """What may be before and during each node that can be reached, and at the arrival in each outcome."""

    before: Mapping[str, Standing]
    during: Mapping[str, Values]
    arriving: Mapping[str, Standing]


def written_nodes(machine: Machine, procedure: Procedure, flow: Flow) -> tuple[Node, ...]:
    """The stations of a flow as nodes."""
    made = []
    everything = frozenset(end for station in flow.stations for end in loose_ends(frozenset(), machine, station.step))
    for station in flow.stations:
        step = station.step
        opens = loose_ends(frozenset(), machine, step)
        closes = everything - loose_ends(everything, machine, step)
        meanwhile = step.while_.sets if step.while_ is not None else ()
        made.append(Node(station.key, station.ways, moves(machine, procedure, step), meanwhile, opens, closes))
    return tuple(made)


def inserted_node(key: str, step: Inserted, ways: tuple[Way, ...]) -> Node:
    """An inserted step as a node; a cover that it opens or closes is a loose end like any other."""
    names = frozenset(setting.condition.name for setting in step.sets)
    opens = frozenset(LooseEnd("open", name) for name in names) if step.role == "access" else frozenset()
    closes = frozenset(LooseEnd("open", name) for name in names) if step.role == "close" else frozenset()
    return Node(key, ways, step.sets, (), opens, closes)


def analyse(machine: Machine, values: Values, nodes: Iterable[Node]) -> Analysis:
    """Run the graph as a program over sets of values to its fixed point (joins unite); the first node is the entry."""
    graph = {node.key: node for node in nodes}
    if not graph:
        return Analysis({}, {}, {})
    first = next(iter(graph))
    before = {first: Standing(values, frozenset())}
    arriving: dict[str, Standing] = {}
    waiting = deque([first])
    while waiting:
        node = graph[waiting.popleft()]
        for way, after in _after(machine, node, before[node.key]):
            target = before if way in graph else arriving
            known = target.get(way)
            new = after if known is None else _united(known, after)
            if new != known:
                target[way] = new
                if way in graph:
                    waiting.append(way)
    during = {key: _during(machine, graph[key], there.values) for key, there in before.items()}
    return Analysis(before, during, arriving)


def _united(one: Standing, other: Standing) -> Standing:
    return Standing(joined(one.values, other.values), one.loose | other.loose)


def _during(machine: Machine, node: Node, values: Values) -> Values:
    settings = (*node.settings, *node.meanwhile)
    return joined(values, moved(machine, values, settings)) if settings else values


def _after(machine: Machine, node: Node, there: Standing) -> list[tuple[str, Standing]]:
    done = sprung(machine, moved(machine, there.values, node.settings))
    after = Standing(done, (there.loose - node.closes) | node.opens)
    if not any(way.side in DOUBTFUL for way in node.ways):
        return [(way.to, after) for way in node.ways]
    undone = Standing(joined(sprung(machine, there.values), done), there.loose | after.loose)
    return [(way.to, undone if way.side in DOUBTFUL else after) for way in node.ways]
