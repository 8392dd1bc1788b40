"""One linear circuit: branches of resistance and voltage between nodes, solved at once."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from benchleaf.trade.network_parts import Branch

Vector = NDArray[np.float64]


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
    matrix: Vector
    voltages: Vector
    ideal: Mapping[int, int]

    def at(self, node: str) -> float:
        """The voltage of a node against the node from which its part counts."""
        row = self.place[node]
        return float(self.voltages[row]) if row >= 0 else 0.0

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
                yield branch, float(self.voltages[self.ideal[number]])

    def current(self, name: str) -> float:
        """The current through the first branch of this name; 0 if it has none or is a mere wire."""
        return next((current for branch, current in self.currents() if branch.name == name), 0.0)

    def weights(self, first: str, last: str) -> Vector:
        """How the voltage of `first` over `last` answers to a current into each row (the adjoint solution)."""
        return _solved(self.matrix, _difference(self.place, len(self.voltages), first, last))

    def answers(self, weights: Vector) -> Iterator[tuple[Branch, float, float]]:
        """Each branch with the derivatives of a reading by its resistance and by its voltage (Tellegen)."""
        for number, branch in enumerate(self.branches):
            if number in self.ideal:
                yield branch, 0.0, float(weights[self.ideal[number]])
            elif branch.resistance > 0:
                one, other = self.place[branch.first], self.place[branch.last]
                lean = (float(weights[one]) if one >= 0 else 0.0) - (float(weights[other]) if other >= 0 else 0.0)
                over = self.between(branch.first, branch.last) - branch.voltage
                yield branch, lean * over / branch.resistance**2, lean / branch.resistance


def solve(branches: Iterable[Branch], ground: str, driven: tuple[str, str] | None = None) -> Solution:
    """All voltages; with `driven`, those that one ampere makes which enters at its first and leaves at its last node.

    Raises Shorted. `driven` nodes must be joined.
    """
    found = tuple(branches)
    wires = _Groups()
    for branch in found:
        if branch.resistance <= 0 and branch.voltage == 0:
            wires.join(branch.first, branch.last)
    parts, stiff = _Groups(), _Groups()
    ideal: list[int] = []
    for number, branch in enumerate(found):
        one, other = wires.of(branch.first), wires.of(branch.last)
        parts.join(one, other)
        if branch.resistance <= 0 and branch.voltage != 0:
            if not stiff.join(one, other):
                raise Shorted((branch.name,))
            ideal.append(number)
    place, part, rows = _numbered(found, wires, parts, ground)
    size = rows + len(ideal)
    lines = {number: rows + line for line, number in enumerate(ideal)}
    matrix, known = _stamped(found, place, lines, size)
    if driven is not None:
        known = known + _difference(place, size, *driven)
    return Solution(found, place, part, matrix, _solved(matrix, known), lines)


def _numbered(
    found: Sequence[Branch], wires: "_Groups", parts: "_Groups", ground: str
) -> tuple[dict[str, int], dict[str, int], int]:
    """Row and part of each node: the ground, or the first node met, is the one from which a part counts."""
    part: dict[str, int] = {}
    row_of: dict[str, int] = {}
    bases: dict[str, int] = {}
    nodes = dict.fromkeys([ground])
    for branch in found:
        nodes[branch.first] = nodes[branch.last] = None
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


def _stamped(
    found: Sequence[Branch], place: Mapping[str, int], lines: Mapping[int, int], size: int
) -> tuple[Vector, Vector]:
    matrix = np.zeros((size, size))
    known = np.zeros(size)
    for number, branch in enumerate(found):
        one, other = place[branch.first], place[branch.last]
        if number in lines:
            line = lines[number]
            known[line] = branch.voltage
            for row, sign in ((one, 1.0), (other, -1.0)):
                if row >= 0:
                    matrix[row, line] += sign
                    matrix[line, row] += sign
        elif branch.resistance > 0 and one != other:
            conducts = 1.0 / branch.resistance
            for row, sign in ((one, 1.0), (other, -1.0)):
                if row >= 0:
                    matrix[row, row] += conducts
                    known[row] += sign * conducts * branch.voltage
            if one >= 0 and other >= 0:
                matrix[one, other] -= conducts
                matrix[other, one] -= conducts
    return matrix, known


def _difference(place: Mapping[str, int], size: int, first: str, last: str) -> Vector:
    made = np.zeros(size)
    for node, sign in ((first, 1.0), (last, -1.0)):
        if place[node] >= 0:
            made[place[node]] += sign
    return made


def _solved(matrix: Vector, known: Vector) -> Vector:
    if not len(known):
        return known
    try:
        made: Vector = np.linalg.solve(matrix, known).astype(np.float64, copy=False)
    except np.linalg.LinAlgError:
        raise Shorted(()) from None
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
