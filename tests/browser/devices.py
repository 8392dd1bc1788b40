"""Phones and tablets that one test after the other takes up, and the desk on which a test opens checklists on them."""

from pathlib import Path

from playwright.sync_api import Browser, BrowserContext, ConsoleMessage, Page, Request, WebError
from tests.render.sample_cards import FIGURES

from benchleaf.card.model import Card
from benchleaf.render import html
from benchleaf.render.theme import load

# For what should come at once, on a machine that does other things as well; milliseconds.
PATIENCE = 15_000
PHONE = {"width": 360, "height": 640}
WIPE = """async () => {
    localStorage.clear();
    sessionStorage.clear();
    for (const { name } of await indexedDB.databases()) {
        const request = indexedDB.deleteDatabase(name);
        await new Promise((done, fail) => Object.assign(request, { onsuccess: done, onerror: fail }));
    }
}"""


class Device:
    """A browser context with a page that stays open, for with it lives the process that draws."""

    def __init__(self, browser: Browser, rest: str, settings: dict) -> None:
        """Its page rests at the address `rest`."""
        self.settings = settings
        self.clocked = False
        self.context = browser.new_context(**settings)
        self.context.set_default_timeout(PATIENCE)
        self.page = self.context.new_page()
        self.page.goto(rest)


class Devices:
    """All devices, wiped in between: to start one is dearer than most tests."""

    def __init__(self, browser: Browser, folder: Path) -> None:
        """Pages rest on an empty file in `folder` while nobody uses them."""
        self.browser = browser
        path = folder / "rest.html"
        path.write_text("<!doctype html><title>At rest</title>", encoding="utf-8")
        self._rest = path.as_uri()
        self._free: list[Device] = []
        self._drawn: dict[str, str] = {}

    def drawn(self, card: Card, theme: str) -> str:
        """The checklist of a card as text, drawn once."""
        key = f"{theme} {card!r}"
        if key not in self._drawn:
            self._drawn[key] = html.checklist(card, FIGURES, load(theme))
        return self._drawn[key]

    def take(self, settings: dict, clocked: bool) -> Device:
        """A wiped device with these settings; a clock that was ever set is not the device's own again."""
        for device in self._free:
            if (device.settings, device.clocked) == (settings, clocked):
                self._free.remove(device)
                return device
        return Device(self.browser, self._rest, settings)

    def put_back(self, device: Device) -> None:
        """Wipes the device; one that lost its page is thrown away."""
        if device.page.is_closed():
            device.context.close()
            return
        for page in device.context.pages:
            if page != device.page:
                page.close()
        device.page.goto(self._rest)
        device.page.evaluate(WIPE)
        if device.page.viewport_size != device.settings["viewport"]:
            device.page.set_viewport_size(device.settings["viewport"])
        self._free.append(device)


class Desk:
    """Where checklists are opened; it fails at the end if a page asked for anything or erred."""

    def __init__(self, devices: Devices, folder: Path) -> None:
        """Files are opened from `folder`, as from a shared drive."""
        self.folder = folder
        self.asked: list[str] = []
        self.errors: list[str] = []
        self.inside = (folder.as_uri(), "data:image/", "data:font/woff2;", "blob:")
        self._devices = devices
        self._taken: list[Device] = []
        self._own: list[BrowserContext] = []

    def file(self, card: Card, name: str = "checklist.html", theme: str = "daylight") -> Path:
        """The checklist of a card as a file."""
        path = self.folder / name
        path.write_text(self._devices.drawn(card, theme), encoding="utf-8")
        return path

    def context(self, **settings) -> BrowserContext:
        """A device with nothing stored yet."""
        return self._take(settings, False).context

    def own_context(self, **settings) -> BrowserContext:
        """A device for this test alone, since it does what can't be wiped off."""
        context = self._devices.browser.new_context(**({"viewport": PHONE} | settings))
        context.set_default_timeout(PATIENCE)
        self._own.append(context)
        self._listen(context)
        return context

    def open(self, path: Path | str, context: BrowserContext | None = None, clock: str = "", **settings) -> Page:
        """The file in a page, once it is ready to be worked on; only the test moves a `clock` that it sets.

        In a given context it is a page more, which the test may close.
        """
        page = context.new_page() if context else self._take(settings, bool(clock)).page
        if clock:
            page.clock.install(time=clock)
            for device in self._taken:
                device.clocked |= device.context == page.context
        page.goto(path if isinstance(path, str) else path.as_uri())
        if settings.get("java_script_enabled", True):
            page.wait_for_selector("body[data-ready]", state="attached")
        return page

    def close(self) -> None:
        """Put all devices back and say what went wrong on them."""
        for context in [*self._own, *(device.context for device in self._taken)]:
            context.remove_listener("request", self._hear_request)
            context.remove_listener("weberror", self._hear_error)
            context.remove_listener("console", self._hear_line)
        for context in self._own:
            context.close()
        for device in self._taken:
            self._devices.put_back(device)
        outside = [url for url in self.asked if not url.startswith(self.inside)]
        assert (outside, self.errors) == ([], []), f"asked for {outside}, erred with {self.errors}"

    def _take(self, settings: dict, clocked: bool) -> Device:
        device = self._devices.take({"viewport": PHONE} | settings, clocked)
        self._taken.append(device)
        self._listen(device.context)
        return device

    def _listen(self, context: BrowserContext) -> None:
        context.on("request", self._hear_request)
        context.on("weberror", self._hear_error)
        context.on("console", self._hear_line)

    def _hear_request(self, request: Request) -> None:
        self.asked.append(request.url)

    def _hear_error(self, error: WebError) -> None:
        self.errors.append(str(error.error))

    def _hear_line(self, line: ConsoleMessage) -> None:
        if line.type == "error":
            self.errors.append(f"{line.text} {line.location.get('url')}")
