"""One linear circuit: branches of resistance and voltage between nodes, solved at once."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import lru_cache
from typing import NamedTuple

from benchleaf.trade.network_matrix import Singular, Solver, taken_apart
from benchleaf.trade.network_parts import Branch


class Shorted(Exception):
    """Voltages without resistance in a loop of wires; `names` are the branches that close it."""

    def __init__(self, names: tuple[str, ...]) -> None:
        super().__init__(*names)
        self.names = names


class Solution(NamedTuple):
    """All node voltages. Nodes joined by wires are one node; each part of the circuit that nothing joins to another
    counts from a node of its own.

    `place` maps each node to its row (-1: the node from which its part counts), `part` to its part.
    """

    branches: tuple[Branch, ...]
    place: Mapping[str, int]
    part: Mapping[str, int]
    solver: Solver
    voltages: Sequence[float]
    ideal: Mapping[int, int]

    def at(self, node: str) -> float:
        """The voltage of a node against the node from which its part counts."""
        row = self.place[node]
        return self.voltages[row] if row >= 0 else 0.0

    def joined(self, first: str, last: str) -> bool:
        """Whether a current could flow between the nodes; a node that the circuit lacks is joined to nothing."""
        return first in self.part and last in self.part and self.part[first] == self.part[last]

    def between(self, first: str, last: str) -> float:
        """The voltage of `first` over `last`; they must be joined."""
        return self.at(first) - self.at(last)

    def currents(self) -> Iterator[tuple[Branch, float]]:
        """The current through each branch that has a resistance or a voltage; those of mere wires are not known."""
        for number, branch in enumerate(self.branches):
            if branch.resistance > 0:
                yield branch, (self.between(branch.first, branch.last) - branch.voltage) / branch.resistance
            elif number in self.ideal:
                yield branch, self.voltages[self.ideal[number]]

    def current(self, name: str) -> float:
        """The current through the first branch of this name; 0 if it has none or is a mere wire."""
        return next((current for branch, current in self.currents() if branch.name == name), 0.0)

    def weights(self, first: str, last: str) -> Sequence[float]:
        """How the voltage of `first` over `last` answers to a current into each row (the adjoint solution).

        The matrix is symmetric, so that the adjoint equations are the equations themselves.
        """
        return self.solver(_difference(self.place, len(self.voltages), first, last))

    def lean(self, weights: Sequence[float], first: str, last: str) -> float:
        """The difference of the weights of two nodes: for the nodes they were made for, the inner resistance."""
        one, other = self.place[first], self.place[last]
        return (float(weights[one]) if one >= 0 else 0.0) - (float(weights[other]) if other >= 0 else 0.0)

    def answers(self, weights: Sequence[float]) -> Iterator[tuple[Branch, float, float]]:
        """Each branch with the derivatives of a reading by its resistance and by its voltage (Tellegen)."""
        for number, branch in enumerate(self.branches):
            if number in self.ideal:
                yield branch, 0.0, weights[self.ideal[number]]
            elif branch.resistance > 0:
                one, other = self.place[branch.first], self.place[branch.last]
                lean = (weights[one] if one >= 0 else 0.0) - (weights[other] if other >= 0 else 0.0)
                over = self.between(branch.first, branch.last) - branch.voltage
                yield branch, lean * over / branch.resistance**2, lean / branch.resistance


def solve(branches: Iterable[Branch], ground: str) -> Solution:
    """All voltages. Raises Shorted."""
    found = tuple(branches)
    layout = _layout(tuple((b.first, b.last, b.resistance > 0, b.voltage != 0) for b in found), ground)
    if layout.loop >= 0:
        raise Shorted((found[layout.loop].name,))
    rows, known = _stamped(found, layout)
    try:
        solver = taken_apart(rows)
        return Solution(found, layout.place, layout.part, solver, solver(known), layout.ideal)
    except Singular:
        raise Shorted(()) from None


class _Layout(NamedTuple):
    """What a circuit is by its shape, whatever the sizes: `loop` is the source that closes a loop of wires, or -1.

    `ideal` gives the row for the current of each source without resistance, `conductors` the rows between which each
    resistance lies that is not bridged; both by the number of the branch.
    """

    place: dict[str, int]
    part: dict[str, int]
    ideal: dict[int, int]
    conductors: tuple[tuple[int, int, int], ...]
    size: int
    loop: int = -1


@lru_cache(maxsize=512)
def _layout(shape: tuple[tuple[str, str, bool, bool], ...], ground: str) -> _Layout:
    """Of branches as nodes and whether each has a resistance and a voltage."""
    wires = _Groups()
    for first, last, resists, lifts in shape:
        if not resists and not lifts and first != last:
            wires.join(first, last)
    parts, stiff = _Groups(), _Groups()
    ideal: list[int] = []
    for number, (first, last, resists, lifts) in enumerate(shape):
        if first == last and not lifts:
            continue
        one, other = wires.of(first), wires.of(last)
        parts.join(one, other)
        if not resists and lifts:
            if not stiff.join(one, other):
                return _Layout({}, {}, {}, (), 0, number)
            ideal.append(number)
    place, part, rows = _numbered(shape, wires, parts, ground)
    conductors = tuple(
        (number, place[first], place[last])
        for number, (first, last, resists, _) in enumerate(shape)
        if resists and place[first] != place[last]
    )
    lines = {number: rows + line for line, number in enumerate(ideal)}
    return _Layout(place, part, lines, conductors, rows + len(ideal))


def _numbered(
    shape: Sequence[tuple[str, str, bool, bool]], wires: "_Groups", parts: "_Groups", ground: str
) -> tuple[dict[str, int], dict[str, int], int]:
    """Row and part of each node: the ground, or the first node met, is the one from which a part counts."""
    part: dict[str, int] = {}
    row_of: dict[str, int] = {}
    bases: dict[str, int] = {}
    nodes = dict.fromkeys([ground, *(node for first, last, _, _ in shape for node in (first, last))])
    rows = 0
    for node in nodes:
        knot = wires.of(node)
        whole = parts.of(knot)
        if whole not in bases:
            bases[whole] = len(bases)
            row_of[knot] = -1
        elif knot not in row_of:
            row_of[knot] = rows
            rows += 1
        part[node] = bases[whole]
    return {node: row_of[wires.of(node)] for node in nodes}, part, rows


def _stamped(found: Sequence[Branch], layout: _Layout) -> tuple[list[dict[int, float]], list[float]]:
    rows: list[dict[int, float]] = [{} for _ in range(layout.size)]
    known = [0.0] * layout.size
    for number, line in layout.ideal.items():
        branch = found[number]
        known[line] = branch.voltage
        for row, sign in ((layout.place[branch.first], 1.0), (layout.place[branch.last], -1.0)):
            if row >= 0:
                _add(rows, row, line, sign)
                _add(rows, line, row, sign)
    for number, one, other in layout.conductors:
        branch = found[number]
        conducts = 1.0 / branch.resistance
        for row, sign in ((one, 1.0), (other, -1.0)):
            if row >= 0:
                _add(rows, row, row, conducts)
                known[row] += sign * conducts * branch.voltage
        if one >= 0 and other >= 0:
            _add(rows, one, other, -conducts)
            _add(rows, other, one, -conducts)
    return rows, known


def _add(rows: Sequence[dict[int, float]], row: int, column: int, value: float) -> None:
    rows[row][column] = rows[row].get(column, 0.0) + value


def _difference(place: Mapping[str, int], size: int, first: str, last: str) -> list[float]:
    made = [0.0] * size
    for node, sign in ((first, 1.0), (last, -1.0)):
        if place[node] >= 0:
            made[place[node]] += sign
    return made


class _Groups:
    """Names that belong together (union-find)."""

    def __init__(self) -> None:
        self._above: dict[str, str] = {}

    def of(self, name: str) -> str:
        above = self._above
        top = name
        while top in above:
            top = above[top]
        while name != top:
            above[name], name = top, above[name]
        return top

    def join(self, one: str, other: str) -> bool:
        """Put both together; False if they were."""
        first, second = self.of(one), self.of(other)
        if first != second:
            self._above[second] = first
        return first != second
