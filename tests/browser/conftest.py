"""One headless browser for all tests, a desk on which checklists are opened, and hands that work through them."""

import os
import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright
from tests.browser.devices import Desk, Devices
from tests.render.sample_cards import FAULT_FINDING

from benchleaf.card.records import StepFacts

QUIET = ["--no-sandbox", "--disable-quic", "--disable-background-networking", "--disable-component-update",
         "--disable-sync", "--no-first-run"]  # fmt: skip
# A name that is none of this computer's own leads to it.
SHOP = "--host-resolver-rules=MAP shop.test 127.0.0.1"
HANDS = Path(__file__).with_name("hands.js").read_text(encoding="utf-8")
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
    # Tests of pages on paper, earlier in this process, leave it with the fonts of cards alone.
    usual: dict[str, str | float | bool] = {
        name: value for name, value in os.environ.items() if name != "FONTCONFIG_FILE"
    }
    with sync_playwright() as playwright:
        started = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=[*QUIET, SHOP], env=usual)
        yield started
        started.close()


@pytest.fixture(scope="session")
def devices(browser: Browser, tmp_path_factory) -> Devices:
    """The devices of all tests."""
    return Devices(browser, tmp_path_factory.mktemp("devices"))


@pytest.fixture
def desk(devices: Devices, tmp_path: Path) -> Iterator[Desk]:
    """A fresh desk for each test."""
    found = Desk(devices, tmp_path)
    yield found
    found.close()


class Hand:
    """A technician at a checklist: begins, reads, answers and presses the main button, where a finger could."""

    def __init__(self, page: Page) -> None:
        """Works on a page that is ready."""
        self.page = page

    def _do(self, *deed) -> "Hand":
        self.page.evaluate(HANDS, deed)
        return self

    def begin(self, serial="RC48-417", who="A. Finch") -> "Hand":
        """Confirm the machine and begin."""
        return self._do("begin", serial, who)

    def on(self, times=1) -> "Hand":
        """Press the main button."""
        return self._do("on", times)

    def fill(self, selector, text) -> "Hand":
        """Write into a field."""
        return self._do("fill", selector, text)

    def read(self, *values) -> "Hand":
        """Fill in the reading of the current step, each blank brought in sight first."""
        return self._do("read", values)

    def answer(self, place) -> "Hand":
        """Choose an answer of the current step, and go on."""
        return self._do("answer", place)

    def menu(self, words) -> "Hand":
        """Choose a line of the menu."""
        return self._do("menu", words)

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
        return self.page.evaluate(
            "Number((document.querySelector('.step.current') || {id: '0'}).id.replace('step-', ''))"
        )

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
