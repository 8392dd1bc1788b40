"""Minimum cut between two sets of nodes, for labels that cost something wherever they change.

Augmenting paths by breadth first search (Edmonds and Karp, Journal of the ACM 19, 1972); graphs here have some tens of
nodes, and `check` may not pay for importing a graph library.
"""

from collections import defaultdict, deque
from collections.abc import Iterable
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
        came_from = _reached(room, start, goal)
        if goal not in came_from:
            return frozenset(came_from) - {start}
        path = [goal]
        while path[-1] != start:
            path.append(came_from[path[-1]])
        path.reverse()
        steps = list(pairwise(path))
        width = min(room[one][other] for one, other in steps)
        for one, other in steps:
            room[one][other] -= width
            room[other][one] += width


def _reached(room: dict[str, dict[str, int]], start: str, goal: str) -> dict[str, str]:
    came_from = {start: start}
    queue = deque([start])
    while queue:
        node = queue.popleft()
        for other, width in room[node].items():
            if width > 0 and other not in came_from:
                came_from[other] = node
                if other == goal:
                    return came_from
                queue.append(other)
    return came_from
