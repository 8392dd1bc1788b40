"""The index found through: mistyped words, codes, machines and parts, offline, with five thousand procedures."""

import random
import re

import pytest
from tests.browser.barriers import barriers
from tests.browser.devices import PATIENCE, PHONE

from benchleaf.render.index import Entry, Group, index
from benchleaf.render.theme import load

LINKS = (Group("", (("checklist", "rc-48/no-drive/checklist.html"),)),)
ENTRIES = (
    Entry("RC-48 row carrier", "Powers up but will not drive", "fault-finding", "The carrier does not move.", "draft",
          LINKS, "", "C", "D2", ("main contactor", "throttle unit"), "Measure the bank voltage at rest. weak pack"),
    Entry("RC-48 row carrier", "Replace the drive motor", "replacement", "", "released", LINKS, "", "B", "",
          ("drive motor",), "Loosen the motor bolts. Tighten them crosswise."),
    Entry("HT-600 lift table", "The table sinks under load", "fault-finding", "The table sinks.", "draft", LINKS, "",
          "A", "S1", ("lowering valve", "cylinder"), "Measure how far it falls in ten minutes."),
    Entry("PC-9 seal press", "<script>alert(1)</script>", "inspection", "", "draft", (), "Not built yet."),
)  # fmt: skip


@pytest.fixture
def shown(desk):
    def show(entries, theme="daylight", **settings):
        path = desk.folder / "index.html"
        path.write_text(index(entries, load(theme)), encoding="utf-8")
        return desk.open(path, **settings)

    return show


def found(page):
    return page.locator("#found article h3").all_text_contents()


ANSWERED = """words => {
    const told = document.getElementById("told").textContent;
    return !words || (told !== "" && !document.getElementById("found").hidden);
}"""


def ask(page, words, patience=PATIENCE):
    page.evaluate("document.getElementById('told').textContent = ''")
    page.fill("#words", words)
    page.wait_for_function(ANSWERED, arg=words, timeout=patience)


def test_a_procedure_is_found_by_complaint_code_part_and_mistyped_words(shown):
    page = shown(ENTRIES)
    for words, first in (
        ("drive", "Replace the drive motor"),
        ("will not drive", "Powers up but will not drive"),
        ("wil not dirve", "Powers up but will not drive"),
        ("D2", "Powers up but will not drive"),
        ("d2", "Powers up but will not drive"),
        ("contactr", "Powers up but will not drive"),
        ("sinkt", "The table sinks under load"),
        ("lowring valve", "The table sinks under load"),
        ("crosswise", "Replace the drive motor"),
        ("HT-600", "The table sinks under load"),
        ("trottle", "Powers up but will not drive"),
    ):
        ask(page, words)
        assert found(page)[0] == first, words


def test_what_is_found_goes_back_to_its_place(shown):
    page = shown(ENTRIES)
    before = page.locator("#all :is(h2, h3)").all_text_contents()
    ask(page, "motor")
    assert page.locator("#all").is_hidden()
    assert "RC-48 row carrier" in page.inner_text("#found")
    ask(page, "zzzzqqqq")
    assert page.inner_text("#told") == "Nothing found: try fewer or other words."
    page.fill("#words", "")
    page.wait_for_function("() => !document.getElementById('all').hidden")
    assert page.locator("#all :is(h2, h3)").all_text_contents() == before


def test_by_machine_and_by_part(shown):
    page = shown(ENTRIES)
    options = page.locator("#part option").all_inner_texts()
    assert options == ["all parts", "cylinder", "drive motor", "lowering valve", "main contactor", "throttle unit"]
    page.select_option("#machine", "RC-48 row carrier")
    assert found(page) == ["Powers up but will not drive", "Replace the drive motor"]
    page.select_option("#part", "drive motor")
    assert found(page) == ["Replace the drive motor"]
    assert page.inner_text("#told") == "1 found."
    assert page.locator("#part option").all_inner_texts() == [
        "all parts", "drive motor", "main contactor", "throttle unit"
    ]  # fmt: skip
    page.select_option("#machine", "HT-600 lift table")
    assert page.input_value("#part") == ""
    assert found(page) == ["The table sinks under load"]


def test_where_no_procedure_has_all_words_the_nearest_are_shown(shown):
    page = shown(ENTRIES)
    ask(page, "table sinks quickly")
    assert found(page)[0] == "The table sinks under load"
    assert page.inner_text("#told").startswith("Nothing has all these words: these come nearest.")
    page.fill("#words", "q")
    page.wait_for_function("() => !document.getElementById('all').hidden")
    assert page.inner_text("#told") == ""


def test_state_revision_and_code_are_shown_and_hostile_titles_stay_text(shown):
    page = shown(ENTRIES)
    told = re.sub(r"\s+", " ", page.inner_text("#all"))
    assert "revision C" in told and "Released" in told and "D2 The carrier does not move." in told
    assert page.locator("h3:text-is('<script>alert(1)</script>')").count() == 1
    assert page.evaluate("document.scripts.length") == 2


def test_without_scripts_the_list_is_whole(shown):
    page = shown(ENTRIES, java_script_enabled=False)
    assert page.locator("#find").is_hidden()
    assert page.locator("article").count() == 4


def test_five_thousand_procedures_are_searched_quickly(shown):
    """An answer within a second, on a machine that does other things as well."""
    chance = random.Random(5000)
    words = ["".join(chance.choices("abcdefghijklmnoprstuvw", k=chance.randint(4, 9))) for _ in range(3000)]

    def some(count):
        return " ".join(chance.choices(words, k=count))

    many = [
        Entry(f"Machine {n % 90}", some(4), "fault-finding", some(8), "draft", LINKS, "", "A", f"E{n}",
              tuple(chance.choices(words, k=2)), some(60))
        for n in range(5000)
    ]  # fmt: skip
    page = shown([*many, *ENTRIES])
    # The first question waits until all words are gathered.
    ask(page, "wil not dirve", patience=30_000)
    assert found(page)[0] == "Powers up but will not drive"
    took = page.evaluate(
        """async () => {
            const start = performance.now();
            document.getElementById("words").value = "carier does not mov";
            document.getElementById("words").dispatchEvent(new Event("input"));
            await new Promise(done => setTimeout(done));
            return performance.now() - start;
        }"""
    )
    assert found(page)[0] == "Powers up but will not drive"
    assert took < 1000
    ask(page, "E4321")
    assert page.inner_text("#found .code").startswith("E4321")


@pytest.mark.parametrize("theme", ["daylight", "sparing"])
def test_no_barrier_is_found_in_any_look(shown, theme):
    page = shown(ENTRIES, theme, bypass_csp=True)
    for look in ("light", "dark", "sunlight"):
        page.evaluate(f"localStorage.setItem('benchleaf-look', '{look}')")
        page.reload()
        assert page.evaluate("document.documentElement.dataset.look") == look
        for words in ("", "motor"):
            ask(page, words)
            assert barriers(page) == []


def test_without_a_chosen_look_the_device_decides(shown):
    page = shown(ENTRIES, color_scheme="dark")
    red, green, blue = page.evaluate("getComputedStyle(document.body).backgroundColor.match(/\\d+/g).map(Number)")
    assert red + green + blue < 100


def test_nothing_is_wider_than_a_phone(shown):
    page = shown(ENTRIES)
    page.fill("#words", "")
    for width in (320, PHONE["width"], 1280):
        page.set_viewport_size({"width": width, "height": 640})
        assert page.evaluate("document.documentElement.scrollWidth") == width
