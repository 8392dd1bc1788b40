"""The checklist worked through: readings judged, answers leading on, nothing skipped, nothing left half done."""

from fractions import Fraction

import pytest
from tests.browser.conftest import CARD, Hand
from tests.render.sample_cards import CARDS, FAULT_FINDING, RAM, REPLACEMENT

from benchleaf.card.model import MachineClass, SerialRange
from benchleaf.card.offered import offered

WIDER_THAN_SCREEN = """() => [...document.querySelectorAll("main *")].filter(each => {
    const box = each.getBoundingClientRect();
    return box.width && !each.closest(".hidden, .plan-box > div") && (box.right > innerWidth + 0.5 || box.left < -0.5);
}).map(each => each.outerHTML.slice(0, 80))"""


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_nothing_is_wider_than_the_screen(desk, card):
    page = desk.open(desk.file(card))
    for begun in (False, True):
        if begun:
            Hand(page).begin().menu("Show the whole list")
        for width in (320, 360, 768, 1280):
            page.set_viewport_size({"width": width, "height": 640})
            assert page.evaluate("document.documentElement.scrollWidth") == width
            assert page.evaluate(WIDER_THAN_SCREEN) == []


def test_machine_and_serial_come_first(hand):
    hand.on()
    assert hand.refusal == "Write the serial number from the plate of the machine first."
    hand.page.fill("[name=serial]", "RC48-417")
    hand.on()
    assert hand.refusal == "Write your name first."
    hand.page.fill("[name=who]", "A. Finch")
    hand.on()
    assert hand.refusal == "Tick first what must be true before you start."
    assert hand.step == 0
    hand.begin()
    assert hand.step == 1
    assert "RC48-417 · step 1 of 21" in hand.said("#bar-job")


@pytest.mark.parametrize("state", ["withdrawn", "superseded"])
def test_no_work_begins_with_a_card_that_no_longer_holds(desk, state):
    hand = Hand(desk.open(desk.file(CARD._replace(state=state)))).begin()
    assert hand.refusal == "This card no longer holds: begin no work with it. Take the current one."
    assert hand.step == 0


def test_a_serial_number_that_is_none_of_the_cards_is_asked_twice(desk):
    ranges = (SerialRange("RC48-", "400", "900"),)
    machine = FAULT_FINDING.machine._replace(serials="RC48-400 to RC48-900", applies=MachineClass(serials=ranges))
    hand = Hand(desk.open(desk.file(CARD._replace(machine=machine))))
    for serial, strange in (("RC48-400", False), ("RC48-900", False), ("RC48-901", True), ("HT6-417", True)):
        hand.begin(serial)
        assert (hand.refusal.startswith(f"{serial} is none of RC48-400 to RC48-900.")) is strange
        assert hand.step == (0 if strange else 1)
        if strange:
            assert hand.on().step == 1
        hand.menu("Another machine")


def test_where_other_machines_have_cards_of_their_own_nobody_begins_with_the_wrong_one(desk):
    ranges = (SerialRange("RC48-", "", "120"), SerialRange("RC48-", "400", ""))
    text = "RC48-… to RC48-120 or RC48-400 and up"
    machine = FAULT_FINDING.machine._replace(serials=text, applies=MachineClass("0-120-or-from-400", text, ranges))
    hand = Hand(desk.open(desk.file(CARD._replace(machine=machine))))
    for serial, right in (("RC48-7", True), ("RC48-120", True), ("RC48-121", False), ("RC48-4000", True), ("7", False)):
        hand.begin(serial)
        assert hand.step == (1 if right else 0)
        if right:
            hand.menu("Another machine")
        else:
            assert hand.on().step == 0
            assert hand.refusal == f"{serial} is none of {text}. Take the card that is for it."


