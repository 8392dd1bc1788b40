"""One headless browser for all tests, and a way to open a checklist in it that hears every request and every error."""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from tests.render.sample_cards import FIGURES

from benchleaf.render import html
from benchleaf.render.theme import load

QUIET = ["--no-sandbox", "--disable-quic", "--disable-background-networking", "--disable-component-update",
         "--disable-sync", "--no-first-run"]  # fmt: skip


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

    def file(self, card, name="checklist.html") -> Path:
        """The checklist of a card as a file."""
        path = self.folder / name
        path.write_text(html.checklist(card, FIGURES, load()), encoding="utf-8")
        return path

    def context(self, **settings) -> BrowserContext:
        """A browser with nothing stored yet."""
        context = self._browser.new_context(**({"viewport": {"width": 360, "height": 640}} | settings))
        context.set_default_timeout(10_000)
        self._contexts.append(context)
        return context

    def open(self, path: Path, context: BrowserContext | None = None, **settings) -> Page:
        """The file in a page, once it is ready to be worked on."""
        page = (context or self.context(**settings)).new_page()
        page.on("request", lambda request: self.asked.append(request.url))
        page.on("pageerror", lambda error: self.errors.append(str(error)))
        page.on("console", lambda line: self.errors.append(line.text) if line.type == "error" else None)
        page.goto(path.as_uri())
        if settings.get("java_script_enabled", True):
            page.wait_for_selector("body[data-ready]")
        return page

    def close(self) -> None:
        """Close all pages and say what went wrong on them."""
        for context in self._contexts:
            context.close()
        inside = (self.folder.as_uri(), "data:image/")
        assert [url for url in self.asked if not url.startswith(inside)] == []
        assert self.errors == []


@pytest.fixture
def desk(browser: Browser, tmp_path: Path) -> Iterator[Desk]:
    """A fresh desk for each test."""
    found = Desk(browser, tmp_path)
    yield found
    found.close()
