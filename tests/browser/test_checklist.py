"""The checklist in a browser: readings judged, answers leading on, state kept, phones, print, no scripts."""

import re

import pytest
from tests.render.sample_cards import CARDS, FAULT_FINDING, RAM, REPLACEMENT


def read(page, step, *values):
    for place, value in enumerate(values):
        page.fill(f"[name=read-{step}-{place}]", value)


def verdict(page, step):
    line = page.locator(f"#step-{step} .verdict")
    return line.inner_text().replace("\u202f", " ")


def here(page):
    return page.locator(".current").get_attribute("id")


def way(page, step):
    """The label of the way that is chosen at the step; empty where none is."""
    chosen = page.locator(f"#step-{step} .way:has(input:checked) b")
    return chosen.inner_text() if chosen.count() else ""


@pytest.fixture
def fault_finding(desk):
    return desk.open(desk.file(FAULT_FINDING))


WIDER_THAN_SCREEN = """() => [...document.querySelectorAll("main *")].filter(each => {
    const box = each.getBoundingClientRect();
    return box.width && !each.closest(".hidden") && (box.right > innerWidth + 0.5 || box.left < -0.5);
}).map(each => each.outerHTML.slice(0, 80))"""


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_nothing_is_wider_than_the_screen(desk, card):
    page = desk.open(desk.file(card))
    for width in (320, 360, 768, 1280):
        page.set_viewport_size({"width": width, "height": 640})
        assert page.evaluate("document.documentElement.scrollWidth") == width
        assert page.evaluate(WIDER_THAN_SCREEN) == []


JUDGED = {
    "50.9": ("50.9 V is within 50.2 V to 51.6 V.", "50.2 V to 51.6 V"),
    "50,9": ("50.9 V is within 50.2 V to 51.6 V.", "50.2 V to 51.6 V"),
    "50.2": ("50.2 V is within 50.2 V to 51.6 V.", "50.2 V to 51.6 V"),
    "50.199": ("50.199 V is below 50.2 V.", "Below 50.2 V"),
    "51.60": ("51.60 V is within 50.2 V to 51.6 V.", "50.2 V to 51.6 V"),
    "51.61": ("51.61 V is above 51.6 V.", "Above 51.6 V"),
    "OL": ("OL is above the limit.", "Above 51.6 V"),
}
UNCLEAR = {
    "fifty": "“fifty” is no number: write it like 50.4 or 50,4.",
    "50.9.1": "“50.9.1” is no number: write it like 50.4 or 50,4.",
    "1.234,5": "“1.234,5” is no number: write it like 50.4 or 50,4.",
    "1,234": "“1,234” can mean 1.234 or 1234: write one of these.",
    "5e1": "“5e1” is no number: write it like 50.4 or 50,4.",
    "": "",
}


def test_reading_is_held_against_its_limit(fault_finding):
    for typed, (sentence, label) in JUDGED.items():
        read(fault_finding, 2, typed)
        assert (verdict(fault_finding, 2), way(fault_finding, 2)) == (sentence, label)


def test_what_is_no_clear_number_gets_no_verdict(fault_finding):
    for typed, sentence in UNCLEAR.items():
        read(fault_finding, 2, typed)
        assert (verdict(fault_finding, 2), way(fault_finding, 2)) == (sentence, "")


def test_swapped_leads_are_no_low_reading(fault_finding):
    read(fault_finding, 2, "-50.9")
    assert verdict(fault_finding, 2) == (
        "−50.9 V is below zero: are the leads the wrong way round? No way is written for this: stop and ask."
    )
    assert way(fault_finding, 2) == ""


def test_proof_of_zero_needs_every_pair_and_takes_the_size(fault_finding):
    read(fault_finding, 10, "0.1", "0", "0.0")
    assert verdict(fault_finding, 10) == ""
    read(fault_finding, 10, "0.1", "0", "0.0", "-4.9")
    assert verdict(fault_finding, 10).startswith("zero: ")
    for live in ("5", "-5.0", "63.6"):
        read(fault_finding, 10, "0.1", "0", "0.0", live)
        assert "is not zero" in verdict(fault_finding, 10)
        assert way(fault_finding, 10) == "5 V or more on any pair"


def test_repeated_and_related_readings(fault_finding):
    read(fault_finding, 15, "48.6", "48.2", "48.5")
    assert verdict(fault_finding, 15) == "Fill in the reading of step 2 first."
    read(fault_finding, 2, "50.6")
    assert verdict(fault_finding, 15) == "2.4 V below step 2: within the limit."
    read(fault_finding, 2, "50.7")
    assert verdict(fault_finding, 15) == "2.5 V below step 2: more than allowed."
    assert way(fault_finding, 15) == "More than 2.4 V below step 2"
    read(fault_finding, 12, "0.97", "1.05", "1.00")
    assert verdict(fault_finding, 12) == "1.00 kΩ is within 0.96 kΩ to 1.04 kΩ."