JUDGED = {
    "50.9": ("50.9 V: good with bench multimeter, 60 V dc range.", "Go on: step 3"),
    "50,9": ("50.9 V: good with bench multimeter, 60 V dc range.", "Go on: step 3"),
    "50.2": ("50.2 V: good with bench multimeter, 60 V dc range.", "Go on: step 3"),
    "51.60": ("51.60 V: good with bench multimeter, 60 V dc range.", "Go on: step 3"),
    "50.199": ("50.199 V is below 50.2 V.", "Go on: step 18"),
    "51.61": ("51.61 V is above 51.6 V.", "Go to finding 4: Wrong charger"),
    "OL": ("OL is above the limit.", "Go to finding 4: Wrong charger"),
    "-50.9": (
        "−50.9 V is below zero: are the leads the wrong way round? No way is written for this: stop and ask.",
        "Stop and ask",
    ),
}
UNCLEAR = {
    "fifty": "“fifty” is no number: write it like 50.4 or 50,4.",
    "50.9.1": "“50.9.1” is no number: write it like 50.4 or 50,4.",
    "1.234,5": "“1.234,5” is no number: write it like 50.4 or 50,4.",
    "1,234": "“1,234” can mean 1.234 or 1234: write one of these.",
    "5e1": "“5e1” is no number: write it like 50.4 or 50,4.",
    "<b>50</b>": "“<b>50</b>” is no number: write it like 50.4 or 50,4.",
    "": "",
}


def test_reading_is_held_against_its_limit_and_read_back(hand):
    hand.begin().on(2)
    for typed, told in JUDGED.items():
        hand.read(typed)
        assert (hand.verdict, hand.next) == told


def test_what_is_no_clear_number_gets_no_verdict_and_leads_nowhere(hand):
    hand.begin().on(2)
    for typed, sentence in UNCLEAR.items():
        hand.read(typed).on()
        assert hand.verdict == sentence
        assert hand.refusal == (sentence or "Fill in the reading first.")
        assert hand.step == 2


def test_a_reading_may_come_in_another_unit(hand):
    hand.begin().on(2)
    for unit, typed, begins in (
        ("mV", "50900", "50900 mV: good"),
        ("kV", "0,0509", "0.0509 kV: good"),
        ("mV", "50.9", "50.9 mV is below 50.2 V"),
        ("kV", "50.9", "50.9 kV is above 51.6 V"),
    ):
        hand.page.select_option(".step.current select", unit)
        assert hand.read(typed).verdict.startswith(begins)


def test_an_inch_and_a_degree_are_exact():
    """1 in = 25.4 mm; t/°C = (t/°F - 32) · 5/9 (NIST SP 811, B.8)."""
    inch = next(unit for unit in offered("mm", "length") if unit.symbol == "in")
    assert (inch.times, inch.plus) == ("127/5", "0")
    degree = next(unit for unit in offered("°C", "temperature") if unit.symbol == "°F")
    assert 212 * Fraction(degree.times) + Fraction(degree.plus) == 100
    assert 32 * Fraction(degree.times) + Fraction(degree.plus) == 0


def test_proof_of_zero_needs_every_pair_and_takes_the_size(hand):
    hand.locked()
    page = hand.page
    page.evaluate("desk.happen('back', {})")
    assert hand.step == 10
    hand.read("0.1", "0", "", "0.0")
    assert hand.verdict == ""
    hand.read("0.1", "0", "0.0", "-4.9")
    assert hand.verdict.startswith("Zero: ")
    for live in ("5", "-5.0", "63.6"):
        hand.read("0.1", "0", "0.0", live)
        assert "is not zero" in hand.verdict
        assert hand.next.startswith("Go to finding 6")


def test_repeated_and_related_readings(hand):
    hand.locked().on()
    assert hand.step == 12
    hand.read("0.97", "1.05", "1.00")
    assert hand.verdict.startswith("1.00 kΩ: good")
    hand.on(2).on(2).on()
    assert hand.step == 15
    assert hand.read("48.6", "48.5", "48.7").verdict == "2.4 V below step 2: good."
    hand.read("48.6", "48.4", "48.5")
    assert hand.verdict == "2.5 V below step 2: more than allowed."
    assert hand.next == "Go to finding 3: Weak pack"


