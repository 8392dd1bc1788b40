"""One headless browser for all tests, a desk on which checklists are opened, and hands that work through them."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from tests.render.sample_cards import FAULT_FINDING, FIGURES

from benchleaf.card.records import StepFacts
from benchleaf.render import html
from benchleaf.render.theme import load

QUIET = ["--no-sandbox", "--disable-quic", "--disable-background-networking", "--disable-component-update",
         "--disable-sync", "--no-first-run"]  # fmt: skip
PHONE = {"width": 360, "height": 640}
# What the steps of the sample card lock, open and prove, which the drawing of a card does not need.
_FACTS = {
    "lock": StepFacts((), locks=("battery-plug",)),
    "unlock": StepFacts((), locks=("battery-plug",)),
    "prove": StepFacts((), energies=("bus",)),
    "stands": StepFacts((), opens=("place:axle-stands",)),
    "down": StepFacts((), closes=("place:axle-stands",)),
}


def _with_facts(card):
    sections = tuple(
        section._replace(steps=tuple(step._replace(facts=_FACTS.get(step.key, step.facts)) for step in section.steps))
        for section in card.sections
    )
    return card._replace(sections=sections)


CARD = _with_facts(FAULT_FINDING)


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    """The system's Chromium, or the one that Playwright installed."""
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=QUIET)
        yield started
        started.close()


class Desk:
    """A phone or tablet on which checklists are opened; it fails at the end if a page asked for anything or erred."""

    def __init__(self, browser: Browser, folder: Path) -> None:
        """Files are opened from `folder`, as from a shared drive."""
        self.folder = folder
        self._browser = browser
        self._contexts: list[BrowserContext] = []
        self.asked: list[str] = []
        self.errors: list[str] = []
        self.inside = (folder.as_uri(), "data:image/", "blob:")

    def file(self, card, name="checklist.html", theme="daylight") -> Path:
        """The checklist of a card as a file."""
        path = self.folder / name
        path.write_text(html.checklist(card, FIGURES, load(theme)), encoding="utf-8")
        return path

    def context(self, **settings) -> BrowserContext:
        """A browser with nothing stored yet."""
        context = self._browser.new_context(**({"viewport": PHONE} | settings))
        context.set_default_timeout(5_000)
        self._contexts.append(context)
        return context

    def open(self, path: Path | str, context: BrowserContext | None = None, clock: str = "", **settings) -> Page:
        """The file in a page, once it is ready to be worked on; only the test moves a `clock` that it sets."""
        page = (context or self.context(**settings)).new_page()
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("console", lambda line: self.errors.append(line.text) if line.type == "error" else None)
        if clock:
            page.clock.install(time=clock)
        page.goto(path if isinstance(path, str) else path.as_uri())
        if settings.get("java_script_enabled", True):
            page.wait_for_selector("body[data-ready]")
        return page

    def close(self) -> None:
        """Close all pages and say what went wrong on them."""
        for context in self._contexts:
            context.close()
        assert [url for url in self.asked if not url.startswith(self.inside)] == []
        assert self.errors == []


@pytest.fixture
def desk(browser: Browser, tmp_path: Path) -> Iterator[Desk]:
    """A fresh desk for each test."""
    found = Desk(browser, tmp_path)
    yield found
    found.close()


class Hand:
    """A technician at a checklist: begins, reads, answers and presses the main button."""

    def __init__(self, page: Page) -> None:
        """Works on a page that is ready."""
        self.page = page

    def begin(self, serial="RC48-417", who="A. Finch") -> "Hand":
        """Confirm the machine and begin."""
        for box in self.page.query_selector_all("main > .about .require input"):
            box.check()
        self.page.fill("[name=serial]", serial)
        self.page.fill("[name=who]", who)
        return self.on()

    def on(self, times=1) -> "Hand":
        """Press the main button."""
        for _ in range(times):
            self.page.click("#onward")
        return self

    def read(self, *values) -> "Hand":
        """Fill in the reading of the current step, each blank brought in sight first."""
        fields = self.page.locator(".step.current [name^=read-]")
        for place, value in enumerate(values):
            if not fields.nth(place).is_visible():
                shown = next(other for other in range(len(fields.all())) if fields.nth(other).is_visible())
                self.page.click(f".step.current .other-blanks button >> nth={place - (place > shown)}")
            fields.nth(place).fill(value)
        return self

    def answer(self, place) -> "Hand":
        """Choose an answer of the current step, and go on."""
        self.page.check(f".step.current .way:not([hidden]) input >> nth={place}")
        return self.on()

    def menu(self, words) -> "Hand":
        """Choose a line of the menu."""
        self.page.click("#menu")
        self.page.click(f"#panel button:has-text('{words}')")
        return self

    def locked(self) -> "Hand":
        """From the beginning to step 11: locked and proved dead."""
        self.begin().on().on().read("50.9").on()
        self.page.fill("[name=entry-3-code]", "none")
        self.on().answer(0).on(2).on(2)
        self.page.fill("[name=entry-8-lock]", "lock 4")
        self.on()
        if self.step == 9:
            self.on()
            self.page.clock.fast_forward("11:00")
            self.on()
        return self.read("0.1", "0", "0", "0").on()

    @property
    def step(self) -> int:
        """The number of the current step; 0 where it is no step."""
        found = self.page.locator(".step.current")
        return int(found.get_attribute("id").removeprefix("step-")) if found.count() else 0

    def said(self, selector) -> str:
        """The text there, with plain spaces."""
        return self.page.locator(selector).inner_text().replace("\u202f", " ")

    @property
    def next(self) -> str:
        """What the main button says."""
        return self.said("#onward")

    @property
    def verdict(self) -> str:
        """What the current reading says."""
        return self.said(".step.current .verdict")

    @property
    def refusal(self) -> str:
        """Why the main button did not go on."""
        return self.said("#refusal")


@pytest.fixture
def hand(desk: Desk):
    """Hands at the sample card, with a clock that only the test moves."""
    return Hand(desk.open(desk.file(CARD), clock="2026-06-01T08:00:00"))
