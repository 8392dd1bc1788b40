"""The wiring around a reading as a card carries it: a loop of elements, its nodes with voltages, and the probes."""

from typing import NamedTuple


class WiringPiece(NamedTuple):
    """An element on the way from node `start` to node `end`.

    `kind` is a type of the circuit, or ac (an alternating source), jumper, gap (nothing joins the nodes but what is
    measured) or more (`name` says how many elements are left out). `size` is printed, `stands` closed | open for what
    switches, `turned` says that the element's first node is `end`.
    """

    key: str
    kind: str
    name: str
    size: str
    start: str
    end: str
    stands: str = ""
    turned: bool = False


class WiringNode(NamedTuple):
    """A node with its voltage against the reference as printed, empty in a dead circuit; `more` is connected to it
    than the wiring shows."""

    key: str
    volts: str
    more: bool


class Wiring(NamedTuple):
    """The wiring around the reading of some steps, all in one state of the machine.

    `ring` is a closed loop of pieces, beginning with the source if there is one; the tails lead from it to the probes
    where these are not on it. `measure`: voltage | current | resistance | capacitance; `shows` is the expected reading
    as printed; `against` is the node from which voltages count, empty in a dead
    circuit.
    """

    steps: tuple[int, ...]
    measure: str
    red: str
    black: str
    shows: str
    against: str
    ring: tuple[WiringPiece, ...]
    red_tail: tuple[WiringPiece, ...]
    black_tail: tuple[WiringPiece, ...]
    nodes: tuple[WiringNode, ...]
