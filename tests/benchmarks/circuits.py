"""Prints how the time for circuits and fault searches grows with their size.

    .venv/bin/python tests/benchmarks/circuits.py

Target: 60 nodes, 30 faults and 25 readings with tolerances within one second of processor time. A script rather than
a test: a shared machine's noise must not turn a build red.
"""

import random
import time
from typing import NamedTuple

from benchleaf.trade.diagnosis import Question, Search, best, exact, greedy
from benchleaf.trade.network import Settled, settle
from benchleaf.trade.network_parts import AT_REST, Element, Network
from benchleaf.trade.network_read import Reading, band, quick, read

SIZES = ((15, 8, 6), (30, 15, 12), (60, 30, 25), (90, 45, 38))


class Timed(NamedTuple):
    """Seconds for faults and for tolerances."""

    faults: float
    tolerances: float


def ladder(nodes: int, seed: int = 7) -> Network:
    """A supply with branches of lamps, coils, contacts and diodes, as wiring has them: a node for each second."""
    chance = random.Random(seed)
    made = [Element("supply", "battery", ("n1", "g"), 24.0, 0.1, 0.02)]
    for number in range(2, nodes):
        before = f"n{max(1, number - chance.choice((1, 1, 2, 5)))}"
        made.append(Element(f"lead{number}", "resistor", (before, f"n{number}"), 0.0, chance.uniform(0.05, 2), 0.05))
        made.append(Element(f"load{number}", "resistor", (f"n{number}", "g"), 0.0, chance.uniform(1e3, 1e4), 0.05))
        if number % 10 == 0:
            made.append(Element(f"coil{number}", "coil", (f"n{number}", "g"), 0.0, 900, 0.1, pulls_in=12, drops_out=4))
            made.append(Element(f"contact{number}", "contact", ("n1", f"n{number - 5}"), coil=f"coil{number}"))
        if number % 7 == 0:
            made.append(Element(f"diode{number}", "diode", (f"n{number}", f"n{number // 2}"), 0.7, 0.02))
    return Network("g", tuple(made))


def held(nodes: int, faults: int, readings: int) -> Timed:
    """One state: every reading under every fault, and the bounds of every reading over stated and over all sizes."""
    network = ladder(nodes)
    broken = [network]
    for number in range(2, faults + 2):
        name = f"lead{2 + number % (nodes - 2)}"
        elements = (each._replace(broken="open") if each.name == name else each for each in network.elements)
        broken.append(network._replace(elements=tuple(elements)))
    asked = [Reading("voltage", f"n{2 + number * (nodes - 3) // readings}", "g") for number in range(readings)]
    start = time.process_time()
    for each in broken:
        settled = settle(each)
        if not isinstance(settled, Settled):
            raise SystemExit(f"{nodes} nodes: {settled}")
        for reading in asked:
            if quick(settled, reading) is None:
                read(each, reading, settled.standing)
    middle = time.process_time()
    whole = settle(network)
    standing = whole.standing if isinstance(whole, Settled) else AT_REST
    for reading in asked:
        for stated in (True, False):
            band(network, reading, standing, stated=stated)
    return Timed(middle - start, time.process_time() - middle)


def search(faults: int, tests: int, seed: int = 3) -> Search:
    """Random answers, weights and minutes."""
    chance = random.Random(seed)
    questions = tuple(
        Question(f"t{number}", chance.randint(1, 9), tuple(chance.choice("01") for _ in range(faults)))
        for number in range(tests)
    )
    return Search(tuple(chance.randint(1, 9) for _ in range(faults)), questions)


def main() -> None:
    """Run all and print a line each."""
    for nodes, faults, readings in SIZES:
        spent = held(nodes, faults, readings)
        whole = sum(spent)
        note = f", target 1 s: {'holds' if whole <= 1 else 'missed'}" if nodes == 60 else ""
        print(f"{nodes:4} nodes, {faults:2} faults, {readings:2} readings: {whole:6.2f} s{note}")
        print(f"       faults {spent.faults:.2f} s, tolerances {spent.tolerances:.2f} s")
    for faults, tests in ((8, 8), (12, 10), (16, 10), (24, 24)):
        asked = search(faults, tests)
        start = time.process_time()
        found = best(asked)
        spent_on = time.process_time() - start
        shortest = exact(asked, 200_000) if faults <= 16 else None
        over = f"{greedy(asked).minutes / shortest.minutes:.2f} of the best by gain" if shortest else "by gain alone"
        word = "exact" if found.exact else "by gain"
        print(f"{faults:4} faults, {tests:2} questions: {spent_on:6.2f} s, {word} ({over})")


if __name__ == "__main__":
    main()
