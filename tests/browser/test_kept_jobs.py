"""Nothing lost: reloads, killed browsers, lost stores, full stores, two machines, files of other cards."""

import json
import os
import random
import re
import signal
import subprocess
import tempfile
import time
from contextlib import suppress
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from shutil import which
from threading import Thread

import pytest
from playwright.sync_api import BrowserType, TimeoutError
from tests.browser.conftest import CARD, QUIET, Hand

# Kills in one run of the tests; a long run of them is asked for by this variable.
KILLS = int(os.environ.get("BENCHLEAF_KILLS", "3"))


def test_every_touch_is_kept_and_said_to_be(hand):
    hand.begin()
    hand.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    hand.page.wait_for_function(
        "() => /^saved at \\d\\d:\\d\\d:\\d\\d$/.test(document.getElementById('saved').textContent)"
    )


@pytest.mark.parametrize(
    "loss", ["", "localStorage.clear()", "new Promise(d => indexedDB.deleteDatabase('benchleaf-jobs').onsuccess = d)"]
)
def test_a_job_comes_back_after_a_closed_tab_and_after_either_store_is_lost(desk, loss):
    path, context = desk.file(CARD), desk.context()
    hand = Hand(desk.open(path, context)).begin().on(2).read("49,8")
    hand.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    hand.page.close()
    if loss:
        other = context.new_page()
        other.goto(
            path.with_name("blank.txt").as_uri() if path.with_name("blank.txt").write_text("") else path.as_uri()
        )
        other.evaluate(loss)
        other.close()
    hand = Hand(desk.open(path, context))
    assert "RC48-417" in hand.said("#bar-job")
    assert hand.step == 2
    assert hand.page.input_value("[name=read-2-0]") == "49,8"
    assert hand.verdict == "49.8 V is below 50.2 V."


def test_another_revision_or_content_starts_afresh_and_says_what_is_kept(desk):
    context = desk.context()
    hand = Hand(desk.open(desk.file(CARD), context)).begin()
    hand.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    for other, told in ((CARD._replace(revision="D"), "revision C:"), (CARD._replace(purpose="X."), "other content:")):
        page = desk.open(desk.file(other), context)
        assert page.locator(".step.current").count() == 0
        assert told in page.inner_text("#jobs") and "RC48-417" in page.inner_text("#jobs")


def test_two_machines_side_by_side(desk):
    path, context = desk.file(CARD), desk.context()
    one = Hand(desk.open(path, context)).begin("RC48-417").on(2).read("49.8")
    one.menu("Another machine")
    two = one.begin("RC48-500").on()
    assert two.page.input_value("[name=read-2-0]") == ""
    two.menu("Another machine")
    two.page.wait_for_selector("#jobs .job:has-text('RC48-500')")
    told = two.page.locator("#jobs .job").all_inner_texts()
    assert [line.split(":")[0] for line in told] == ["Go on with RC48-500", "Go on with RC48-417"]
    two.page.click("#jobs .job:has-text('RC48-417')")
    two.page.wait_for_selector("#step-2.current")
    assert two.page.input_value("[name=read-2-0]") == "49.8"
    two.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    two.page.close()
    page = desk.open(path, context)
    assert page.locator("#jobs .job").count() == 2


def test_two_tabs_on_one_job_hear_each_other(desk):
    path, context = desk.file(CARD), desk.context()
    one = Hand(desk.open(path, context)).begin()
    one.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    two = Hand(desk.open(path, context))
    assert two.step == 1
    two.on()
    one.page.wait_for_selector("#step-2.current")
    assert one.step == 2


def test_loud_when_nothing_is_kept(desk):
    context = desk.own_context()
    context.add_init_script(
        "Object.defineProperty(window, 'indexedDB', {get() { throw new Error('off'); }});"
        "Object.defineProperty(window, 'localStorage', {get() { throw new Error('off'); }});"
    )
    hand = Hand(desk.open(desk.file(CARD), context)).begin()
    assert hand.said("#alarm").startswith("NOT SAVED")
    assert hand.step == 1


