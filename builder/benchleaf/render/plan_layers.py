"""Layers of a drawn flow: which box stands in which row, in which order, and by which points its lines go.

Rows and the order in them come from a library for layered drawings (Sugiyama, Tagawa and Toda 1981); places in a row
are our own, since a card is narrow: every row is as close as the widest one needs.
"""

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

Place = tuple[float, float]
_ROUNDS = 6
_SWEEPS = 16
_THREAD = 8.0
# A line that runs further aside than this wants more room below its row: this share of the rest, at most so much.
_NEAR, _STEEP, _MOST_SLACK = 120.0, 0.1, 24.0


class Layered(NamedTuple):
    """Middles of the boxes by key, and for each line the points in rows that it only passes, from its start on."""

    places: Mapping[str, Place]
    passes: Mapping[tuple[str, str], tuple[Place, ...]]


class _Row(NamedTuple):
    names: tuple[str, ...]
    widths: tuple[float, ...]


def layered(
    sizes: Mapping[str, tuple[float, float]], lines: Sequence[tuple[str, str]], across: float, down: float
) -> Layered:
    """Places for boxes of these sizes (width, height), joined by these lines, with room `across` and `down` between."""
    from grandalf.graphs import Edge, Graph, Vertex
    from grandalf.layouts import SugiyamaLayout, VertexViewer

    vertices = {key: Vertex(key) for key in sizes}
    for key, (width, height) in sizes.items():
        vertices[key].view = VertexViewer(width, height)
    edges = {line: Edge(vertices[line[0]], vertices[line[1]]) for line in lines}
    graph = Graph(list(vertices.values()), list(edges.values()))
    names: dict[object, str] = {}
    rows: list[list[str]] = []
    threads: dict[tuple[str, str], list[str]] = {}
    for part in graph.C:
        layout = _ordered(SugiyamaLayout(part), [each for each in vertices.values() if each in part.sV])
        for depth, layer in enumerate(layout.layers):
            if depth == len(rows):
                rows.append([])
            for vertex in sorted(layer, key=lambda each: layout.grx[each].pos):
                names[vertex] = vertex.data if isinstance(vertex, Vertex) else f"thread {len(names)}"
                rows[depth].append(names[vertex])
        for line, edge in edges.items():
            if edge in layout.ctrls:
                passed = layout.ctrls[edge]
                inner = [names[passed[rank]] for rank in sorted(passed) if not isinstance(passed[rank], Vertex)]
                first = passed[min(passed)]
                threads[line] = inner if names[first] == line[0] else inner[::-1]
    wide = [_Row(tuple(row), tuple(sizes[name][0] if name in sizes else _THREAD for name in row)) for row in rows]
    joined = _joined(lines, threads)
    x = _across(wide, joined, across)
    y, half = _down(rows, sizes, [down + _slack(row, joined, x) for row in rows])
    places = {key: (x[key], y[key]) for key in sizes}
    passes = {line: _straight(inner, x, y, half, y[line[0]] > y[line[1]]) for line, inner in threads.items()}
    return Layered(places, passes)


def _ordered(layout: Any, vertices: Sequence[Any]) -> Any:
    roots = [vertex for vertex in vertices if not vertex.e_in()]
    layout.init_all(roots=roots or vertices[:1])
    for _ in range(_ROUNDS):
        for _ in layout.ordering_step():
            pass
    return layout


def _joined(lines: Sequence[tuple[str, str]], threads: Mapping[tuple[str, str], Sequence[str]]) -> dict[str, list[str]]:
    """What each box and thread is joined to."""
    found: dict[str, list[str]] = {}
    for line in lines:
        chain = [line[0], *threads.get(line, ()), line[1]]
        for one, other in pairwise(chain):
            found.setdefault(one, []).append(other)
            found.setdefault(other, []).append(one)
    return found


def _across(rows: Sequence[_Row], joined: Mapping[str, Sequence[str]], gap: float) -> dict[str, float]:
    """The middle of each thing in its row: near what it is joined to, in order, no further out than the widest row."""
    widest = max(sum(row.widths) + gap * (len(row.widths) - 1) for row in rows)
    x = {}
    for row in rows:
        left = 0.0
        for name, width in zip(row.names, row.widths, strict=True):
            x[name] = left + width / 2
            left += width + gap
    for sweep in range(_SWEEPS):
        for row in rows if sweep % 2 == 0 else rows[::-1]:
            wanted = [_mean([x[other] for other in joined.get(name, ())], x[name]) for name in row.names]
            for name, place in zip(row.names, _apart(wanted, row.widths, gap, widest), strict=True):
                x[name] = place
    return x


def _mean(values: Sequence[float], otherwise: float) -> float:
    return sum(values) / len(values) if values else otherwise


def _apart(wanted: Sequence[float], widths: Sequence[float], gap: float, widest: float) -> list[float]:
    """The wanted places moved as far as it takes to stand apart, in order, from 0 to `widest`."""
    places = list(wanted)
    edge = 0.0
    for number, width in enumerate(widths):
        places[number] = max(places[number], edge + width / 2)
        edge = places[number] + width / 2 + gap
    edge = widest
    for number in range(len(widths) - 1, -1, -1):
        places[number] = min(places[number], edge - widths[number] / 2)
        edge = places[number] - widths[number] / 2 - gap
    return places


def _straight(
    inner: Sequence[str], x: Mapping[str, float], y: Mapping[str, float], half: Mapping[str, float], up: bool
) -> tuple[Place, ...]:
    """Points that lead a line straight through the rows that it only passes, past their boxes."""
    turn = -1 if up else 1
    return tuple((x[name], y[name] + side * turn * half[name]) for name in inner for side in (-1, 1))


def _slack(row: Sequence[str], joined: Mapping[str, Sequence[str]], x: Mapping[str, float]) -> float:
    """More room around a row from which a line runs far aside, so that it does not graze the boxes beside it."""
    furthest = max((abs(x[name] - x[other]) for name in row for other in joined.get(name, ())), default=0.0)
    return min(max(furthest - _NEAR, 0.0) * _STEEP, _MOST_SLACK)


def _down(
    rows: Sequence[Sequence[str]], sizes: Mapping[str, tuple[float, float]], gaps: Sequence[float]
) -> tuple[dict[str, float], dict[str, float]]:
    """The middle of each row from the top, and half its height, by what stands in it; a gap behind each row."""
    y, half, top = {}, {}, 0.0
    for row, gap in zip(rows, gaps, strict=True):
        tall = max((sizes[name][1] for name in row if name in sizes), default=0.0)
        y.update({name: top + tall / 2 for name in row})
        half.update({name: tall / 2 for name in row})
        top += tall + gap
    return y, half
