"""What shows on a phone: nothing to scroll for at 360 by 640, readable looks, names for screen readers, no scripts."""

import re

import pytest
from tests.browser.barriers import COLOURS, RULES, barriers
from tests.browser.conftest import CARD, Hand
from tests.render.sample_cards import CARDS, FAULT_FINDING, FIGURES

from benchleaf.base.span import Span
from benchleaf.build.wordings import wording
from benchleaf.model.basics import Words
from benchleaf.model.shop import Shop
from benchleaf.render import html
from benchleaf.render.theme import load

SHOP = Shop(Span("shop.yaml"), "benchleaf/shop/1", Words("A shop"))

IN_SIGHT = """selector => {
    const found = document.querySelector(selector), box = found.getBoundingClientRect();
    const bar = document.querySelector(".bar").getBoundingClientRect().bottom;
    const dock = document.getElementById("dock").getBoundingClientRect().top;
    const inside = box.height > 0 && box.top >= bar - 1 && box.bottom <= dock + 1;
    return inside || `${selector}: ${box.top} to ${box.bottom}, free ${bar} to ${dock}`;
}"""


def test_a_reading_needs_no_scrolling_on_a_small_phone(desk):
    hand = Hand(desk.open(desk.file(CARD))).begin().on(2).read("49.8")
    hand.page.evaluate("document.activeElement.blur(); scrollTo(0, 0)")
    for part in (
        ".command",
        ".limit",
        "[name=read-2-0]",
        ".verdict",
        ".leads-on span:nth-child(2)",
        ".leads-on span:nth-child(3)",
    ):
        assert hand.page.evaluate(IN_SIGHT, f".step.current {part}") is True
    assert hand.page.locator("#locks").is_visible()
    assert hand.next == "Go on: step 18"


def test_with_the_pad_open_step_limit_field_and_verdict_show(desk):
    hand = Hand(desk.open(desk.file(CARD), has_touch=True, is_mobile=True)).begin().on(2)
    page = hand.page
    page.tap("[name=read-2-0]")
    for key in ("4", "9"):
        page.tap(f"#pad button:text-is('{key}')")
    low = page.evaluate("document.getElementById('pad').getBoundingClientRect().top")
    for part in (".command", ".limit", "[name=read-2-0]", ".verdict"):
        box = page.locator(f".step.current {part}").bounding_box()
        assert box["y"] + box["height"] <= low + 1, part
    assert page.locator("#locks").is_visible()


def test_main_actions_are_large_and_apart(desk):
    hand = Hand(desk.open(desk.file(CARD))).begin()
    boxes = [hand.page.locator(each).bounding_box() for each in ("#cant", "#onward")]
    assert all(box["height"] >= 72 for box in boxes)
    assert boxes[1]["x"] - boxes[0]["x"] - boxes[0]["width"] >= 16
    hand.on(2).read("50.9").on()
    hand.page.fill("[name=entry-3-code]", "none")
    hand.on()
    ways = hand.page.locator(".step.current .way")
    first, second = (ways.nth(place).bounding_box() for place in (0, 1))
    assert first["height"] >= 72 and second["y"] - first["y"] - first["height"] >= 16
    hand.page.click("#menu")
    heights = [each.bounding_box()["height"] for each in hand.page.locator("#panel button").all()]
    assert min(heights) >= 72


# Puts the work at a step, with its warnings read and a reading that is far too high.
AT_STEP = """n => {
    const { state, way } = desk.it, step = way.step(n);
    const locking = desk.it.card.steps.filter(each => each.number < n && each.role === "lock");
    const visit = { way: 0, led: { kind: "step" }, values: {}, to: clock.now() };
    state.visits = locking.map(each => ({ ...visit, step: each.number }));
    const values = { [`ack-${n}`]: true, [`temp-${n}`]: "20" };
    Object.assign(state, { at: { kind: "step", step: n }, since: clock.now(), values });
    const of = step.reading && step.reading.limit.of;
    const found = { entries: [], meter: {}, values: [numbers.parse("50")] };
    if (of) state.visits.push({ step: of, way: 0, led: { kind: "step" }, values: {}, found });
    if (step.reading) step.reading.labels.forEach((_, place) => (state.values[`read-${n}-${place}`] = "99999"));
    view.arrive();
    view.show();
    document.activeElement.blur();
}"""
# What has to be in sight without scrolling at a step, and is not.
OUT_OF_SIGHT = """n => {
    const step = document.getElementById(`step-${n}`);
    const bar = document.querySelector(".bar").getBoundingClientRect().bottom;
    const dock = document.getElementById("dock").getBoundingClientRect().top;
    const inside = (box, low, high) => box.height > 0 && box.top >= low - 1 && box.bottom <= high + 1;
    const read = step.querySelector(".reading") ? ", .limit, .verdict, .leads-on span:not(.plain)" : "";
    const found = [...step.querySelectorAll(`.command${read}`)].map(each => [each, each.getBoundingClientRect()]);
    const hidden = found.filter(([_, box]) => !inside(box, bar, dock));
    const told = hidden.map(([each, box]) => `${n} ${each.textContent}: ${box.top} to ${box.bottom}, free to ${dock}`);
    return inside(document.getElementById("locks").getBoundingClientRect(), 0, bar) ? told : [...told, `${n} locks`];
}"""
# Of what a finger is to hit: what is lower than 72 pixels, and what lies nearer to another than 16.
SMALL_OR_NEAR = """() => {
    const seen = [...document.querySelectorAll("button, input, select, .way, .require")].filter(each => {
        const box = each.getBoundingClientRect();
        return box.height > 0 && !each.disabled && !(each.matches("input") && each.closest(".way, .require"));
    });
    const name = each => `${each.tagName} ${each.name || each.id || each.className} ${each.textContent.slice(0, 20)}`;
    const boxes = seen.map(each => [each, each.getBoundingClientRect()]);
    const small = boxes.filter(([_, box]) => box.height < 71.9).map(([each, box]) => `${name(each)}: ${box.height}`);
    const fixed = each => Boolean(each.closest("#dock, .bar"));
    const apart = (a, b) => Math.max(a.left - b.right, b.left - a.right, a.top - b.bottom, b.top - a.bottom);
    const near = boxes.flatMap(([each, a], place) => boxes.slice(place + 1)
        .filter(([other, b]) => fixed(each) === fixed(other) && apart(a, b) < 15.9)
        .map(([other]) => `${name(each)} by ${name(other)}`));
    return [...small, ...near];
}"""


