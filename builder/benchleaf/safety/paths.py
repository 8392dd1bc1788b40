"""Paths through a step graph: what can be reached from where without passing certain steps, and what all of them do."""

from collections import deque
from collections.abc import Callable, Iterable, Mapping

from benchleaf.model.flow import Way

Graph = Mapping[str, tuple[Way, ...]]


def shortest(graph: Graph, starts: Iterable[str], goal: Callable[[str], bool]) -> tuple[str, ...]:
    """The keys of the shortest path from one of the starts to a node that is a goal; empty when there is none."""
    came: dict[str, str] = {}
    queue: deque[str] = deque()
    for start in starts:
        came[start] = ""
        queue.append(start)
    while queue:
        key = queue.popleft()
        if goal(key):
            return _back(came, key)
        for way in graph.get(key, ()):
            if way.to not in came:
                came[way.to] = key
                queue.append(way.to)
    return ()


def _back(came: Mapping[str, str], key: str) -> tuple[str, ...]:
    path = [key]
    while came[path[-1]]:
        path.append(came[path[-1]])
    return tuple(reversed(path))


def leads(graph: Graph, start: str, goal: Callable[[str], bool], stop: Callable[[str], bool]) -> bool:
    """Whether some path from behind `start` comes to a goal before it comes to a step that stops it."""
    seen: set[str] = set()
    stack = [way.to for way in graph.get(start, ())]
    while stack:
        key = stack.pop()
        if key in seen:
            continue
        seen.add(key)
        if stop(key):
            continue
        if goal(key):
            return True
        stack.extend(way.to for way in graph.get(key, ()))
    return False


def on_every_path(
    graph: Graph, start: str, everything: frozenset[str], after: Callable[[str, frozenset[str]], frozenset[str]]
) -> dict[str, frozenset[str]]:
    """What every path from `start` has gathered on arrival at each node; all of it where no path leads.

    `after` gives from what there is before a node what there is behind it, and the more the more there was. Solved to
    the greatest fixed point, as available expressions are.
    """
    known = dict.fromkeys(graph, everything)
    known[start] = frozenset()
    waiting = deque(graph)
    while waiting:
        key = waiting.popleft()
        behind = after(key, known[key])
        for way in graph[key]:
            before = known.get(way.to)
            new = behind if before is None else before & behind
            if new != before and way.to != start:
                known[way.to] = new
                if way.to in graph:
                    waiting.append(way.to)
    return known
