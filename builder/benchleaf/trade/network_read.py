"""What a meter shows between two nodes of a circuit, and between which bounds over the tolerances of its elements."""

from collections.abc import Iterable, Mapping
from functools import lru_cache
from math import inf, isfinite
from typing import NamedTuple

from benchleaf.trade.network import Settled, Trouble, settle
from benchleaf.trade.network_parts import AT_REST, Branch, Element, Network, Standing, branches, dead
from benchleaf.trade.network_solve import Shorted, solve

METER = "(meter)"
VOLTAGE, CURRENT, RESISTANCE, CAPACITANCE = "voltage", "current", "resistance", "capacitance"
# Rounds of a climb from corner to corner; it ends by itself long before.
CLIMB = 12


class Reading(NamedTuple):
    """A meter between two nodes, the red lead first. `meter` is its resistance in ohms (volts only)."""

    measure: str
    first: str
    last: str
    meter: float = 10e6


class Shown(NamedTuple):
    """What the meter shows, in SI units; infinite for a resistance between nodes that nothing joins.

    `floating` says that nothing but the meter joins the nodes; `answers` how the reading answers to a relative change
    of each element; `blown` which fuses do not hold.
    """

    value: float
    floating: bool = False
    answers: Mapping[str, float] = {}
    blown: tuple[tuple[str, float], ...] = ()


class Band(NamedTuple):
    """The reading with nominal sizes, and its lowest and highest over the tolerances."""

    low: float
    nominal: float
    high: float
    floating: bool = False


@lru_cache(maxsize=4096)
def read(network: Network, reading: Reading, start: Standing = AT_REST) -> Shown | Trouble:
    """What the meter shows, given how everything stood before."""
    if reading.measure == CAPACITANCE:
        return _capacitance(network, reading)
    if reading.measure == RESISTANCE:
        return _resistance(network, reading)
    if reading.measure == CURRENT:
        return _through(network, reading, start)
    probe = Element(METER, "resistor", (reading.first, reading.last), resistance=reading.meter)
    alone = settle(network, start)
    if isinstance(alone, Trouble):
        return alone
    loaded = settle(network._replace(elements=(*network.elements, probe)), alone.standing)
    if isinstance(loaded, Trouble):
        return loaded
    value = loaded.solution.between(reading.first, reading.last)
    floating = not alone.solution.joined(reading.first, reading.last)
    return Shown(value, floating, _answers(loaded, reading), (*alone.blown, *loaded.blown))


def quick(settled: Settled, reading: Reading) -> float | None:
    """What `read` shows, from a circuit already at rest; None where only `read` can tell.

    A meter over a part of the circuit that stands still is a load on its open voltage and inner resistance (Thévenin).
    """
    inner = inner_resistance(settled, reading)
    if inner is None:
        return None
    return settled.solution.between(reading.first, reading.last) * reading.meter / (reading.meter + inner)


def inner_resistance(settled: Settled, reading: Reading) -> float | None:
    """The resistance in ohms behind the points of a voltage reading (Thévenin); None where nothing joins them."""
    solution = settled.solution
    if reading.measure != VOLTAGE or not solution.joined(reading.first, reading.last):
        return None
    return solution.lean(solution.weights(reading.first, reading.last), reading.first, reading.last)


def _answers(settled: Settled, reading: Reading) -> dict[str, float]:
    solution = settled.solution
    return _relative(settled.network, solution.answers(solution.weights(reading.first, reading.last)))


def _relative(network: Network, answers: Iterable[tuple[Branch, float, float]]) -> dict[str, float]:
    """Derivatives by the relative change of the size that each element's tolerance is about."""
    by_voltage = {each.name for each in network.elements if each.kind in ("battery", "diode")}
    found: dict[str, float] = {}
    for branch, by_ohms, by_volts in answers:
        change = by_volts * branch.voltage if branch.name in by_voltage else by_ohms * branch.resistance
        found[branch.name] = found.get(branch.name, 0.0) + change
    return found


