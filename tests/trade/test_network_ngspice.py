"""Random circuits and those of the demonstration against ngspice, an independent solver, to one part in a million.

Each element obeys the same law on both sides (a diode conducts from its forward voltage on, a contactor pulls in and
lets go at its two voltages); which diodes conduct and which contactors pull in, each side finds by itself.
"""

import random
from pathlib import Path

import pytest
from tests.trade.spice import lines, spelled, voltages

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence
from benchleaf.passes.circuits_state import Bench
from benchleaf.trade.network import Settled, settle
from benchleaf.trade.network_parts import Element, Network, dead
from benchleaf.trade.network_read import Reading, read

ROOT = Path(__file__).resolve().parents[2]
CLOSE = 1e-6
RUNS, EACH = 12, 20


def drawn(seed):
    """A connected circuit: a tree of conductors, chords over it, now and then diodes, contactors and a motor."""
    chance = random.Random(seed)
    nodes = ["g", *(f"n{number}" for number in range(chance.randint(3, 14)))]
    made = []

    def ohms(low=-2.0, high=5.0):
        return round(10 ** chance.uniform(low, high), 6)

    def conductor(first, last):
        kind = chance.choice(("resistor", "resistor", "battery", "switch", "fuse", "motor"))
        resistance = ohms(-2.0, 0.5) if kind in ("battery", "motor") else ohms()
        voltage = round(chance.uniform(1, 60), 3) if kind == "battery" else 0.0
        made.append(Element(f"e{len(made)}", kind, (first, last), voltage, resistance, closed=True))

    made.append(Element("feed", "battery", (nodes[1], "g"), round(chance.uniform(5, 60), 3), ohms(-3, 0)))
    for number, node in enumerate(nodes[2:], 2):
        conductor(node, chance.choice(nodes[:number]))
    for _ in range(chance.randint(2, 8)):
        conductor(*chance.sample(nodes, 2))
    if seed % 3 == 0:
        ends = chance.sample(nodes, 3)
        made.append(Element("pot", "potentiometer", tuple(ends), 0.0, ohms(2, 4), position=chance.uniform(0.1, 0.9)))
    if seed % 3 == 1:
        for number in range(chance.randint(1, 2)):
            pair = tuple(chance.sample(nodes, 2))
            made.append(Element(f"d{number}", "diode", pair, 0.7, ohms(-1, 1)))
    if seed % 4 == 2:
        made.append(
            Element("coil", "coil", tuple(chance.sample(nodes, 2)), 0.0, ohms(2, 3), pulls_in=8.0, drops_out=3.0)
        )
        # What the contact feeds is small beside the source, so that it does not undo its own pull.
        made.append(Element("contact", "contact", (nodes[1], "x"), 0.0, 0.05, coil="coil"))
        made.append(Element("load", "resistor", ("x", "g"), 0.0, ohms(3, 5)))
    return Network("g", tuple(made))


def agree(ours, theirs, scale, what):
    """To one part in a million; near zero, to one in 10^8 of the circuit's largest voltage."""
    assert abs(ours - theirs) <= max(CLOSE * abs(ours), 1e-8 * scale), (what, ours, theirs)


def held(networks, path):
    """Settle each circuit on both sides and compare every node that something joins to the ground."""
    cards, wanted, ours = [], [], []
    for prefix, network in networks:
        settled = settle(network)
        assert isinstance(settled, Settled), (prefix, settled)
        cards += lines(prefix, network, settled.standing.turning)
        parts = {}
        for node, part in settled.solution.part.items():
            parts.setdefault(part, node)
            if settled.solution.joined(node, network.ground):
                wanted.append(spelled(prefix, network, node))
                ours.append((prefix, node, settled.solution.between(node, network.ground)))
        # Parts that nothing joins to the ground are tied to it, which no current notices.
        ties = [node for node in parts.values() if not settled.solution.joined(node, network.ground)]
        cards += [f"Rt{prefix}{node} {spelled(prefix, network, node)} 0 1e6".replace("-", "_") for node in ties]
    theirs = voltages(cards, wanted, path)
    scale = {}
    for (prefix, _, value), other in zip(ours, theirs, strict=True):
        scale[prefix] = max(scale.get(prefix, 0.0), abs(value), abs(other))
    for (prefix, node, value), other in zip(ours, theirs, strict=True):
        agree(value, other, scale[prefix], (prefix, node))
    return len(ours)


@pytest.mark.parametrize("run", range(RUNS))
def test_random_circuits(run, tmp_path):
    for seed in range(run * EACH, (run + 1) * EACH):
        assert held([(f"c{seed}", drawn(seed))], tmp_path / "circuit.cir") > 3


def demonstrated():
    """The circuits of the demonstration in the state of each step, sound and with each fault."""
    shelf = gather(Request(ROOT, "2026-06-01"))
    judged = judge(shelf, silence).judged
    for machine in (each.record for each in shelf.machines.values()):
        for one in judged:
            if one.case is None or one.case.machine is not machine or one.facts.planning is None:
                continue
            bench = Bench(machine, one.case.procedure, one.facts.planning)
            for station in one.facts.flow.stations:
                values = bench.state(station)
                for fault in ("", *machine.faults):
                    stood = bench.at(values, fault) if values is not None else None
                    if stood is not None and isinstance(stood.settled, Settled) and not stood.settled.blown:
                        yield touching(stood.network)


def touching(network):
    """A closed contact without any resistance is none for ngspice: both sides get a little."""
    return network._replace(
        elements=tuple(each._replace(resistance=1e-4) if each.kind == "contact" else each for each in network.elements)
    )


def test_circuits_of_the_demonstration(tmp_path):
    networks = {network: f"m{number}" for number, network in enumerate(dict.fromkeys(demonstrated()))}
    assert len(networks) > 100
    for network, prefix in networks.items():
        held([(prefix, network)], tmp_path / "circuits.cir")


@pytest.mark.parametrize("run", range(4))
def test_random_resistances(run, tmp_path):
    """What an ohmmeter shows: one ampere through the dead circuit."""
    cards, wanted, ours = [], [], []
    for seed in range(run * EACH, (run + 1) * EACH):
        network = drawn(seed)._replace(ground="n0")
        prefix = f"c{seed}"
        shown = read(network, Reading("resistance", "n2", "n0"))
        quiet = dead(network)
        cards += [*lines(prefix, quiet), f"I{prefix} 0 {prefix}_n2 1"]
        wanted.append(f"{prefix}_n2")
        ours.append((seed, shown.value))
    theirs = voltages(cards, wanted, tmp_path / "circuits.cir")
    for (seed, value), other in zip(ours, theirs, strict=True):
        agree(value, other, 0.0, seed)
