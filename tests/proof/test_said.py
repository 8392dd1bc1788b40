"""What an inserted step says of itself is held against the machine file, and warnings against what they warn of."""

import math

import pytest
from tests.proof.demo_cards import card_of, step_of, steps_of
from tests.proof.rig import FACTS, card

from benchleaf.card.proof import verify_plain
from benchleaf.card.proof_read import read_sheet
from benchleaf.card.proof_said import needed

HONEST = ("no-drive", "lowering-valve-replace", "trial bc-96 block-swap")


def doubts(spoilt):
    return {(doubt.point, doubt.step, doubt.sentence) for doubt in verify_plain(spoilt)}


def with_facts(key, **changes):
    spoilt = card()
    step_of(spoilt, key)["facts"].update(changes)
    return spoilt


@pytest.mark.parametrize(
    ("key", "changes", "point", "words"),
    [
        ("zero", {"energies": []}, 3, "does not say of which energy"),
        ("tester-1", {"energies": []}, 3, "does not say of which energy"),
        ("wait", {"energies": []}, 2, "does not say of which energy"),
        ("wait", {"energies": ["wiring"]}, 2, "knows no waiting for"),
        ("zero", {"measure": "ac-voltage"}, 3, "not, or not at all points"),
        ("zero", {"energies": ["charge"]}, 3, "knows no such proof"),
        ("isolate", {"sets": {}}, 2, "moves nothing"),
        ("try", {"energies": []}, 3, "does not say of which energy"),
    ],
)
def test_a_step_that_says_what_the_machine_does_not_bear_out_is_doubted(key, changes, point, words):
    found = doubts(with_facts(key, **changes))
    assert any(each[0] == point and each[1] == key and words in each[2] for each in found), found


def test_the_tester_is_tried_for_each_energy_that_is_read():
    """29 CFR 1910.333(b)(2)(iv)(B): test equipment is checked for proper operation before and after the test."""
    found = doubts(with_facts("tester-1", energies=["arm"]))
    assert (3, "zero", "The voltage tester was not tried for what is read here.") in found
    found = doubts(with_facts("tester-2", energies=["arm"]))
    assert (3, "tester-2", "The voltage tester is not tried again for all that was read.") in found


def test_a_reading_may_not_let_more_pass_than_the_machine_file():
    spoilt = card()
    spoilt["facts"]["energies"]["wiring"]["prove"] |= {"below": "10", "unit": "V"}
    for high, seen in (("10", False), ("9.9", False), ("10.1", True), ("much", True)):
        step_of(spoilt, "zero")["reading"]["band"] = {"high": {"value": high, "unit": "V", "printed": high}}
        assert any("would pass as zero" in sentence for _, _, sentence in doubts(spoilt)) is seen
    step_of(spoilt, "zero")["reading"]["band"] = {"high": {"value": "9", "unit": "kV", "printed": "9"}}
    assert any("would pass as zero" in sentence for _, _, sentence in doubts(spoilt))


def test_a_wait_lasts_as_long_as_the_charge():
    """t = R C ln(V0 / V), any textbook of electrical engineering: 10 mF over 1 kohm from 100 V to 10 V, exact parts."""
    bleeds = {"farads": 0.01, "within": 0.0, "ohms": 1000.0, "bleed_within": 0.0, "volts": 100.0}
    spoilt = card()
    spoilt["facts"]["energies"]["charge"]["bleeds"] = bleeds
    spoilt["facts"]["energies"]["wiring"]["prove"] |= {"below": "10", "unit": "V"}
    assert needed(read_sheet(spoilt), "charge") == pytest.approx(10 * math.log(10)) == pytest.approx(23.0259, abs=1e-4)
    for value, short in (("23", True), ("24", False)):
        step_of(spoilt, "wait")["wait"] = {"value": value, "unit": "s", "printed": value}
        assert ((2, "wait", "The wait is too short for the charge.") in doubts(spoilt)) is short


def test_without_tolerances_the_usual_ones_count_and_without_a_proof_the_residual_voltage():
    """20 % each way of both (common practice, no source), 60 V (IEC 60204-1:2016, 6.2.4)."""
    bleeds = {"farads": 0.01, "within": None, "ohms": 1000.0, "bleed_within": None, "volts": 120.0}
    spoilt = card()
    spoilt["facts"]["energies"]["charge"]["bleeds"] = bleeds
    assert needed(read_sheet(spoilt), "charge") == pytest.approx(10 * 1.44 * math.log(2))


def test_letting_go_moves_what_the_machine_file_says():
    spoilt = card_of("lowering-valve-replace")
    assert not any("does not move what lets go of" in sentence for _, _, sentence in doubts(spoilt))
    spoilt["facts"]["energies"]["lift-pressure"]["lets_go"] = {"screw": "open"}
    assert any("does not move what lets go of" in sentence for _, _, sentence in doubts(spoilt))


@pytest.mark.parametrize("name", HONEST)
def test_a_warning_comes_before_what_it_warns_of_on_every_path(name):
    """ANSI Z535.6: safety messages that apply to a step stand directly before it (from memory)."""
    honest = card_of(name)
    warned = [step["key"] for step in steps_of(honest) if step["warnings"] and step["facts"]["exposed"]]
    assert warned
    for key in warned:
        spoilt = card_of(name)
        step_of(spoilt, key)["warnings"] = []
        assert any("Nothing has warned of" in sentence for _, _, sentence in doubts(spoilt)), key


def test_closings_that_let_energy_go_warn_of_it_too():
    """What is left out of service is let go as well, and oil under pressure injures there as anywhere."""
    card = card_of("lowering-valve-replace")
    lets_go = [
        step
        for section in card["sections"]
        for step in section["steps"]
        if section["kind"] == "closing" and step["role"] == "relieve"
    ]
    assert lets_go
    assert all("relieving:lift-pressure" in {warn["key"] for warn in step["warnings"]} for step in lets_go)


def test_findings_that_end_alike_leave_the_machine_alike():
    spoilt = card()
    spoilt["outcomes"].append({"key": "odd", "leave": "as-final", "closing": "closing-2"})
    assert any("end alike and leave the machine differently" in sentence for _, _, sentence in doubts(spoilt))


def test_nobody_tags_a_machine_and_calls_it_ready():
    spoilt = card()
    next(each for each in spoilt["outcomes"] if each["key"] == "worn")["leave"] = "as-final"
    assert any("tags the machine and calls it ready" in sentence for _, _, sentence in doubts(spoilt))


def test_all_that_stays_live_around_the_hands_is_counted():
    facts = {**FACTS, "energies": FACTS["energies"] | {"cell": FACTS["energies"]["charge"] | {"stays_live": True}}}
    facts["parts"] = FACTS["parts"] | {"tray": {"in": "bay", "on": "", "exposes": [{"energy": "cell", "unless": {}}]}}
    found = {
        (doubt.step, doubt.energy) for doubt in verify_plain(card(facts=facts)) if "card does not say" in doubt.text
    }
    assert ("loosen", "cell") in found