@pytest.mark.parametrize("card", [CARD, *CARDS[1:]], ids=lambda card: card.id)
def test_at_each_step_of_a_small_phone_nothing_needs_scrolling_and_all_is_large_and_apart(desk, card):
    hand = Hand(desk.open(desk.file(card)))
    hand.begin()
    if not hand.step:
        hand.on()
    for step in card.steps:
        hand.page.evaluate(AT_STEP, step.number)
        assert hand.step == step.number
        assert hand.page.evaluate(OUT_OF_SIGHT, step.number) == []
        assert hand.page.evaluate(SMALL_OR_NEAR) == [], step.number
    for opened in ("#menu", "#cant"):
        hand.page.click(opened)
        found = hand.page.evaluate(
            SMALL_OR_NEAR.replace('"button, input, select,', '"#panel button, #panel input,').replace(
                " .way, .require", " #panel .way", 1
            )
        )
        assert found == []
        hand.page.keyboard.press("Escape")


# As a translator may put it, and longer than the English.
LONG = {
    "de": "Den Widerstand von T1 nach T2 am abgezogenen Stecker messen, während der Fahrhebel in der Mitte steht.",
    "es": "Medir la resistencia de T1 a T2 en el conector separado, con la palanca de marcha en su posición central.",
}


@pytest.mark.parametrize("language", LONG)
def test_the_longest_words_of_other_languages_need_no_scrolling_either(desk, language):
    tall = (12, 15)
    own = {step.command: LONG[language] for step in CARD.steps if step.number in tall}
    path = desk.folder / "checklist.html"
    path.write_text(html.checklist(CARD, FIGURES, load(), wording(language, SHOP, own)), encoding="utf-8")
    hand = Hand(desk.open(path))
    assert hand.page.locator(".unsigned").is_visible()
    hand.begin()
    for number in tall:
        for reads in ("99999", "-99999"):
            hand.page.evaluate(AT_STEP.replace("99999", reads), number)
            assert hand.said(".step.current .command").endswith(LONG[language])
            assert "No way" not in hand.verdict and hand.page.locator(".step.current .verdict").is_visible()
            assert hand.page.evaluate(OUT_OF_SIGHT, number) == []
    # At the hour whose digits are widest in this typeface.
    widest = "each => { each.textContent = each.textContent.replace(/[0-9]/g, 8) }"
    hand.page.eval_on_selector("#saved", widest)
    saved, menu = (hand.page.locator(each).bounding_box() for each in ("#saved", "#menu"))
    assert hand.page.evaluate("(each => each.scrollWidth <= each.clientWidth)(document.querySelector('.bar-state'))")
    assert saved["width"] > 50 and saved["x"] + saved["width"] <= menu["x"]


def test_a_record_in_german_is_german(desk):
    path = desk.folder / "checklist.html"
    path.write_text(html.checklist(CARD, FIGURES, load(), wording("de", SHOP)), encoding="utf-8")
    hand = Hand(desk.open(path)).begin()
    hand.page.click("#cant")
    hand.page.check("#panel input >> nth=0")
    hand.page.click("#panel button:text-is('Hier anhalten')")
    hand.page.check("#outcome input[value=locked]")
    for box in hand.page.locator("#outcome .require input").all():
        box.check()
    hand.on()
    told = hand.said("#record")
    assert "C, Entwurf" in told
    assert "Vor dem Ende angehalten. Die Maschine bleibt außer Betrieb." in told


