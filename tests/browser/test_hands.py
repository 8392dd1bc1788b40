"""Hands and meters: keys, mouse and pad, fingers that bounce, who takes over, a meter past its calibration."""

from itertools import pairwise

import pytest
from playwright.sync_api import Error
from tests.browser.conftest import CARD, Hand
from tests.browser.test_mishaps import valid


def test_zero_is_proved_again_by_who_takes_over_a_locked_machine(hand):
    """29 CFR 1910.147(f)(4): protection goes on without a gap; the new proof is common practice, no source."""
    hand.locked().menu("Somebody else takes over")
    assert "Put your own lock and tag on before the others come off: battery plug." in hand.said("#panel")
    hand.page.fill("[name=new-who]", "B. Wren")
    hand.page.click("#panel button:text-is('Take over')")
    assert hand.step == 10
    hand.read("0", "0", "0", "0").on()
    assert hand.step == 11
    path = hand.page.evaluate("desk.made().path")
    assert [(each["who"], each["again"]) for each in path if each["step"] == 10] == [
        ("A. Finch", False),
        ("B. Wren", True),
    ]


def test_a_break_within_a_new_proof_begins_that_proof_anew_and_only_once(hand):
    hand.locked()
    for _ in range(2):
        hand.page.clock.fast_forward("01:30:00")
        hand.on()
        assert hand.step == 10
    hand.read("0", "0", "0", "0").on()
    assert hand.step == 11


def late(day, number=""):
    tools = tuple(
        line._replace(detail=f"CAT III 600 V, calibration due {day}") if line.key == "meter-1" else line
        for line in CARD.tools
    )
    return CARD._replace(tools=tools)


def test_a_meter_past_its_calibration_decides_nothing_until_its_label_says_otherwise(desk):
    hand = Hand(desk.open(desk.file(late("2026-05-31")), clock="2026-06-01T08:00:00")).begin().on(2).read("50.9")
    hand.on()
    assert hand.step == 2 and "ran out on 2026-05-31: take another meter, or write the date" in hand.refusal
    hand.page.click(".step.current .meter button")
    for written, refused in (("soon", True), ("2026-13-45", True), ("2027-05-31", False)):
        hand.page.fill("[name=meter-due]", written)
        hand.page.fill("[name=meter-number]", "M-17")
        hand.page.click("#panel button:has-text('Keep number and date')")
        assert hand.page.locator("#panel").is_visible() is refused
    assert "Number M-17. Calibration good until 2027-05-31." in hand.said("#step-2 .meter")
    hand.on()
    assert hand.step == 3
    meter = valid(hand)["path"][1]["reading"]["meter"]
    assert (meter["number"], meter["due"]) == ("M-17", "2027-05-31")
    hand.menu("Go back a step")
    hand.page.click("#panel button:has-text('Go back to step 2')")
    assert "Number M-17." in hand.said("#step-2 .meter")


def test_on_its_last_day_a_calibration_is_still_good(desk):
    hand = Hand(desk.open(desk.file(late("2026-06-01")), clock="2026-06-01T23:00:00")).begin().on(2).read("50.9").on()
    assert hand.step == 3


def test_a_meter_stays_in_hand_for_the_steps_that_name_the_same_one(desk):
    hand = Hand(desk.open(desk.file(late("2026-05-31")), clock="2026-06-01T08:00:00")).begin().on(2)
    hand.page.click(".step.current .meter button")
    hand.page.fill("[name=meter-due]", "2027-05-31")
    hand.page.fill("[name=meter-number]", "M-99")
    hand.page.click("#panel button:has-text('Keep number and date')")
    hand.read("49.8").on().on(2)
    hand.page.clock.fast_forward("09:00:00")
    hand.on(2)
    assert hand.step == 2
    assert "Number M-99. Calibration good until 2027-05-31." in hand.said("#step-2 .meter")


def test_a_finger_that_bounces_takes_one_step(desk):
    hand = Hand(desk.open(desk.file(CARD), has_touch=True, is_mobile=True)).begin()
    hand.page.wait_for_timeout(450)
    box = hand.page.locator("#onward").bounding_box()
    x, y = box["x"] + 20, box["y"] + 20
    hand.page.touchscreen.tap(x, y)
    assert hand.step == 2
    hand.page.touchscreen.tap(x, y)
    assert hand.next == "I have read this"
    hand.page.wait_for_timeout(450)
    hand.page.touchscreen.tap(x, y)
    assert hand.next != "I have read this"


def test_a_double_click_takes_one_step(hand):
    hand.begin()
    hand.page.dblclick("#onward")
    assert (hand.step, hand.next) == (2, "I have read this")


def test_one_live_pair_is_enough_and_more_than_the_range_is_not_zero(hand):
    hand.locked()
    hand.page.evaluate("desk.happen('back', {})")
    hand.read("", "", "", "")
    for typed in ("63", "OL"):
        hand.read(typed)
        assert "is not zero" in hand.verdict and hand.next.startswith("Go to finding 6")