def test_fall_and_least_value(desk):
    page = desk.open(desk.file(RAM))
    read(page, 1, "120", "116")
    assert verdict(page, 1) == "4 mm fallen: within the limit."
    read(page, 1, "120", "115,9")
    assert verdict(page, 1) == "4.1 mm fallen: more than allowed."
    read(page, 2, "OL")
    assert verdict(page, 2) == "OL is above the least."
    read(page, 2, "1.9")
    assert verdict(page, 2) == "1.9 MΩ is below 2 MΩ."


def test_ticks_and_answers_lead_on(fault_finding):
    page = fault_finding
    assert here(page) == "step-1"
    page.check("[name=tick-1]")
    assert here(page) == "step-2"
    assert page.evaluate("document.activeElement.id") == "step-2"
    read(page, 2, "50.9")
    page.click("#step-2 .onward")
    assert here(page) == "step-3"
    page.check("[name=tick-3]")
    page.check("[name=way-4][value='1']")
    assert here(page) == "finding-1"
    assert page.locator("#step-4 input[type=checkbox]").is_checked()


def test_a_step_without_its_reading_or_answer_is_not_left(fault_finding):
    page = fault_finding
    page.locator("[name=tick-2]").click()
    assert page.locator("#step-2 .refusal").inner_text() == "Fill in the reading first."
    assert not page.locator("[name=tick-2]").is_checked()
    page.locator("[name=tick-4]").click()
    assert page.locator("#step-4 .refusal").inner_text() == "Choose an answer first."


def test_a_hold_is_not_passed_without_a_name(desk):
    page = desk.open(desk.file(REPLACEMENT))
    page.locator("[name=tick-2]").click()
    assert "somebody else confirms" in page.locator("#step-2 .refusal").inner_text()
    assert here(page) == "step-1"
    page.fill("[name=hold-2]", "A. Finch")
    page.check("[name=tick-2]")
    assert here(page) == "step-3"


def test_way_back_starts_afresh_keeps_the_old_reading_and_ends_after_its_number_of_times(fault_finding):
    page = fault_finding
    read(page, 2, "49.8")
    page.click("#step-2 .onward")
    assert here(page) == "step-18"
    page.click("[name=tick-18]")
    assert here(page) == "step-2"
    assert page.input_value("[name=read-2-0]") == ""
    assert page.locator("#step-2 .earlier").inner_text() == "Before: 49.8 V"
    read(page, 2, "49.9")
    page.click("#step-2 .onward")
    assert page.locator("#step-2 .refusal").inner_text() == (
        "This way was taken as often as the card allows: stop and ask."
    )
    assert here(page) == "step-2"


def test_stop_and_ask_stays_where_it_is(fault_finding):
    fault_finding.check("[name=way-12][value='2']", force=True)
    assert fault_finding.locator("#step-12 .refusal").inner_text() == "Stop here and ask."
    assert here(fault_finding) == "step-1"


def test_closing_section_is_entered_from_its_finding(fault_finding):
    page = fault_finding
    page.check("[name=way-17][value='0']")
    assert here(page) == "finding-5"
    page.click("#finding-5 a")
    assert here(page) == "step-19"
    for step in (19, 20, 21):
        page.check(f"[name=tick-{step}]")
    assert here(page) == "finding-5"


DROP = """new Promise((done, failed) => {
    const request = indexedDB.deleteDatabase("benchleaf");
    request.onsuccess = () => done();
    request.onerror = request.onblocked = failed;
})"""


def test_state_comes_back_after_a_reload_and_after_either_store_is_lost(desk):
    path, context = desk.file(FAULT_FINDING), desk.context()
    page = desk.open(path, context)
    page.check("[name=tick-1]")
    page.fill("[name=serial]", "RC48-417")
    read(page, 2, "49,8")
    saved = page.locator("#saved")
    assert re.fullmatch(r"saved at \d\d:\d\d:\d\d", saved.inner_text())
    for loss in (
        "",
        "localStorage.clear()",
        "new Promise(done => indexedDB.deleteDatabase('benchleaf').onsuccess = done)",
    ):
        page.close()
        page = desk.open(path, context)
        if loss:
            other = context.new_page()
            other.goto(desk.file(RAM, "other.html").as_uri())
            page.close()
            other.evaluate(loss)
            other.close()
            page = desk.open(path, context)
        assert page.input_value("[name=serial]") == "RC48-417"
        assert page.input_value("[name=read-2-0]") == "49,8"
        assert verdict(page, 2) == "49.8 V is below 50.2 V."
        assert page.locator("[name=tick-1]").is_checked()
        assert here(page) == "step-2"