def _resistance(network: Network, reading: Reading) -> Shown | Trouble:
    """One ampere through the dead circuit; its volts are the ohms."""
    quiet = dead(network)
    pieces: list[Branch] = branches(quiet, AT_REST)
    nodes = {node for piece in pieces for node in (piece.first, piece.last)}
    if not {reading.first, reading.last} <= nodes:
        return Shown(inf)
    whole = solve(pieces, reading.last)
    if not whole.joined(reading.first, reading.last):
        return Shown(inf)
    # Nothing else drives a current, so the voltages under one ampere are the weights themselves.
    weights = whole.weights(reading.first, reading.last)
    driven = whole._replace(voltages=weights)
    value = driven.between(reading.first, reading.last)
    return Shown(value, False, _relative(quiet, driven.answers(weights)))


def _through(network: Network, reading: Reading, start: Standing) -> Shown | Trouble:
    """A current: the meter stands between the nodes as a wire, which bridges whatever else lies there."""
    # A voltage too small to count keeps the meter apart from mere wires, so that its current is known.
    trace = 1e-30
    probe = Element(METER, "battery", (reading.first, reading.last), voltage=trace)
    settled = settle(network._replace(elements=(*network.elements, probe)), start)
    if isinstance(settled, Trouble):
        return settled
    value = settled.solution.current(METER)
    return Shown(value, False, {}, settled.blown)


def _capacitance(network: Network, reading: Reading) -> Shown | Trouble:
    """The capacitors that lie between the two points, taken out of the circuit as such a meter wants them."""
    try:
        place = solve(branches(dead(network), AT_REST), network.ground)
    except Shorted as shorted:
        return Trouble("shorted", shorted.names)

    def knot(node: str) -> tuple[int, int] | str:
        return (place.place[node], place.part[node]) if node in place.place else node

    ends = {knot(reading.first), knot(reading.last)}
    there = [
        each
        for each in network.elements
        if each.kind == "capacitor" and not each.broken and {knot(node) for node in each.nodes} == ends
    ]
    value = sum(each.capacitance for each in there)
    return Shown(value, not there, {each.name: each.capacitance for each in there})


@lru_cache(maxsize=1024)
def band(network: Network, reading: Reading, start: Standing = AT_REST, *, stated: bool = True) -> Band | Trouble:
    """The reading with nominal sizes and its bounds over the tolerances; with `stated`, over stated ones alone.

    A reading of a settled resistive circuit is a quotient of two functions linear in each size, so it rises or falls
    in each one alone, and its bounds lie at corners. The climb goes from corner to corner by the derivatives until
    none of them asks for another; where contacts stand otherwise at a corner, the reading is the one with them so.
    """
    sizes = {each.name: each for each in network.elements if each.tolerance > 0 and (each.stated or not stated)}
    nominal = read(network, reading, start)
    if isinstance(nominal, Trouble):
        return nominal
    bounds = []
    for way in (-1, 1):
        best, here = nominal.value, nominal
        tried: set[tuple[tuple[str, float], ...]] = set()
        for _ in range(CLIMB):
            corner = {name: _lean(here, name, way) * size.tolerance for name, size in sizes.items()}
            key = tuple(corner.items())
            if key in tried or not any(corner.values()):
                break
            tried.add(key)
            moved = tuple(
                each.scaled(1 + corner[each.name]) if corner.get(each.name) else each for each in network.elements
            )
            there = read(network._replace(elements=moved), reading, start)
            if isinstance(there, Trouble):
                return there
            best = max(best, there.value) if way > 0 else min(best, there.value)
            here = there
        bounds.append(best)
    return Band(bounds[0], nominal.value, bounds[1], nominal.floating)


def _lean(shown: Shown, name: str, way: int) -> int:
    answer = shown.answers.get(name, 0.0)
    if not isfinite(answer) or abs(answer) < 1e-12 * max(abs(shown.value), 1e-9):
        return 0
    return way if answer > 0 else -way