def test_of_several_readings_one_is_asked_for_at_a_time(hand):
    hand.locked().on()
    page = hand.page
    assert hand.step == 12
    assert page.locator(".step.current [name^=read-]").locator("visible=true").count() == 1
    hand.on()
    assert hand.refusal == "Fill in the reading first."
    page.locator(".step.current [name^=read-]").locator("visible=true").fill("1.00")
    assert hand.next == "Next reading: 2 of 3"
    hand.on()
    assert page.evaluate("document.activeElement.name") == "read-12-1"
    page.keyboard.type("1.01")
    page.keyboard.press("Enter")
    page.keyboard.type("0.99")
    assert hand.verdict != "" and hand.next == "Go on: step 13"
    page.click(".step.current .other-blanks button >> nth=0")
    assert page.evaluate("document.activeElement.name") == "read-12-0"
    hand.menu("Show the whole list")
    assert page.locator("#step-12 [name^=read-]").locator("visible=true").count() == 3


def test_a_clock_that_runs_ahead_does_not_shorten_a_wait(hand):
    hand.begin().on(2).read("50.9").on()
    hand.page.fill("[name=entry-3-code]", "none")
    hand.on().answer(0).on(2).on(2)
    hand.page.fill("[name=entry-8-lock]", "lock 4")
    hand.on(2)
    assert hand.step == 9 and hand.next.startswith("Wait: ")
    hand.page.clock.set_system_time("2026-06-01T08:40:00")
    hand.on()
    assert hand.step == 9
    slips = valid(hand)["clock"]
    assert len(slips) == 1 and slips[0]["seconds"] > 2000
    assert hand.next.startswith("Wait: ")


def test_worked_by_keyboard_alone(hand):
    page = hand.page
    for box in page.query_selector_all("main > .about .require input"):
        box.focus()
        page.keyboard.press("Space")
    page.focus("[name=serial]")
    page.keyboard.type("RC48-417")
    page.keyboard.press("Tab")
    page.keyboard.type("A. Finch")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "step-1"
    page.focus("#onward")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "step-2"
    page.focus("#onward")
    page.keyboard.press("Enter")
    page.keyboard.press("Shift+Tab")
    page.focus("[name=read-2-0]")
    page.keyboard.type("50.9")
    assert page.evaluate("getComputedStyle(document.activeElement).outlineStyle") == "solid"
    page.keyboard.press("Enter")
    assert hand.step == 3


def test_worked_by_mouse_alone_but_for_what_is_typed(hand):
    page = hand.page
    for box in page.query_selector_all("main > .about .require input"):
        box.check()
    page.fill("[name=serial]", "RC48-417")
    page.fill("[name=who]", "A. Finch")
    page.click("#onward")
    assert hand.step == 1
    for step in (2, 2):
        page.click("#onward")
        assert hand.step == step
    page.fill("[name=read-2-0]", "50.9")
    page.click("#onward")
    page.fill("[name=entry-3-code]", "none")
    page.click("#onward")
    page.check(".step.current .way:not([hidden]) input >> nth=0")
    page.click("#onward")
    assert hand.step == 5
    page.click("#menu")
    page.click("#panel button:text-is('Show the whole list')")
    assert page.locator("#step-1 .command").is_visible()


COVER = """() => {
    const sheet = document.body.appendChild(document.createElement("div"));
    sheet.style.cssText = "position: fixed; inset: 0; z-index: 99";
}"""


def test_hands_do_not_touch_what_no_finger_could(hand):
    """Else the tests would work through a page that nobody else can."""
    for spoilt, fault in (
        ("document.getElementById('onward').disabled = true", "can't be used now"),
        ("document.getElementById('dock').hidden = true", "does not show"),
        (COVER, "something lies over"),
    ):
        hand.page.evaluate(spoilt)
        with pytest.raises(Error, match=fault):
            hand.on()
        hand.page.reload()
        hand.page.wait_for_selector("body[data-ready]")


def test_the_pad_types_as_a_keyboard_would(desk):
    hand = Hand(desk.open(desk.file(CARD), has_touch=True, is_mobile=True)).begin().on(2)
    page = hand.page
    page.tap("[name=read-2-0]")
    assert page.locator("#pad").is_visible()
    assert page.get_attribute("[name=read-2-0]", "inputmode") == "none"
    for key in ("4", "9", ".", "8", "7", "⌫"):
        page.tap(f"#pad button:text-is('{key}')")
    assert page.input_value("[name=read-2-0]") == "49.8"
    for key, text in (("−", "-49.8"), ("−", "49.8"), ("OL", "OL"), ("5", "5"), ("C", "")):
        page.tap(f"#pad button:text-is('{key}')")
        assert page.input_value("[name=read-2-0]") == text
    sizes = page.evaluate(
        """() => [...document.querySelectorAll("#pad button")].map(each => each.getBoundingClientRect())
            .map(box => [box.left, box.top, box.width, box.height])"""
    )
    assert all(width >= 72 and height >= 72 for _, _, width, height in sizes)
    assert {round(b[0] - a[0] - a[2]) for a, b in pairwise(sizes) if a[1] == b[1]} == {16}
    page.tap("#pad button:text-is('Next')")
    assert not page.locator("#pad").is_visible()
