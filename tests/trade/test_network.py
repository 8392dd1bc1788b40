"""Circuits against textbooks and formulas, tolerances against every corner, and circuits that can't be."""

import math
import random
from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from tests.trade.test_network_ngspice import drawn

from benchleaf.trade.network import Settled, Trouble, settle
from benchleaf.trade.network_parts import Element, Network
from benchleaf.trade.network_read import Band, Reading, Shown, band, quick, read

OPEN_METER = 1e15


def circuit(*elements, ground="g"):
    return Network(ground, elements)


def battery(name, first, last, volts, ohms=0.0, **more):
    return Element(name, "battery", (first, last), volts, ohms, **more)


def resistor(name, first, last, ohms, **more):
    return Element(name, "resistor", (first, last), 0.0, ohms, **more)


def volts(network, first, last="g", meter=OPEN_METER):
    shown = read(network, Reading("voltage", first, last, meter))
    assert isinstance(shown, Shown), shown
    return shown.value


def divider(upper, lower, *more):
    return circuit(battery("v", "a", "g", 12), resistor("r1", "a", "b", upper), resistor("r2", "b", "g", lower), *more)


@pytest.mark.parametrize(
    ("network", "node", "meter", "expected"),
    [
        (divider(1e3, 2e3), "b", OPEN_METER, 8.0),
        (divider(1e3, 2e3, resistor("load", "b", "g", 2e3)), "b", OPEN_METER, 6.0),
        # A meter of 10 Mohm over one megohm of two: 12 V * (10/11) / (1 + 10/11).
        (divider(1e6, 1e6), "b", 10e6, 12 * (10 / 11) / (1 + 10 / 11)),
    ],
)
def test_divider(network, node, meter, expected):
    assert volts(network, node, meter=meter) == pytest.approx(expected, rel=1e-9)


def test_unbalanced_bridge():
    """Alexander and Sadiku, Fundamentals of Electric Circuits, example 4.18 (from memory): 74.76 mA through 40 ohm."""
    network = circuit(
        battery("v", "a", "g", 220),
        resistor("r1", "a", "b", 3e3),
        resistor("r3", "b", "g", 1e3),
        resistor("r2", "a", "c", 400),
        resistor("r4", "c", "g", 600),
        resistor("galvanometer", "b", "c", 40),
    )
    assert abs(volts(network, "b", "c") / 40) == pytest.approx(74.76e-3, abs=5e-6)


def test_strain_bridge():
    """V dR / (4 R + 2 dR) with 10 V, 350 ohm and 1 ohm in one arm."""
    network = circuit(
        battery("v", "a", "g", 10),
        *(resistor(f"r{n}", *ends, 350) for n, ends in enumerate((("a", "b"), ("a", "c"), ("c", "g")))),
        resistor("gauge", "b", "g", 351),
    )
    assert volts(network, "b", "c") == pytest.approx(10 / (4 * 350 + 2), rel=1e-9)


def test_diode_drop():
    """Boylestad and Nashelsky, Electronic Devices and Circuit Theory, example 2.4 (from memory): 7.3 V, 3.32 mA."""
    diode = Element("d", "diode", ("a", "b"), 0.7, 1e-6)
    network = circuit(battery("v", "a", "g", 8), diode, resistor("r", "b", "g", 2200))
    assert volts(network, "b") == pytest.approx(7.3, rel=1e-6)
    assert volts(network, "b") / 2200 == pytest.approx(3.32e-3, abs=5e-6)
    blocking = circuit(battery("v", "g", "a", 8), diode, resistor("r", "b", "g", 2200))
    assert volts(blocking, "b") == pytest.approx(0.0, abs=1e-9)


def test_bridge_of_diodes_leads_both_ways_to_one_side():
    """A source that nothing else joins to its load: 12 V less two drops of 0.7 V, whichever way it stands."""
    for first, last in (("p", "q"), ("q", "p")):
        network = circuit(
            battery("v", first, last, 12, 0.01),
            *(Element(f"d{n}", "diode", ends, 0.7, 0.01)
              for n, ends in enumerate((("p", "x"), ("q", "x"), ("g", "p"), ("g", "q")))),
            resistor("load", "x", "g", 1e3),
        )  # fmt: skip
        assert volts(network, "x") == pytest.approx(10.6, abs=1e-3)