def test_what_a_full_store_refused_is_kept_when_there_is_room_again(desk):
    hand = Hand(desk.open(desk.file(CARD))).begin()
    hand.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    hand.page.evaluate(
        """() => {
            const put = IDBObjectStore.prototype.put, set = Storage.prototype.setItem;
            IDBObjectStore.prototype.put = () => { throw new DOMException("full", "QuotaExceededError"); };
            Storage.prototype.setItem = () => { throw new DOMException("full", "QuotaExceededError"); };
            window.room = () => { IDBObjectStore.prototype.put = put; Storage.prototype.setItem = set; };
        }"""
    )
    hand.on().on()
    hand.page.wait_for_selector("#alarm.loud")
    hand.page.evaluate("room()")
    hand.read("50.9")
    hand.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    assert not hand.page.locator("#alarm").is_visible()
    kept = hand.page.evaluate("store.load(desk.it.about.job).then(found => found.events.map(each => each.n))")
    assert kept == list(range(1, len(kept) + 1)) and len(kept) > 3


def test_spoilt_entries_are_counted_and_what_can_be_read_is_shown(desk):
    path, context = desk.file(CARD), desk.context()
    hand = Hand(desk.open(path, context)).begin().on()
    hand.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    hand.page.evaluate("localStorage.setItem(`${store.PREFIX}event:${desk.it.about.job}:99`, '{\"n\": 99, ')")
    hand.page.close()
    hand = Hand(desk.open(path, context))
    assert hand.step == 2
    assert "1 kept entries can't be read, or follow on one that can't. They stay kept." in hand.said("#alarm")


def saved(hand, tmp_path) -> Path:
    """The record, saved as a file."""
    with hand.page.expect_download() as download:
        hand.menu("Save the record as a file")
    path = tmp_path / download.value.suggested_filename
    download.value.save_as(path)
    return path


def load(hand, path):
    hand.page.click("#menu")
    with hand.page.expect_file_chooser() as chooser:
        hand.page.click("#panel button:has-text('Load a record')")
    chooser.value.set_files(path)


def test_a_file_carries_a_job_to_another_device(desk, tmp_path):
    hand = Hand(desk.open(desk.file(CARD))).begin().on(2).read("49,8")
    path = saved(hand, tmp_path)
    assert re.fullmatch(r"RC48-417_no-drive_C_\d{4}-\d\d-\d\d\.json", path.name)
    other = Hand(desk.open(desk.file(CARD)))
    load(other, path)
    other.page.wait_for_selector("#step-2.current")
    assert other.page.input_value("[name=read-2-0]") == "49,8"
    other.page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
    assert other.page.evaluate("store.load(desk.it.about.job).then(found => found.events.length)") == len(
        json.loads(path.read_text())["events"]
    )


def test_at_a_hold_the_file_is_offered(desk, tmp_path):
    hand = Hand(desk.open(desk.file(CARD), clock="2026-06-01T08:00:00")).locked().on().read("1", "1", "1").on()
    assert hand.page.locator(".save-here button").count() == 0
    hand.on().on(2).on()
    assert hand.step == 15
    with hand.page.expect_download() as download:
        hand.page.click("#step-15 .save-here button")
    assert json.loads(Path(download.value.path()).read_text())["serial"] == "RC48-417"


def test_a_file_of_another_card_or_a_damaged_one_changes_nothing(desk, tmp_path):
    hand = Hand(desk.open(desk.file(CARD))).begin().on(2).read("49,8")
    path = saved(hand, tmp_path)
    record = json.loads(path.read_text())
    spoilt = {
        "revision B": record | {"card": record["card"] | {"revision": "B"}},
        "is a record of rc-48/other": record | {"card": record["card"] | {"id": "other"}},
        "with other content": record | {"card": record["card"] | {"digest": "0" * 64}},
        "is no record of a checklist": {"format": "something"},
        "can't be read": None,
    }
    for told, content in spoilt.items():
        path.write_text("{" if content is None else json.dumps(content))
        load(hand, path)
        hand.page.wait_for_function("words => document.getElementById('refusal').textContent.includes(words)", arg=told)
        assert "Nothing was changed." in hand.refusal
        assert hand.page.input_value("[name=read-2-0]") == "49,8"