def in_any_look(page) -> list[str]:
    """The barriers on a page as it stands; dark and bright looks are held to their colours."""
    found = []
    for look, rules in (("light", RULES), ("dark", COLOURS), ("sunlight", COLOURS)):
        page.evaluate("key => view.look(key)", look)
        assert page.evaluate("document.documentElement.dataset.look") == look
        found += [f"{look}: {each}" for each in barriers(page, rules)]
    return found


@pytest.mark.parametrize("theme", ["daylight", "sparing"])
def test_no_barrier_is_found_in_any_look(desk, theme):
    hand = Hand(desk.open(desk.file(CARD, theme=theme), bypass_csp=True))
    assert in_any_look(hand.page) == []
    hand.begin().on()
    assert in_any_look(hand.page) == []
    hand.on().read("49.8")
    assert in_any_look(hand.page) == []
    hand.menu("Show the whole list")
    assert in_any_look(hand.page) == []
    hand.menu("One step at a time")
    hand.page.click("#menu")
    assert in_any_look(hand.page) == []
    hand.page.click("#panel button:text-is('Close the menu')")
    hand.page.click("#cant")
    assert in_any_look(hand.page) == []
    hand.page.check("#panel input >> nth=0")
    hand.page.click("#panel button:text-is('Stop here')")
    assert in_any_look(hand.page) == []
    hand.page.check("#outcome input[value=locked]")
    for box in hand.page.locator("#outcome .require input").all():
        box.check()
    hand.on()
    assert hand.page.locator("#record").is_visible()
    assert in_any_look(hand.page) == []


def test_no_barrier_is_found_at_a_long_reading_with_alarm_and_refusal(desk):
    hand = Hand(desk.open(desk.file(CARD), bypass_csp=True, has_touch=True, is_mobile=True)).begin()
    hand.page.evaluate(AT_STEP, 15)
    hand.page.evaluate("desk.it.places = 0; view.saved(); view.refuse('Look at the plate again.')")
    assert in_any_look(hand.page) == []
    hand.page.evaluate("document.querySelector('.step.current .here input').focus()")
    assert hand.page.locator("#pad").is_visible()
    assert in_any_look(hand.page) == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_ground_and_ink_follow_the_scheme_until_a_look_is_chosen(desk, scheme):
    page = desk.open(desk.file(CARD), color_scheme=scheme)

    def lightness():
        told = page.evaluate("[getComputedStyle(document.body).color, getComputedStyle(document.body).backgroundColor]")
        return [sum(int(part) for part in re.findall(r"\d+", colour)[:3]) for colour in told]

    ink, ground = lightness()
    assert (ink < ground) == (scheme == "light") and abs(ink - ground) > 500
    page.evaluate("view.look('sunlight')")
    assert lightness() == [0, 765]
    page.reload()
    page.wait_for_selector("body[data-ready]")
    assert lightness() == [0, 765]


def test_the_current_step_and_what_happens_are_told_to_screen_readers(desk):
    hand = Hand(desk.open(desk.file(CARD))).begin()
    page = hand.page
    assert page.locator("[aria-current=step]").count() == 1
    assert page.evaluate("document.activeElement.id") == "step-1"
    assert page.get_attribute("#locks", "role") == "status"
    assert page.get_attribute("#refusal", "role") == "alert"
    page.click("#menu")
    assert page.get_by_role("dialog", name="Menu").is_visible()
    page.keyboard.press("Escape")
    assert page.get_by_role("dialog").count() == 0
    hand.on(2)
    assert page.get_by_role("combobox", name="Unit").is_visible()
    assert page.get_by_role("textbox", name="Reading").is_visible()


def test_without_scripts_everything_shows(desk):
    page = desk.open(desk.file(CARD), java_script_enabled=False)
    for step in FAULT_FINDING.steps:
        assert page.locator(f"#step-{step.number}").is_visible()
    for warn in page.locator(".warn-body").all():
        assert warn.is_visible()
    assert page.locator("#dock, #menu, #pad, .load").locator("visible=true").count() == 0
    link = page.locator("#step-2 .leads-on a[href='#step-18']")
    assert link.inner_text() == "go to step 18 (at most once)"
    link.click()
    assert page.url.endswith("#step-18")


def test_script_that_does_not_belong_is_refused(desk):
    path = desk.file(CARD)
    text = path.read_text(encoding="utf-8")
    path.write_text(text.replace("</body>", "<script>document.title = 'taken'</script></body>"), encoding="utf-8")
    page = desk.open(path)
    assert page.title() != "taken"
    assert any("Content Security Policy" in error for error in desk.errors)
    desk.errors.clear()


def test_before_the_work_the_head_shows_the_whole_title(desk):
    page = desk.open(desk.file(CARD._replace(title="Powers up but will not drive, and the brake light stays on")))
    head = page.locator(".bar-title").evaluate("each => [each.scrollWidth <= each.clientWidth, each.clientHeight]")
    assert head[0] and head[1] > 30