@pytest.mark.parametrize(("position", "expected"), [(0.0, 4.58333), (1.0, 0.416667), (0.5, 2.5)])
def test_throttle(position, expected):
    """5 V over 500 ohm, a potentiometer of 5 kohm and 500 ohm: the voltages at the ends of its travel."""
    pot = Element("p", "potentiometer", ("b", "w", "c"), 0.0, 5e3, position=position)
    network = circuit(battery("v", "a", "g", 5), resistor("r1", "a", "b", 500), pot, resistor("r2", "c", "g", 500))
    assert volts(network, "w") == pytest.approx(expected, rel=1e-5)


def test_potentiometer_tolerance():
    """5 kohm of 20 %: 4 to 6 kohm from end to end (IEC 60393-1 lists 20 % and 10 %; from memory)."""
    pot = Element("p", "potentiometer", ("a", "w", "g"), 0.0, 5e3, 0.2)
    found = band(circuit(pot), Reading("resistance", "a", "g"))
    assert (found.low, found.nominal, found.high) == pytest.approx((4e3, 5e3, 6e3))


def test_shunt():
    """50 mV at 200 A: 0.25 mohm, read as a voltage and as a resistance."""
    network = circuit(battery("v", "a", "g", 12, 0.05975), resistor("shunt", "a", "g", 0.25e-3))
    assert volts(network, "a") == pytest.approx(50e-3, rel=1e-9)
    assert read(network._replace(elements=network.elements[1:]), Reading("resistance", "a", "g")).value == 0.25e-3


def test_ammeter_in_line():
    network = circuit(battery("v", "a", "g", 12, 1), resistor("r", "b", "g", 5))
    assert read(network, Reading("current", "a", "b")).value == pytest.approx(2.0)


def relay(contact, closed=False, pulls_in=8.0, drops_out=3.0, volts=12.0):
    return circuit(
        battery("v", "a", "g", volts, 0.1),
        Element("coil", "coil", ("k" if contact == "own" else "a", "g"), 0.0, 100, pulls_in=pulls_in,
                drops_out=drops_out),
        Element("contact", "contact", ("a", "k"), closed=closed, coil="coil"),
        resistor("load", "k", "g", 1e3),
    )  # fmt: skip


def test_contact_closes_when_its_coil_pulls_in():
    assert volts(relay("other"), "k") == pytest.approx(12, abs=0.02)
    assert volts(relay("other", volts=7.0), "k") == pytest.approx(0, abs=1e-9)
    assert volts(relay("other", closed=True), "k") == pytest.approx(0, abs=1e-9)


def test_coil_keeps_what_it_holds():
    """A contact that feeds its own coil stays as it was begun with: hysteresis."""
    network = relay("own")
    rest = settle(network)
    assert isinstance(rest, Settled) and not rest.standing.pulled
    held = settle(network, rest.standing._replace(pulled=frozenset({"coil"})))
    assert isinstance(held, Settled) and held.standing.pulled == {"coil"}


def test_buzzer_never_settles():
    assert settle(relay("own", closed=True)) == Trouble("chatter", ("coil",))


def test_motor_turns_with_the_current_and_never_feeds_back():
    """20 A through 0.1 ohm at 10 V of back-EMF from 12 V; at 8 V it stands still, and its resistance alone counts."""

    def driven(volts):
        return circuit(battery("v", "a", "g", volts), resistor("lead", "a", "m", 0.1),
                       Element("motor", "motor", ("m", "g"), 10.0, 0.1))  # fmt: skip

    assert (12 - volts(driven(12), "m")) / 0.1 == pytest.approx(10.0)
    assert volts(driven(-12), "m") == pytest.approx(-11.0)
    assert volts(driven(8), "m") == pytest.approx(4.0)
    assert read(driven(12), Reading("resistance", "m", "g")).value == pytest.approx(0.05)


def test_fuse_blows_only_when_all_else_stands():
    def fused(rating):
        return circuit(battery("v", "a", "g", 12, 0.01), Element("f", "fuse", ("a", "b"), 0.0, 0.01, rating=rating),
                       Element("motor", "motor", ("b", "g"), 11.0, 0.08))  # fmt: skip

    # Standing it would draw 120 A, turning it draws 10 A.
    assert settle(fused(12)).blown == ()
    lost = settle(fused(9))
    assert lost.blown == (("f", pytest.approx(10.0)),)
    assert volts(fused(9), "b") == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(
    "elements",
    [
        (battery("v", "a", "g", 12), Element("wire", "switch", ("a", "g"), closed=True)),
        (battery("v", "a", "g", 12), battery("w", "a", "g", 6)),
        (battery("v", "a", "b", 12), battery("w", "b", "g", 6), battery("x", "a", "g", 18)),
    ],
)
def test_shorted_sources(elements):
    settled = settle(circuit(*elements))
    assert isinstance(settled, Trouble) and settled.kind == "shorted"