def test_fall_and_least_value(desk):
    hand = Hand(desk.open(desk.file(RAM))).begin("HT6-100")
    assert hand.read("120", "116").verdict == "4 mm fallen: good."
    assert hand.read("120", "115,9").verdict == "4.1 mm fallen: more than allowed."


def test_a_warning_is_read_before_its_step_shows(hand):
    hand.begin().on()
    step = hand.page.locator("#step-2")
    assert step.locator(".warn-body").is_visible() and not step.locator(".command").is_visible()
    assert hand.next == "I have read this"
    hand.on()
    assert not step.locator(".warn-body").is_visible() and step.locator(".command").is_visible()
    step.locator(".word").click()
    assert step.locator(".warn-body").is_visible()


def test_only_the_current_step_can_be_filled_in(hand):
    hand.begin().menu("Show the whole list")
    open_ = hand.page.evaluate("[...document.querySelectorAll('#work [name]:enabled')].map(each => each.name)")
    assert open_ == []
    hand.on().on()
    open_ = hand.page.evaluate("[...document.querySelectorAll('#work [name]:enabled')].map(each => each.name)")
    assert {name.split("-")[1] for name in open_} == {"2"}


def test_what_was_found_is_written_down_before_the_step_is_left(hand):
    hand.begin().on(2).read("50.9").on().on()
    assert hand.refusal == "Fill in first: Fault code as found. Write “none” where there is none."
    assert hand.step == 3


def test_answers_lead_on(hand):
    hand.begin().on(2).read("50.9").on()
    hand.page.fill("[name=entry-3-code]", "none")
    hand.on().on()
    assert hand.refusal == "Choose an answer first."
    hand.answer(1)
    assert hand.page.locator(".finding.current").get_attribute("id") == "finding-1"


def test_a_hold_wants_somebody_else(desk):
    hand = Hand(desk.open(desk.file(REPLACEMENT))).begin()
    for key in ("off", "on"):
        hand.page.fill(f"[name=entry-1-{key}]", "4711")
    hand.on()
    for box in hand.page.query_selector_all("#step-2 .require input"):
        box.check()
    assert "somebody else confirms this step before work goes on" in hand.on().refusal
    hand.page.fill("[name=hold-2]", "a. finch ")
    assert hand.on().refusal == "Hold: somebody else than you confirms this step."
    hand.page.fill("[name=hold-2]", "B. Wren")
    assert hand.on().step == 3


def test_each_stage_is_ticked(desk):
    hand = Hand(desk.open(desk.file(REPLACEMENT))).begin()
    for key in ("off", "on"):
        hand.page.fill(f"[name=entry-1-{key}]", "4711")
    hand.on()
    hand.page.fill("[name=hold-2]", "B. Wren")
    assert hand.on().refusal == "Tick each stage of the tightening first."


def test_way_round_keeps_the_old_reading_and_ends_after_its_number_of_times(hand):
    hand.begin().on(2).read("49.8").on()
    assert hand.step == 18
    hand.on().on()
    hand.page.clock.fast_forward("09:00:00")
    hand.on()
    assert hand.step == 2
    hand.on()
    assert hand.page.input_value("[name=read-2-0]") == ""
    assert hand.said("#step-2 .earlier") == "Before: 49.8 V"
    assert hand.read("49.9").next == "Stop and ask"
    hand.on()
    assert "taken as often as the card allows" in hand.said("#outcome")


def test_closing_section_is_entered_from_its_finding_and_ends(hand):
    hand.locked().on().read("1", "1", "1").on().on().on(2).on()
    hand.read("50", "50", "50")
    hand.page.fill("[name=hold-15]", "B. Wren")
    hand.on().on().answer(0)
    assert hand.next == "Go on: close the card from step 19"
    hand.on().on(2)
    assert hand.said("#locks").startswith("Nothing is locked.")
    hand.on()
    assert "Finding 5, Loose lead. The machine is left ready for use." in hand.said("#outcome")
    assert "Finding 5, Loose lead. The machine is left ready for use." in hand.said("#record")