def test_another_revision_or_content_starts_empty(desk):
    context = desk.context()
    page = desk.open(desk.file(FAULT_FINDING), context)
    page.fill("[name=serial]", "RC48-417")
    page.wait_for_function("document.getElementById('saved').textContent.startsWith('saved at')")
    for other in (FAULT_FINDING._replace(revision="D"), FAULT_FINDING._replace(purpose="Another.")):
        assert desk.open(desk.file(other), context).input_value("[name=serial]") == ""


def test_loud_when_nothing_is_kept(desk):
    context = desk.context()
    context.add_init_script(
        "Object.defineProperty(window, 'indexedDB', {get() { throw new Error('off'); }});"
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('off'); }});"
    )
    page = desk.open(desk.file(FAULT_FINDING), context)
    assert page.locator("#saved.alarm").inner_text().startswith("NOT SAVED")


def test_clear_and_start_again(fault_finding):
    page = fault_finding
    page.fill("[name=serial]", "RC48-417")
    page.once("dialog", lambda dialog: dialog.dismiss())
    page.click("#again")
    assert page.input_value("[name=serial]") == "RC48-417"
    page.once("dialog", lambda dialog: dialog.accept())
    page.click("#again")
    assert page.input_value("[name=serial]") == ""


def test_worked_by_keyboard_alone(fault_finding):
    page = fault_finding
    page.focus("[name=tick-1]")
    page.keyboard.press("Space")
    assert here(page) == "step-2"
    for key in ("Tab", "Tab"):
        page.keyboard.press(key)
    assert page.evaluate("document.activeElement.name") == "read-2-0"
    page.keyboard.type("50.9")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.className") == "onward"
    outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
    assert outline == "solid"
    page.keyboard.press("Enter")
    assert here(page) == "step-3"


def test_targets_are_large_enough_for_gloves(fault_finding):
    """44 by 44 CSS pixels (WCAG 2.2, 2.5.5 target size, enhanced); a box counts with the label that it stands in."""
    small = fault_finding.evaluate(
        """() => [...document.querySelectorAll("input, button")].filter(each => each.offsetParent).map(each => {
            const box = (each.closest("label") || each).getBoundingClientRect();
            return [each.name || each.id, box.width, box.height];
        }).filter(([, width, height]) => width < 44 || height < 44)"""
    )
    assert small == []


def test_each_field_has_a_name_for_the_screen_reader(fault_finding):
    unnamed = fault_finding.evaluate(
        """() => [...document.querySelectorAll("input")].filter(each =>
            !each.getAttribute("aria-label") && !(each.closest("label") || {textContent: ""}).textContent.trim()
        ).map(each => each.name)"""
    )
    assert unnamed == []


def test_without_scripts_everything_shows(desk):
    page = desk.open(desk.file(FAULT_FINDING), java_script_enabled=False)
    for step in FAULT_FINDING.steps:
        assert page.locator(f"#step-{step.number}").is_visible()
    assert page.locator(".onward:visible").count() == 0
    assert page.locator("#again").is_visible() is False
    link = page.locator("#step-2 .leads-on a[href='#step-18']")
    assert link.inner_text() == "go to step 18 (at most once)"
    link.click()
    assert page.url.endswith("#step-18")


def test_printed_with_what_was_filled_in(fault_finding):
    page = fault_finding
    read(page, 2, "50.9")
    page.emulate_media(media="print")
    assert page.locator("#step-2 .onward").is_hidden()
    assert page.locator("#again").is_hidden()
    assert page.evaluate("getComputedStyle(document.querySelector('.bar')).position") == "static"
    assert page.input_value("[name=read-2-0]") == "50.9"
    assert page.locator("#step-2 .verdict").is_visible()
    assert page.pdf(format="A4").count(b"/Type /Page\n") >= 3


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_ground_and_ink_follow_the_scheme(desk, scheme):
    page = desk.open(desk.file(FAULT_FINDING), color_scheme=scheme)
    ink, ground = page.evaluate(
        "[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]"
    )
    light = [sum(int(part) for part in re.findall(r"\d+", colour)[:3]) for colour in (ink, ground)]
    assert (light[0] < light[1]) == (scheme == "light")
    assert abs(light[0] - light[1]) > 500


def test_script_that_does_not_belong_is_refused(desk, tmp_path):
    path = desk.file(FAULT_FINDING)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("</body>", "<script>document.title = 'taken'</script></body>"), encoding="utf-8")
    page = desk.open(path)
    assert page.title() != "taken"
    assert any("Content Security Policy" in error for error in desk.errors)
    desk.errors.clear()