def test_it_works_from_a_plain_web_server(desk, tmp_path):
    desk.file(CARD)
    quiet = type("Quiet", (SimpleHTTPRequestHandler,), {"log_message": lambda *_: None})
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(quiet, directory=str(tmp_path))) as server:
        Thread(target=server.serve_forever, daemon=True).start()
        # Any other name than localhost's is no secure context, as on a shop's network.
        address = f"http://shop.test:{server.server_port}/"
        desk.inside = (address, *desk.inside)
        page = desk.open(f"{address}checklist.html", desk.own_context())
        assert page.evaluate("isSecureContext") is False
        hand = Hand(page).begin()
        page.wait_for_function("() => desk.allKept() && desk.it.places === 2")
        page.reload()
        page.wait_for_selector("body[data-ready]")
        assert hand.step == 1
        server.shutdown()


class Phone:
    """A browser process of its own that can be killed outright."""

    def __init__(self, profile: Path) -> None:
        self.process = subprocess.Popen(
            [
                which("chromium") or "chromium",
                "--headless=new",
                "--remote-debugging-port=0",
                f"--user-data-dir={profile}",
                # Helpers that report crashes would outlive the kill.
                "--disable-breakpad",
                *QUIET,
            ],
            stderr=subprocess.PIPE,
            text=True,
            start_new_session=True,
        )

    def connect(self, kind: BrowserType) -> None:
        line = next(line for line in self.process.stderr or () if "DevTools listening" in line)
        self.browser = kind.connect_over_cdp(line.split()[-1], timeout=8_000)

    def open(self, path: Path):
        page = self.browser.contexts[0].new_page()
        page.goto(path.as_uri())
        page.wait_for_selector("body[data-ready]")
        return page

    def kill(self) -> None:
        os.killpg(self.process.pid, signal.SIGKILL)
        self.process.wait()
        if self.process.stderr:
            self.process.stderr.close()


@pytest.fixture
def phones(browser):
    """One phone after the other, all with the same memory; none is left running."""
    started = []
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:

        def start() -> Phone:
            # Now and then a browser that finds the remains of a killed one takes no commands: then the next one.
            for _ in range(3):
                phone = Phone(Path(profile))
                started.append(phone)
                with suppress(TimeoutError):
                    phone.connect(browser.browser_type)
                    return phone
                phone.kill()
            raise AssertionError("no browser takes commands")

        yield start
        for phone in started:
            if phone.process.poll() is None:
                phone.kill()


def test_a_killed_browser_loses_at_most_the_touch_in_progress(desk, phones):
    """What was said to be kept comes back; the last stroke may be lost, since nobody waited for it."""
    chance = random.Random(20260601)
    path = desk.file(CARD)
    phone = phones()
    hand = Hand(phone.open(path)).begin().on(2)
    for _ in range(KILLS):
        hand.page.focus("[name=read-2-0]")
        typed = []
        for _ in range(chance.randint(1, 8)):
            hand.page.wait_for_function("() => desk.allKept()")
            typed.append(chance.choice("0123456789"))
            hand.page.keyboard.press("End")
            hand.page.keyboard.type(typed[-1])
        time.sleep(chance.random() * 0.02)
        phone.kill()
        phone = phones()
        hand = Hand(phone.open(path))
        found = hand.page.input_value("[name=read-2-0]")
        assert found in ("".join(typed), "".join(typed[:-1]))
        hand.page.fill("[name=read-2-0]", "")
