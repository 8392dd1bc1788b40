"""The record that a checklist hands on is what its schema describes, and hostile words in it stay words."""

import base64
import json

import jsonschema_rs
from tests.browser.conftest import CARD, Hand
from tests.browser.test_kept_jobs import saved

from benchleaf.base.resources import schema_text

HOSTILE = "<script>alert(1)</script> [x](javascript:alert(1)) \u202e\x07 '\"&amp; https://example.invalid/"
# A camera's picture: a JPEG of one pixel with a place in its EXIF data, made for this test.
EXIF = b"Exif\x00\x00MM\x00*\x00\x00\x00\x08GPS 12.345 N"


def whole_run(hand):
    """Through the card to finding 5, with every kind of thing that a record holds."""
    hand.locked()
    hand.menu("Add a note")
    hand.page.fill("[name=note-text]", HOSTILE)
    hand.page.click("#panel button:text-is('Keep the note')")
    hand.page.clock.fast_forward("01:30:00")
    hand.on().read("0", "0", "0", "0").on().on()
    hand.page.select_option(".step.current select", "Ω")
    hand.read("1000", "1001", "999").on().on().on(2).on()
    hand.read("50", "50", "50")
    hand.page.fill("[name=hold-15]", "B. Wren")
    hand.on().on().answer(0).on(4)
    return hand


def test_the_record_of_a_whole_run_is_as_described(hand, tmp_path):
    record = json.loads(saved(whole_run(hand), tmp_path).read_text(encoding="utf-8"))
    schema = json.loads(schema_text("record"))
    errors = [error.message for error in jsonschema_rs.validator_for(schema).iter_errors(record)]
    assert errors == []
    assert record["serial"] == "RC48-417" and record["end"]["key"] == "loose-lead"
    assert [visit["step"] for visit in record["path"]] == [*range(1, 11), 10, *range(11, 18), 19, 20, 21]
    sag = next(visit["reading"] for visit in record["path"] if visit["step"] == 15)
    assert sag["verdict"] == {"side": "inside", "sentence": "0.9\u202fV below step 2: good."}
    throttle = next(visit["reading"] for visit in record["path"] if visit["step"] == 12)
    assert [(each["typed"], each["unit"], each["value"]) for each in throttle["values"]] == [
        ("1000", "Ω", "1"), ("1001", "Ω", "1.001"), ("999", "Ω", "0.999")
    ]  # fmt: skip
    assert record["left_as"] == {"locked": [], "open": []}
    assert record["notes"][0]["text"] == HOSTILE.strip()


def test_no_part_of_a_record_may_be_missing(hand, tmp_path):
    record = json.loads(saved(whole_run(hand), tmp_path).read_text(encoding="utf-8"))
    valid = jsonschema_rs.validator_for(json.loads(schema_text("record"))).is_valid
    assert valid(record)
    for owner in (record, record["card"], record["path"][1], record["path"][1]["reading"], record["end"]):
        for key in list(owner):
            kept = owner.pop(key)
            assert not valid(record), key
            owner[key] = kept
        owner["unheard-of"] = ""
        assert not valid(record)
        del owner["unheard-of"]


def test_hostile_words_stay_words(hand):
    hand.begin(serial=HOSTILE, who=HOSTILE)
    if hand.refusal:
        hand.on()
    page = hand.page
    count = page.evaluate("document.scripts.length")
    hand.menu("Add a note")
    page.fill("[name=note-text]", HOSTILE)
    page.click("#panel button:text-is('Keep the note')")
    hand.menu("Somebody else takes over")
    page.fill("[name=new-who]", HOSTILE)
    page.click("#panel button:text-is('Take over')")
    page.click("#cant")
    page.check("#panel input[value='Something else']")
    page.fill("#panel [name=reason-text]", HOSTILE)
    page.click("#panel button:text-is('Stop here')")
    assert "<script>alert(1)</script>" in hand.said("#outcome")
    page.evaluate("desk.happen('end', {left: 'out-of-service'})")
    assert "<script>alert(1)</script>" in page.locator("#record").inner_text()
    assert page.evaluate("document.scripts.length") == count
    assert page.locator("#record a, #outcome a, #record b, #jobs script").count() == 0


def jpeg_with_place(page) -> bytes:
    """A picture as from a camera, with an EXIF segment put behind its start."""
    data = page.evaluate(
        """() => {
            const canvas = document.createElement("canvas");
            [canvas.width, canvas.height] = [3000, 2000];
            return canvas.toDataURL("image/jpeg").split(",")[1];
        }"""
    )
    plain = base64.b64decode(data)
    return plain[:2] + b"\xff\xe1" + (len(EXIF) + 2).to_bytes(2, "big") + EXIF + plain[2:]


def test_a_photo_is_made_small_and_freed_of_its_place(hand, tmp_path):
    hand.begin()
    picture = tmp_path / "photo.jpg"
    picture.write_bytes(jpeg_with_place(hand.page))
    assert b"GPS" in picture.read_bytes()
    hand.page.click("#menu")
    with hand.page.expect_file_chooser() as chooser:
        hand.page.click("#panel button:has-text('Add a photo')")
    chooser.value.set_files(picture)
    hand.page.wait_for_selector("#step-1 .added img")
    record = json.loads(saved(hand, tmp_path).read_text(encoding="utf-8"))
    kept = base64.b64decode(record["photos"][0]["data"].split(",")[1])
    assert b"GPS" not in kept and b"Exif" not in kept
    size = hand.page.evaluate(
        """() => [...document.querySelectorAll("#step-1 .added img")].map(
            each => [each.naturalWidth, each.naturalHeight])"""
    )
    assert size == [[1280, 853]]


def test_what_is_no_picture_is_refused(hand, tmp_path):
    hand.begin()
    text = tmp_path / "photo.jpg"
    text.write_text("no picture")
    hand.page.click("#menu")
    with hand.page.expect_file_chooser() as chooser:
        hand.page.click("#panel button:has-text('Add a photo')")
    chooser.value.set_files(text)
    hand.page.wait_for_function("() => document.getElementById('refusal').textContent.includes('is no picture')")
    assert hand.page.evaluate("desk.made().photos") == []


def test_printed_with_what_was_filled_in_and_as_a_record(desk):
    page = desk.open(desk.file(CARD), desk.own_context(), clock="2026-06-01T08:00:00")
    whole_run(Hand(page))
    page.emulate_media(media="print")
    for selector in ("#dock", "#menu", "#pad", "#start"):
        assert page.locator(selector).is_hidden(), selector
    for step in CARD.steps:
        assert page.locator(f"#step-{step.number} .command").is_visible()
    assert page.input_value("[name=read-2-0]") == "50.9"
    assert page.locator("#step-2 .verdict").is_visible()
    assert page.locator("[name=tick-2]").is_checked() and not page.locator("[name=tick-18]").is_checked()
    assert page.pdf(format="A4").count(b"/Type /Page\n") >= 3
    page.evaluate("document.body.classList.add('record-only')")
    told = page.locator("main").inner_text()
    assert "Digest" in told and "RC48-417" in told and page.locator("#step-2").is_hidden()


def test_a_late_calibration_is_said(desk):
    tools = tuple(
        line._replace(detail="CAT III 600 V, calibration due 2026-05-31") if line.key == "meter-1" else line
        for line in CARD.tools
    )
    assert any(line.key == "meter-1" for line in tools)
    hand = Hand(desk.open(desk.file(CARD._replace(tools=tools)), clock="2026-06-01T08:00:00")).begin().on(2)
    assert hand.said("#step-2 .meter").startswith("Its calibration ran out on 2026-05-31: take another meter.")
