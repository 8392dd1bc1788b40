"""What goes wrong at a bench: lost entries, strange files, shift changes, late meters, bouncing fingers."""

import json
from datetime import UTC, datetime, timedelta

import jsonschema_rs
import pytest
from tests.browser.conftest import CARD, Hand
from tests.browser.test_kept_jobs import load, saved

from benchleaf.base.resources import schema_text

KEPT = "() => desk.allKept() && desk.it.places === 2"
FORGET = """n => new Promise(done => {
    localStorage.removeItem(`${store.PREFIX}event:${desk.it.about.job}:${n}`);
    const request = indexedDB.open("benchleaf-jobs", 1);
    request.onsuccess = () => {
        const change = request.result.transaction(["events"], "readwrite");
        change.objectStore("events").delete([desk.it.about.job, n]);
        change.oncomplete = () => { request.result.close(); done(); };
    };
})"""


def kept(hand):
    hand.page.wait_for_function(KEPT)
    return hand


def valid(hand):
    record = hand.page.evaluate("desk.made()")
    errors = [
        error.message for error in jsonschema_rs.validator_for(json.loads(schema_text("record"))).iter_errors(record)
    ]
    assert errors == []
    return record


def test_where_an_entry_is_lost_the_work_stops_before_it(desk):
    """Later entries follow on what is lost: taken alone they could show a step as done that nobody did."""
    path, context = desk.file(CARD), desk.context()
    hand = kept(Hand(desk.open(path, context)).begin().on(2).read("50.9").on())
    assert hand.step == 3
    second = hand.page.evaluate("desk.it.events.filter(each => each.kind === 'leave')[1].n")
    hand.page.evaluate(FORGET, second - 1)
    hand.page.close()
    hand = Hand(desk.open(path, context))
    assert hand.step == 2
    assert hand.page.input_value("[name=read-2-0]") == ""
    assert "Look at the machine itself: locks and covers may stand otherwise than here." in hand.said("#alarm")
    kept(hand.read("50.8").on())
    assert hand.step == 3
    assert not hand.page.locator("#alarm").is_visible()
    gap = valid(hand)["gaps"][0]
    assert (gap["after"], gap["count"]) == (second - 2, 1)
    hand.page.close()
    again = Hand(desk.open(path, context))
    assert again.step == 3
    assert [visit["reading"]["values"][0]["typed"] for visit in valid(again)["path"] if visit["step"] == 2] == ["50.8"]
    numbers = again.page.evaluate("store.load(desk.it.about.job).then(found => found.numbers)")
    assert second in numbers and second - 1 not in numbers


def test_an_entry_that_makes_no_sense_leaves_no_trace_of_itself(desk):
    hand = kept(Hand(desk.open(desk.file(CARD))).begin().on())
    told = hand.page.evaluate(
        """() => {
            const last = desk.it.events.at(-1).n;
            const bad = {n: last + 1, at: clock.now(), kind: "leave", way: "constructor"};
            const {state, sound} = job.fold([...desk.it.events, bad, {...bad, n: last + 2, kind: "hum"}], desk.it.way);
            return [sound - last, JSON.stringify(state) === JSON.stringify(desk.it.state)];
        }"""
    )
    assert told == [0, True]


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


def test_a_job_of_long_ago_waits_in_the_list(desk):
    """Whoever opens the checklist tomorrow may stand at another machine."""
    path, context = desk.file(CARD), desk.context()
    kept(Hand(desk.open(path, context)).begin().on()).page.close()
    later = (datetime.now(UTC) + timedelta(hours=20)).strftime("%Y-%m-%dT%H:%M:%S")
    hand = Hand(desk.open(path, context, clock=later))
    assert hand.step == 0
    told = hand.page.locator("#jobs .job").inner_text()
    assert told.startswith("Go on with RC48-417: step 2")
    assert hand.page.locator("#jobs").bounding_box()["y"] < 150
    hand.page.click("#jobs .job")
    hand.page.wait_for_selector("#step-2.current")