def test_floating_nodes():
    network = circuit(battery("v", "a", "g", 12), Element("s", "switch", ("a", "b")), battery("w", "c", "d", 6, 0.1))
    assert read(network, Reading("voltage", "b", "g")).floating
    assert read(network, Reading("voltage", "nowhere", "g")).floating
    assert not read(network, Reading("voltage", "c", "d")).floating
    assert read(network, Reading("resistance", "b", "g")).value == math.inf


def test_capacitance_between_its_tags():
    network = circuit(Element("c", "capacitor", ("a", "b"), capacitance=60e-6, tolerance=0.1),
                      resistor("bleed", "a", "b", 15e3))  # fmt: skip
    found = band(network, Reading("capacitance", "a", "b"))
    assert (found.low, found.high) == pytest.approx((54e-6, 66e-6))
    assert read(network, Reading("capacitance", "a", "nowhere")).floating


def toleranced(seed):
    """A random circuit whose sizes have tolerances; few enough that every corner can be tried."""
    network = drawn(seed)
    chance = random.Random(seed)
    kept = chance.sample([each.name for each in network.elements if each.kind in ("battery", "resistor", "fuse")], 3)
    return network._replace(
        elements=tuple(
            each._replace(tolerance=chance.choice((0.02, 0.1, 0.2))) if each.name in kept else each
            for each in network.elements
        )
    )


@settings(max_examples=60, deadline=None)
@given(some.integers(0, 200).map(lambda number: 3 * number))
def test_bounds_lie_at_the_best_of_all_corners(seed):
    network = toleranced(seed)
    sizes = [each for each in network.elements if each.tolerance]
    for reading in (Reading("voltage", "n2", "g"), Reading("resistance", "n2", "g")):
        found = band(network, reading)
        assert isinstance(found, Band)
        corners = []
        for signs in product((-1, 0, 1), repeat=len(sizes)):
            factors = {each.name: 1 + sign * each.tolerance for each, sign in zip(sizes, signs, strict=True)}
            moved = tuple(each.scaled(factors.get(each.name, 1.0)) for each in network.elements)
            corners.append(read(network._replace(elements=moved), reading).value)
        scale = max(abs(corner) for corner in corners) + 1e-9
        assert found.low == pytest.approx(min(corners), abs=1e-9 * scale)
        assert found.high == pytest.approx(max(corners), abs=1e-9 * scale)


@settings(max_examples=60, deadline=None)
@given(some.integers(0, 100_000), some.floats(0.1, 50))
def test_twice_the_sources_twice_the_voltages(seed, factor):
    """A circuit of resistances and sources alone answers in proportion."""
    network = drawn(3 * seed)._replace()
    linear = network._replace(elements=tuple(each for each in network.elements if each.kind not in ("coil", "contact")))
    more = linear._replace(elements=tuple(each._replace(voltage=each.voltage * factor) for each in linear.elements))
    once, again = settle(linear), settle(more)
    assert isinstance(once, Settled) and isinstance(again, Settled)
    for node in once.solution.place:
        if once.solution.joined(node, "g"):
            value = once.solution.between(node, "g") * factor
            assert again.solution.between(node, "g") == pytest.approx(value, rel=1e-6, abs=1e-6 * factor)


@settings(max_examples=80, deadline=None)
@given(some.integers(0, 500))
def test_a_quick_reading_is_a_full_one(seed):
    """Thévenin: the open voltage behind the inner resistance, under the load of the meter."""
    network = drawn(seed)
    settled = settle(network)
    assert isinstance(settled, Settled)
    reading = Reading("voltage", "n2", "n0" if "n0" in settled.solution.place else "g", 50e3)
    shown = read(network, reading, settled.standing)
    value = quick(settled, reading)
    assert value is not None or shown.floating
    loaded = settle(
        network._replace(elements=(*network.elements, resistor("m", reading.first, reading.last, reading.meter)))
    )
    if value is not None and loaded.standing == settled.standing:
        assert value == pytest.approx(shown.value, rel=1e-6, abs=1e-9)
