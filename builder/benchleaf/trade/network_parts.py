"""What a circuit is made of, and which branches its elements are in a given standing."""

from functools import lru_cache
from math import inf
from typing import NamedTuple

# Kinds that only let a current pass or not.
SWITCHING = frozenset({"contact", "switch", "fuse"})


class Branch(NamedTuple):
    """A resistance in series with a voltage that lifts `first` above `last`; ohms and volts.

    The current through it runs from `first` to `last`: (V(first) - V(last) - voltage) / resistance.
    """

    name: str
    first: str
    last: str
    resistance: float
    voltage: float


class Element(NamedTuple):
    """One element. Volts, ohms, amperes, farads; `tolerance` is relative, of the size that `scaled` names.

    `kind` is battery, resistor, switch, fuse, coil, contact, diode, potentiometer, motor or capacitor. The first node
    is the positive one; a potentiometer's wiper is the second of three, `position` its share of the way from the first.
    `voltage` is a battery's, a diode's forward voltage or a motor's back-EMF. `closed` is how a switch stands, or a
    contact while its coil rests. `broken` is empty, `open` or `short`.
    """

    name: str
    kind: str
    nodes: tuple[str, ...]
    voltage: float = 0.0
    resistance: float = 0.0
    tolerance: float = 0.0
    stated: bool = True
    closed: bool = False
    coil: str = ""
    pulls_in: float = 0.0
    drops_out: float = 0.0
    position: float = 0.5
    rating: float = inf
    capacitance: float = 0.0
    broken: str = ""

    def scaled(self, factor: float) -> "Element":
        """The element with the size that its tolerance is about multiplied by a factor."""
        if self.kind in ("battery", "diode"):
            return self._replace(voltage=self.voltage * factor)
        if self.kind == "capacitor":
            return self._replace(capacitance=self.capacitance * factor)
        return self._replace(resistance=self.resistance * factor)


class Network(NamedTuple):
    """Elements between named nodes; voltages count from `ground`."""

    ground: str
    elements: tuple[Element, ...]


class Standing(NamedTuple):
    """How everything stands that moves by itself: coils pulled in, diodes conducting, motors turning, fuses blown.

    A turning motor comes with its sense, 1 or -1; `stalled` are motors that would feed back if they turned.
    """

    pulled: frozenset[str] = frozenset()
    conducting: frozenset[str] = frozenset()
    turning: frozenset[tuple[str, int]] = frozenset()
    stalled: frozenset[str] = frozenset()
    blown: frozenset[str] = frozenset()


AT_REST = Standing()


def branches(network: Network, standing: Standing) -> list[Branch]:
    """What conducts, and what stands alone: one branch for each piece of an element, open ones left out."""
    turning = dict(standing.turning)
    made: list[Branch] = []
    for each in network.elements:
        made.extend(_pieces(each, _conducts(each, standing), turning.get(each.name, 0)))
    return made


@lru_cache(maxsize=4096)
def _pieces(each: Element, conducts: bool, turning: int) -> tuple[Branch, ...]:
    found = () if each.broken == "open" else _conducting(each, conducts, turning)
    # A node that nothing reaches is a node all the same.
    return (*found, *(Branch(each.name, node, node, 0.0, 0.0) for node in each.nodes))


def _conducting(each: Element, conducts: bool, turning: int) -> tuple[Branch, ...]:
    first, last = each.nodes[0], each.nodes[-1]
    if each.broken == "short":
        return tuple(Branch(each.name, first, node, 0.0, 0.0) for node in each.nodes[1:])
    if each.kind == "potentiometer":
        wiper, above = each.nodes[1], each.resistance * each.position
        below = each.resistance * (1 - each.position)
        return (Branch(each.name, first, wiper, above, 0.0), Branch(each.name, wiper, last, below, 0.0))
    if not conducts:
        return ()
    voltage = turning * each.voltage if each.kind == "motor" else 0.0 if each.kind in SWITCHING else each.voltage
    return (Branch(each.name, first, last, each.resistance, voltage),)


def _conducts(each: Element, standing: Standing) -> bool:
    if each.kind == "contact":
        return each.closed != (each.coil in standing.pulled)
    if each.kind == "switch":
        return each.closed
    if each.kind == "diode":
        return each.name in standing.conducting
    if each.kind == "fuse":
        return each.name not in standing.blown
    return each.kind != "capacitor"


def dead(network: Network) -> Network:
    """The circuit as an ohmmeter meets it: no source, coils at rest, no diode that its small voltage could open."""
    return network._replace(
        elements=tuple(
            each._replace(voltage=0.0) for each in network.elements if each.kind != "diode" or each.broken == "short"
        )
    )
