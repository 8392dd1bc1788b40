"""What goes wrong at a bench: lost entries, strange files, shift changes, late meters, bouncing fingers."""

import json
from datetime import UTC, datetime, timedelta

import jsonschema_rs
from tests.browser.conftest import CARD, Hand
from tests.browser.test_kept_jobs import load, saved
from tests.browser.test_record_of_job import HOSTILE, whole_run
from tests.render.sample_cards import REPLACEMENT

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


def test_a_file_with_senseless_entries_changes_nothing(desk, tmp_path):
    hand = Hand(desk.open(desk.file(CARD))).begin().on(2).read("49,8")
    path = saved(hand, tmp_path)
    record = json.loads(path.read_text())
    for broken, spoil in BROKEN.items():
        path.write_text(json.dumps(spoil(record)))
        hand.page.evaluate("view.refuse('')")
        load(hand, path)
        hand.page.wait_for_function(
            "() => document.getElementById('refusal').textContent.includes('Nothing was changed')"
        )
        assert hand.page.input_value("[name=read-2-0]") == "49,8", broken
    assert hand.page.evaluate("desk.made().events") == record["events"]


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


def test_checklists_of_other_procedures_share_the_store_and_leave_each_other_alone(desk):
    context = desk.context()
    kept(Hand(desk.open(desk.file(CARD), context)).begin().on()).page.close()
    other = Hand(desk.open(desk.file(REPLACEMENT, "other.html"), context))
    assert other.step == 0 and not other.page.locator("#jobs").is_visible()
    kept(other.begin()).page.close()
    again = Hand(desk.open(desk.file(CARD), context))
    assert again.step == 2
    assert len(again.page.evaluate("store.jobs()")) == 2


def test_a_whole_run_without_a_network(desk):
    hand = whole_run(Hand(desk.open(desk.file(CARD), desk.context(offline=True), clock="2026-06-01T08:00:00")))
    record = valid(hand)
    assert (record["end"]["kind"], record["end"]["left"]) == ("finding", "as-final")


def test_hostile_words_stay_words_in_each_field_of_a_step(hand):
    page = hand.page
    hand.begin()
    if hand.refusal:
        hand.on()
    hand.on(2).read(HOSTILE)
    assert "is no number" in hand.verdict
    page.click(".step.current .meter button")
    page.fill("[name=meter-number]", HOSTILE)
    page.click("#panel button:has-text('Keep number and date')")
    assert "<script>alert(1)</script>" in hand.said("#step-2 .meter")
    hand.read("50.9").on()
    page.fill("[name=entry-3-code]", HOSTILE)
    hand.on().answer(0).on(2)
    hand.menu("Go back a step")
    page.keyboard.press("Escape")
    page.click("#cant")
    page.check("#panel input[value='It is not as written']")
    page.click("#panel button:text-is('Stop here')")
    page.click("#outcome button:has-text('I have asked')")
    page.fill("[name=asked-who]", HOSTILE)
    page.fill("[name=asked-text]", HOSTILE)
    page.click("#panel button:text-is('Do the step again')")
    page.reload()
    page.wait_for_selector("body[data-ready]")
    page.evaluate("desk.happen('end', {left: 'out-of-service'})")
    told = page.locator("#record").inner_text()
    assert told.count("<script>alert(1)</script>") >= 4
    assert page.locator("#record a, #record b, #record script, #outcome script").count() == 0
    record = valid(hand)
    assert record["path"][2]["entries"][0]["value"] == page.evaluate("desk.it.state.visits[2].values['entry-3-code']")
