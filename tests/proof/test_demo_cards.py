"""The demo cards are confirmed, each step that the compiler put in bears load, and lies about the machine are seen."""

import time
from collections.abc import Mapping
from functools import cache
from itertools import pairwise

import pytest
from tests.proof.demo_cards import card_of, cards, exchanged, names, step_of, steps_of, trial_names, without

from benchleaf.card.proof import verify, verify_plain

# After these nobody can say which way round a block stands.
MOVING = {"remove", "fit", "swap", "disconnect", "connect"}


@cache
def known(name):
    """What is doubted of a card before anybody spoils it."""
    return frozenset((doubt.point, doubt.step, doubt.energy, doubt.sentence) for doubt in verify_plain(card_of(name)))


def fresh(name, spoilt):
    """What is doubted of a spoilt card and was not before."""
    found = verify_plain(spoilt)
    return [doubt for doubt in found if (doubt.point, doubt.step, doubt.energy, doubt.sentence) not in known(name)]


def told(doubts):
    return [f"{doubt.point} {doubt.number} {doubt.energy}: {doubt.text}" for doubt in doubts]


@pytest.mark.parametrize("name", [*names(), *trial_names()])
def test_card_is_confirmed_for_every_class_of_machines(name):
    assert told(verify_plain(card_of(name))) == []


def test_there_is_a_demo_card_for_more_than_one_class():
    procedures = {name.partition(" ")[0] for name in names()}
    assert len(names()) > len(procedures) > 15 and len(trial_names()) >= 6


@pytest.mark.parametrize("name", [*names(), *trial_names()])
def test_no_step_that_was_put_in_can_be_left_out(name):
    card = card_of(name)
    put_in = [step["key"] for step in steps_of(card) if step["role"]]
    assert put_in
    assert [key for key in put_in if not fresh(name, without(card, key))] == []


def harmless(one, two):
    """Which neighbours may stand in either order, by the order that the law of lockout itself gives.

    Two steps of the same stage about different things (two controls, two covers) have no order among themselves; nor
    have two proofs, but that trying the tester stays around the readings. One break may be locked before or after the
    next is opened, and one restored before or after the next lock comes off or a control is set back. Whether a battery
    looks sound may be seen before or after another look around, and its polarity before or after work that moves none
    of its blocks.
    """
    roles = (one["role"], two["role"])
    if roles == ("prove", "prove"):
        return "read" not in (one["action"], two["action"]) and is_voltage(one) == is_voltage(two)
    if roles in (("lock", "isolate"), ("restore", "unlock"), ("unlock", "restore")):
        lock, move = (two, one) if "restore" in roles[:1] else (one, two)
        return not set(lock["facts"]["locks"]) & set(move["facts"]["sets"])
    if roles == ("inspect", ""):
        return two["nearness"] == "senses"
    if roles == ("", "polarity"):
        return one["action"] not in MOVING
    return roles[0] == roles[1] and roles[0] in ("shut-down", "access", "close", "safe")


def is_voltage(step):
    return step["facts"]["measure"].endswith("voltage")


@pytest.mark.parametrize("name", names())
def test_no_step_that_was_put_in_can_be_moved(name):
    card = card_of(name)
    steps = steps_of(card)
    moved, unseen = 0, []
    for one, two in pairwise(steps):
        spoilt = exchanged(card, one["key"], two["key"]) if one["role"] or two["role"] else None
        if spoilt is None or harmless(one, two):
            continue
        moved += 1
        if not fresh(name, spoilt):
            unseen.append((one["number"], one["role"], two["number"], two["role"]))
    assert moved > 10
    assert unseen == []


def of(table, rows, **changes):
    return lambda facts: [facts[table][row].update(changes) for row in rows]


def fed_by_more(facts):
    facts["conditions"]["feed"] = dict(facts["conditions"]["charger"])
    facts["energies"]["second"] = dict(facts["energies"]["charger-mains"], isolate={"feed": "unplugged"}, when=[])
    facts["energies"]["travel"]["fed_by"].append("second")


LIES = {
    "what isolated is a control": ("no-drive", of("conditions", ["battery-plug"], isolates=False, control=True), 8),
    "what isolated is none": ("no-drive", of("conditions", ["charger"], isolates=False), 8),
    "nothing isolates the wiring": ("contactor-replace", of("energies", ["bus"], isolate={}), 1),
    "nothing proves the wiring": ("contactor-replace", of("energies", ["bus"], prove=None), 1),
    "the wiring has more points": (
        "contactor-replace",
        lambda facts: facts["energies"]["bus"]["prove"]["pairs"].append(["X1", "X2"]),
        1,
    ),
    "the bank goes dead": ("battery-service", of("energies", ["pack", "electrolyte"], stays_live=False), 1),
    "more feeds the drive": ("no-drive", fed_by_more, 1),
    "the hot bar reaches everybody": ("cylinder-replace", of("energies", ["bar-heat"], reach="near"), 1),
    "the springs reach everybody": (
        "cylinder-replace",
        of("energies", ["return-springs"], reach="near", stays_live=False),
        1,
    ),
    "nothing holds the raised carrier": ("no-drive", of("energies", ["on-stands"], held_by=[]), 1),
    "the pressure must drain twice": ("cylinder-replace", of("energies", ["mains"], kind="capacitor", waits=True), 1),
    "a reading at other parts": (
        "no-drive",
        of("parts", ["throttle-pot"], exposes=[{"energy": "pack", "unless": {}}]),
        5,
    ),
    "the plug may only move with the seat empty": (
        "no-drive",
        lambda facts: facts["conditions"]["battery-plug"]["move_when"].update(deck="removed"),
        6,
    ),
    "the machine should be left otherwise": ("no-drive", lambda facts: facts["final"].update(key="on"), 4),
    "more is presumed": ("no-drive", lambda facts: facts["initial"].update(throttle="released"), 2),
    "a cover more hides the points": (
        "contactor-replace",
        lambda facts: (
            facts["conditions"].update(lid=dict(facts["conditions"]["deck"])),
            facts["energies"]["bus"]["prove"]["access"].append("lid"),
        ),
        2,
    ),
    "the proof sees less": ("no-drive", lambda facts: facts["energies"]["bus"]["prove"]["sees"].pop(), 3),
}


@pytest.mark.parametrize("lie", LIES)
def test_a_machine_told_otherwise_is_doubted(lie):
    name, change, point = LIES[lie]
    card = card_of(name)
    change(card["facts"])
    assert point in {doubt.point for doubt in fresh(name, card)}, told(verify_plain(card))


def test_a_card_of_its_kind_is_proved_in_no_time():
    """The longest demo card, as often as it takes to be sure: well within 30 ms."""
    card = card_of(max(names(), key=lambda name: len(steps_of(card_of(name)))))
    assert len(steps_of(card)) >= 60 and len(card["facts"]["conditions"]) + len(card["facts"]["things"]) >= 12
    spent = []
    for _ in range(5):
        begun = time.process_time()
        verify_plain(card)
        spent.append(time.process_time() - begun)
    assert min(spent) < 0.03


def test_the_card_itself_is_left_as_it_was():
    card = cards()["no-drive"]
    before = str(card)
    verify(card)
    assert str(card) == before and isinstance(card.facts, Mapping)


def test_a_step_that_says_something_else_is_seen():
    card = card_of("no-drive")
    written = [(step["key"], step["command"]) for step in steps_of(card) if not step["role"]]
    assert verify_plain(card, written) == ()
    step_of(card, "s11")["command"] = "Measure something else."
    assert [(doubt.point, doubt.step) for doubt in verify_plain(card, written)] == [(7, "s11")]
