"""The wiring that a card carries: loops of the demonstration worked by hand, and laws that every card keeps."""

from itertools import pairwise

import pytest
from tests.proof import demo_cards

from benchleaf.card.wiring import MOST_PIECES, SWITCHING


@pytest.fixture(scope="module")
def cards():
    """The card of each procedure for its first class of machines."""
    return {card.id: card for card in reversed(demo_cards.cards().values())}


def wiring(card, red, black, measure="voltage"):
    return next(each for each in card.wiring if (each.red, each.black, each.measure) == (red, black, measure))


def plain(text):
    return str(text).replace("\N{NARROW NO-BREAK SPACE}", " ")


def told(pieces):
    return [(piece.key, piece.stands) for piece in pieces]


def test_the_bus_at_full_throttle_is_drawn_with_the_motor_that_loads_it(cards):
    found = wiring(cards["no-drive"], "J7", "J4")
    assert told(found.ring) == [
        ("pack", ""),
        ("bank-fuse", "closed"),
        ("plug-pos", "closed"),
        ("contact", "closed"),
        ("output", "closed"),
        ("motor", ""),
        ("motor-return", ""),
        ("plug-neg", "closed"),
    ]
    assert told(found.red_tail) == [("guard-7", "")] and told(found.black_tail) == [("guard-4", "")]
    # The motor takes (50.9 - 40) V / 69.8 mohm = 156 A; bank and fuse drop 9.3 mohm of that; the brake adds 0.85 A.
    volts = {node.key: plain(node.volts) for node in found.nodes}
    assert volts["C1"] == "49.4 V" and volts["N1"] == "0 V"
    assert plain(found.shows) == "49.4 V" and found.against == "N1"


def test_an_open_contact_stands_open_and_nothing_lies_behind_it(cards):
    found = wiring(cards["no-drive"], "J1", "J2")
    assert ("contact", "open") in told(found.ring)
    assert {node.key: plain(node.volts) for node in found.nodes}["C1"] == "0 V"
    assert [plain(each.size) for each in found.ring if each.key in ("pack", "bank-fuse", "bleed")] == [
        "50.9 V",
        "250 A",
        "2.2 kΩ",
    ]


def test_a_dead_circuit_has_no_voltages_and_no_source(cards):
    found = wiring(cards["no-drive"], "T1", "T2", "resistance")
    assert [(each.key, each.kind, plain(each.size)) for each in found.ring] == [
        ("throttle", "potentiometer", "1 kΩ"),
        ("wiper-lead", "resistor", "0.1 Ω"),
        ("", "gap", ""),
    ]
    assert plain(found.shows) == "1 kΩ" and found.against == ""
    assert {node.volts for node in found.nodes} == {""}


def test_steps_that_read_the_same_share_a_wiring(cards):
    shared = wiring(cards["contactor-silent"], "J1", "J2")
    assert len(shared.steps) == 3
    numbers = [number for each in cards["contactor-silent"].wiring for number in each.steps]
    assert len(numbers) == len(set(numbers))


def test_what_goes_on_elsewhere_is_marked(cards):
    found = wiring(cards["no-drive"], "J7", "J4")
    # Coil and brake branch off before and behind the contact; the test sockets are dead ends.
    assert {node.key for node in found.nodes if node.more} == {"P1", "C1", "N1"}


def test_every_wiring_is_a_loop_through_both_probes(cards):
    count = 0
    for card in cards.values():
        readings = {step.number: step.reading for step in card.steps if step.reading and not step.inserted}
        for each in card.wiring:
            count += 1
            assert all(one.end == other.start for one, other in pairwise((*each.ring, each.ring[0])))
            assert len({piece.start for piece in each.ring}) == len(each.ring) <= MOST_PIECES
            on_ring = {piece.start for piece in each.ring}
            for point, tail in ((each.red, each.red_tail), (each.black, each.black_tail)):
                chain = [piece.start for piece in tail] + [tail[-1].end] if tail else [point]
                assert chain[0] in on_ring and chain[-1] == point
            for number in each.steps:
                ((red, black),) = readings[number].pairs
                assert (red.key, black.key) == (each.red, each.black)
            named = {node.key for node in each.nodes}
            pieces = (*each.ring, *each.red_tail, *each.black_tail)
            assert named == {node for piece in pieces for node in (piece.start, piece.end)}
            assert all(bool(piece.stands) == (piece.kind in SWITCHING) for piece in pieces if piece.kind != "more")
    assert count > 30


def test_voltages_along_closed_switches_don_t_fall(cards):
    for card in cards.values():
        for each in card.wiring:
            volts = {node.key: node.volts for node in each.nodes}
            for piece in each.ring:
                if piece.kind in ("switch", "contact") and piece.stands == "closed":
                    assert volts[piece.start] == volts[piece.end], (card.id, piece)


def test_each_reading_between_nodes_of_the_circuit_has_its_wiring(cards):
    card = cards["no-clamp"]
    numbers = {number for each in card.wiring for number in each.steps}
    electrical = {
        step.number
        for step in card.steps
        if step.inserted is None and step.reading and step.reading.measure in ("dc-voltage", "resistance")
    }
    assert numbers == electrical and len(numbers) == 7
