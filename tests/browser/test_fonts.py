"""Pages bring their own typeface: it is used, holds what is typed, and what it lacks shows in another one."""

import re

import pytest
from tests.browser.conftest import CARD, Hand
from tests.render.sample_cards import FIGURES

from benchleaf.base.said import Wording
from benchleaf.render import html
from benchleaf.render.index import Entry, index
from benchleaf.render.theme import load

TYPED = "Łukasz Ångström Šimůnek ß ñ 50,4 Ω µ° ± ≤ – “q”"
WORDS = {"Purpose": "الغرض", "Serial number, as on its plate": "الرقم التسلسلي"}
RIGHT_TO_LEFT = Wording("ar", patterns=WORDS, direction="rtl")


def fonts(page, selector) -> dict[tuple[str, bool], int]:
    """The fonts that draw the first such node, by name and whether the page brings them, with their glyphs."""
    page.evaluate("document.fonts.ready.then(() => true)")  # till then all is drawn in what is still to come
    session = page.context.new_cdp_session(page)
    session.send("DOM.enable")
    session.send("CSS.enable")
    root = session.send("DOM.getDocument")["root"]["nodeId"]
    node = session.send("DOM.querySelector", {"nodeId": root, "selector": selector})["nodeId"]
    found = session.send("CSS.getPlatformFontsForNode", {"nodeId": node})["fonts"]
    return {(each["familyName"], each["isCustomFont"]): int(each["glyphCount"]) for each in found}


@pytest.mark.parametrize("theme", ["daylight", "sparing"])
def test_the_checklist_shows_in_the_typeface_of_the_cards(desk, theme):
    hand = Hand(desk.open(desk.file(CARD, theme=theme)))
    for selector in ("h1", "dd", ".about", "#bar-job"):
        assert {custom for _, custom in fonts(hand.page, selector)} == {True}, selector
    hand.begin().on(2).read("50.9")
    for selector in (".step.current .command", ".step.current .verdict", "#locks", "#onward", ".step.current .unit"):
        assert set(fonts(hand.page, selector)) == {("Fira Sans", True)}, selector
    assert hand.page.evaluate("[...document.fonts].map(face => `${face.weight} ${face.status}`).sort()") == [
        "400 loaded",
        "700 loaded",
    ]


def test_what_a_technician_types_is_in_the_typeface_too(desk):
    hand = Hand(desk.open(desk.file(CARD))).begin(who=TYPED)
    hand.page.evaluate("words => document.getElementById('locks').replaceChildren(words)", TYPED)
    assert set(fonts(hand.page, "#locks")) == {("Fira Sans", True)}


def test_the_index_shows_in_it(desk):
    path = desk.folder / "index.html"
    path.write_text(index([Entry("RC-48", "Größe", "inspection", "", "draft", ())], load()), encoding="utf-8")
    page = desk.open(path)
    assert set(fonts(page, "h3")) == {("Fira Sans", True)}
    assert path.stat().st_size < 150_000


def test_writing_that_it_lacks_shows_in_another_and_runs_its_way(desk):
    path = desk.folder / "checklist.html"
    path.write_text(html.checklist(CARD, FIGURES, load(), RIGHT_TO_LEFT), encoding="utf-8")
    page = desk.open(path)
    drawn = fonts(page, "dt")
    assert drawn and not any(custom for _, custom in drawn)
    for width in (360, 1024):
        page.set_viewport_size({"width": width, "height": 640})
        box, room = page.locator("dt").first.bounding_box(), page.locator("dl").first.bounding_box()
        assert abs(box["x"] + box["width"] - room["x"] - room["width"]) < 1
        assert page.evaluate("document.documentElement.scrollWidth") == width
    hand = Hand(page).begin()
    assert set(fonts(page, ".step.current .command")) == {("Fira Sans", True)}
    assert hand.step == 1


def carried(page) -> list[str]:
    return re.findall(r"url\(data:font/woff2;base64,([^)]+)\)", page)


def test_a_cut_is_small_and_the_same_for_all_pages_that_it_suffices(desk):
    first, second = (html.checklist(CARD._replace(purpose=words), FIGURES, load()) for words in ("Grüße", "Łódź"))
    assert carried(first) == carried(second) and len(carried(first)) == 2
    assert sum(map(len, carried(first))) < 40_000
    greek = html.checklist(CARD._replace(purpose="ψ"), FIGURES, load())
    assert carried(greek) != carried(first)
    path = desk.folder / "greek.html"
    path.write_text(greek, encoding="utf-8")
    assert set(fonts(desk.open(path), "dd")) == {("Fira Sans", True)}
