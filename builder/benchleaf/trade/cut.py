"""Minimum cut between two sets of nodes, for labels that cost something wherever they change.

Shortest augmenting paths, level by level (Dinic, Soviet Mathematics Doklady 11, 1970); graphs here have some tens of
nodes, and `check` may not pay for importing a graph library.
"""

from collections import defaultdict, deque
from collections.abc import Iterable, Mapping
from itertools import pairwise

_FAR = 10**24


def minimum_cut(
    edges: Iterable[tuple[str, str, int]], sources: frozenset[str], sinks: frozenset[str]
) -> frozenset[str]:
    """The nodes on the side of the sources in the cheapest cut of an undirected graph.

    Costs are whole numbers; among cuts of equal cost the one with the smallest source side is taken.
    A node that is source and sink is a contradiction that the caller must have told before; it counts as a source.
    """
    room: dict[str, dict[str, int]] = defaultdict(lambda: defaultdict(int))
    for one, other, cost in edges:
        room[one][other] += cost
        room[other][one] += cost
    start, goal = "\0start", "\0goal"
    for node in sources:
        room[start][node] = _FAR
        room[node][start] += 0
    for node in sinks - sources:
        room[node][goal] = _FAR
        room[goal][node] += 0
    while True:
        levels = _levels(room, start)
        if goal not in levels:
            return frozenset(levels) - {start}
        _fill(room, levels, start, goal)


def _levels(room: Mapping[str, Mapping[str, int]], start: str) -> dict[str, int]:
    """How many edges with room left lead to each node from the start; what can't be reached is left out."""
    found = {start: 0}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        for other, width in room[node].items():
            if width > 0 and other not in found:
                found[other] = found[node] + 1
                queue.append(other)
    return found


def _fill(room: Mapping[str, dict[str, int]], levels: Mapping[str, int], start: str, goal: str) -> None:
    """Sends flow along shortest paths until none of that length is left; each edge is tried only once in vain."""
    untried: dict[str, list[str]] = {}
    path = [start]
    while path:
        node = path[-1]
        if node == goal:
            steps = list(pairwise(path))
            width = min(room[one][other] for one, other in steps)
            for one, other in steps:
                room[one][other] -= width
                room[other][one] += width
            full = next(at for at, (one, other) in enumerate(steps) if not room[one][other])
            del path[full + 1 :]
            continue
        ahead = untried.get(node)
        if ahead is None:
            ahead = untried[node] = [other for other in room[node] if levels.get(other) == levels[node] + 1]
        while ahead and not room[node][ahead[-1]]:
            ahead.pop()
        if ahead:
            path.append(ahead[-1])
        else:
            path.pop()
            if path:
                untried[path[-1]].pop()