def test_a_job_of_another_revision_says_what_is_locked_and_goes_home_as_a_file(desk, tmp_path):
    path, context = desk.file(CARD), desk.context()
    hand = kept(Hand(desk.open(path, context, clock="2026-06-01T08:00:00")).locked())
    hand.page.close()
    page = desk.open(desk.file(CARD._replace(revision="D"), "newer.html"), context, clock="2026-06-01T08:20:00")
    assert "At step 11, locked: battery plug." in page.inner_text("#jobs")
    with page.expect_download() as download:
        page.click("#jobs button:has-text('Save what is kept of RC48-417')")
    file = tmp_path / "kept.json"
    download.value.save_as(file)
    other = Hand(desk.open(desk.file(CARD), clock="2026-06-01T08:30:00"))
    load(other, file)
    other.page.wait_for_selector("#step-11.current")
    assert other.said("#locks").startswith("Locked: battery plug.")


BROKEN = {
    "no events": lambda record: record | {"events": []},
    "no beginning": lambda record: record | {"events": record["events"][1:]},
    "something else": lambda record: record | {"events": [None, 7, "x"]},
    "deep values": lambda record: record | {"events": [record["events"][0] | {"who": {"a": []}}]},
    "out of order": lambda record: record | {"events": record["events"][::-1]},
    "a strange name": lambda record: record | {"job": "x:event:../"},
    "no moment": lambda record: record | {"events": [record["events"][0] | {"at": "soon"}]},
}


@pytest.mark.parametrize("broken", BROKEN)
def test_a_file_with_senseless_entries_changes_nothing(desk, tmp_path, broken):
    hand = Hand(desk.open(desk.file(CARD))).begin().on(2).read("49,8")
    path = saved(hand, tmp_path)
    path.write_text(json.dumps(BROKEN[broken](json.loads(path.read_text()))))
    load(hand, path)
    hand.page.wait_for_function("() => document.getElementById('refusal').textContent.includes('Nothing was changed')")
    assert hand.page.input_value("[name=read-2-0]") == "49,8"


def test_a_file_that_went_another_way_throws_nothing_away(desk, tmp_path):
    hand = Hand(desk.open(desk.file(CARD))).begin().on(2)
    path = saved(hand, tmp_path)
    record = json.loads(path.read_text())
    hand.read("49,8")
    last = record["events"][-1]
    record["events"] += [last | {"n": last["n"] + step, "kind": "note", "text": "elsewhere"} for step in range(1, 30)]
    path.write_text(json.dumps(record))
    load(hand, path)
    hand.page.wait_for_function("() => document.getElementById('refusal').textContent.includes('went another way')")
    assert hand.page.input_value("[name=read-2-0]") == "49,8"


def test_a_photo_that_is_not_kept_is_told_loudly_enough(hand):
    hand.begin()
    full = "throw new DOMException('full', 'QuotaExceededError');"
    hand.page.evaluate(f"() => {{ IDBObjectStore.prototype.put = () => {{ {full} }}; }}")
    hand.page.evaluate("desk.photo('data:image/jpeg;base64,AAAA')")
    hand.page.wait_for_function("() => document.getElementById('alarm').textContent.includes('photo')")
    assert "A photo is kept in this page only: save the record as a file now (Menu)." in hand.said("#alarm")


def test_half_a_note_and_half_a_beginning_come_back(desk):
    path, context = desk.file(CARD), desk.context()
    page = desk.open(path, context)
    page.fill("[name=serial]", "RC48-4")
    page.fill("[name=who]", "A. Fin")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert (page.input_value("[name=serial]"), page.input_value("[name=who]")) == ("RC48-4", "A. Fin")
    hand = Hand(page).begin().menu("Add a note")
    page.fill("#panel [name=note-text]", "The stud is be")
    kept(hand)
    page.reload()
    page.wait_for_selector("body[data-ready]")
    hand.menu("Add a note")
    assert page.input_value("#panel [name=note-text]") == "The stud is be"
    page.click("#panel button:text-is('Keep the note')")
    hand.menu("Add a note")
    assert page.input_value("#panel [name=note-text]") == ""
