"""The preview in a browser: each save shows, a broken file keeps the last good page, nothing else is served."""

import shutil
import signal
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import NamedTuple

import pytest
from tests.browser.barriers import barriers

ROOT = Path(__file__).resolve().parents[2]
SCREEN = {"width": 1280, "height": 720}


class Served(NamedTuple):
    """A preview that runs: its workspace as it was laid out, where it answers, and what it says of the procedure."""

    root: Path
    files: dict[Path, bytes]
    address: str
    page: str


def contents(root):
    return {path: path.read_bytes() for path in root.rglob("*") if path.is_file()}


@pytest.fixture(scope="module")
def served(tmp_path_factory):
    """A preview of a new workspace; it starts and ends in silence."""
    folder = tmp_path_factory.mktemp("preview")
    done = subprocess.run([sys.executable, "-m", "benchleaf", "begin", "workshop"], cwd=folder, capture_output=True)
    assert done.returncode == 0
    root = folder / "workshop"
    server = subprocess.Popen(
        [sys.executable, "-m", "benchleaf", "preview", "--port", "0"],
        cwd=root,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    told = server.stdout.readline().strip()
    assert told.startswith("http://127.0.0.1:"), server.stderr.read()
    yield Served(root, contents(root), told, answer(f"{told}df-1/filter-clean")[1])
    server.send_signal(signal.SIGINT)
    out, err = server.communicate(timeout=10)
    assert (server.returncode, out) == (0, "")
    assert err == "benchleaf: open this address in a browser; Ctrl+C ends the preview.\n"


@pytest.fixture
def workspace(served):
    """The workspace of the preview, as `begin` laid it out; what a test changes is put back, and seen to be."""
    yield served.root
    now = contents(served.root)
    for path in now.keys() - served.files.keys():
        path.unlink()
    for path, content in served.files.items():
        if now.get(path) != content:
            path.write_bytes(content)
    end = time.monotonic() + 20
    while answer(f"{served.address}df-1/filter-clean")[1] != served.page:
        assert time.monotonic() < end, "the preview does not see that all is as it was"


@pytest.fixture
def address(workspace, served):
    """Where the preview of the workspace runs."""
    return served.address


@pytest.fixture
def page(desk, address):
    """The first procedure in the preview."""
    desk.inside = (address, *desk.inside)
    found = desk.context(viewport=SCREEN).pages[0]
    found.goto(f"{address}df-1/filter-clean")
    found.wait_for_selector("iframe[title^=Checklist]")
    return found


def card(page):
    return page.frame_locator("iframe[title^=Card]").locator("body")


def test_an_edit_shows_without_anybody_asking(workspace, page):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    assert "Clean the filter" in page.title()
    path.write_text(path.read_text("utf-8").replace("title: Clean the filter", "title: Brush the filter"), "utf-8")
    page.wait_for_function("() => document.title.includes('Brush the filter')")
    card(page).locator("h1").get_by_text("Brush the filter").wait_for()
    page.frame_locator("iframe[title^=Checklist]").get_by_text("Brush the filter").first.wait_for()
    page.frame_locator("iframe[title^=Trace]").locator("body").get_by_text("lid").first.wait_for()


def test_a_broken_file_keeps_the_last_good_page_with_the_findings_above(workspace, page):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    good = path.read_text("utf-8")
    path.write_text(good.replace("  - open: lid\n", "  - open: lidd\n"), "utf-8")
    page.wait_for_selector(".told.error")
    told = page.inner_text("#told")
    assert "procedures/df-1/filter-clean.yaml:" in told and "[names.unknown-" in told
    assert page.inner_text("#told mark") == "lidd"
    assert "documents from before these errors" in told
    card(page).locator("h1").get_by_text("Clean the filter").wait_for()
    for broken in ("a: [", "\x00", ""):
        path.write_text(broken, "utf-8")
        page.wait_for_function("() => !document.getElementById('told').textContent.includes('lidd')")
        page.wait_for_selector(".told.error")
    path.write_text(good, "utf-8")
    page.wait_for_function("() => !document.querySelector('.told.error')")


def test_a_finding_stands_at_its_step_in_each_document_that_shows(workspace, page):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    good = path.read_text("utf-8")
    path.write_text(good.replace("info: Brush the mat", "info: " + "Brush the mat and " * 12 + "brush it"), "utf-8")
    page.wait_for_selector(".told.warning a.at")
    assert page.locator(".told.error").count() == 0
    told = page.locator(".told.warning").first
    number = told.locator("a.at").inner_text().removeprefix("step ")
    slug = told.locator(".slug").inner_text()
    for title in ("Card", "Checklist"):
        note = page.frame_locator(f"iframe[title^={title}]").locator(f"#step-{number} > .refusal").first
        note.wait_for(state="attached")
        assert slug in note.text_content()
    told.locator("a.at").click()
    box = page.frame_locator("iframe[title^=Checklist]").locator(f"#step-{number}").bounding_box()
    frame = page.locator("iframe[title^=Checklist]").bounding_box()
    assert frame["y"] <= box["y"] + box["height"] and box["y"] <= frame["y"] + frame["height"]
    path.write_text(good.replace("  - open: lid\n", "  - open: lidd\n"), "utf-8")
    page.wait_for_selector(".told.error a.at")
    note = page.frame_locator("iframe[title^=Card]").locator("li.step > .refusal:has-text('names.unknown-')")
    note.wait_for(state="attached")
    path.write_text(good, "utf-8")
    page.wait_for_function("() => !document.querySelector('.told')")
    note.wait_for(state="detached")


def test_what_belongs_to_no_step_stands_above_only(workspace, page):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    path.write_text(path.read_text("utf-8").replace("final: {switch: off", "final: {swich: off"), "utf-8")
    page.wait_for_selector(".told.error")
    assert page.locator("a.at").count() == 0
    card(page).locator("h1").get_by_text("Clean the filter").wait_for()
    assert card(page).locator(".refusal").count() == 0


def test_the_plan_of_a_fault_search_stands_beside_its_card(workspace, page, address):
    shutil.copytree(ROOT / "procedures/ht-600", workspace / "procedures/ht-600")
    shutil.copytree(ROOT / "procedures/common", workspace / "procedures/common", dirs_exist_ok=True)
    shutil.copy(ROOT / "procedures/shop.yaml", workspace / "procedures/shop.yaml")
    page.goto(f"{address}ht-600/no-lift")
    page.wait_for_selector("iframe[title^=Plan]")
    page.frame_locator("iframe[title^=Plan]").locator("svg").first.wait_for()
    assert page.locator("#frames figcaption").all_inner_texts() == [
        "Card, not yet in pages", "Checklist", "Plan", "Trace"
    ]  # fmt: skip


def test_no_barrier_is_found_with_and_without_findings(workspace, desk, address):
    desk.inside = (address, *desk.inside)
    page = desk.own_context(viewport=SCREEN, bypass_csp=True).new_page()
    path = workspace / "procedures/df-1/filter-clean.yaml"
    for words in ("lid", "lidd"):
        path.write_text(path.read_text("utf-8").replace("  - open: lid\n", f"  - open: {words}\n"), "utf-8")
        for place in ("df-1/filter-clean", ""):
            page.goto(address + place)
            page.wait_for_selector(".told.error" if place and words == "lidd" else "h1")
            for scheme in ("light", "dark"):
                page.emulate_media(color_scheme=scheme)
                assert barriers(page, ("wcag2a", "wcag2aa", "wcag21aa"), iframes=False) == []
    # Without its policy a page asks for the icon that every browser looks for.
    desk.errors = [each for each in desk.errors if not each.endswith("/favicon.ico")]


def test_a_renamed_file_is_told_and_a_burst_of_edits_ends_in_the_last_one(workspace, page):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    good = path.read_text("utf-8")
    path.rename(path.with_name("other.yaml"))
    page.wait_for_selector(".told.error")
    assert "procedures/df-1/filter-clean.yaml" in page.inner_text("#told")
    card(page).locator("h1").get_by_text("Clean the filter").wait_for()
    path.with_name("other.yaml").rename(path)
    page.wait_for_function("() => !document.querySelector('.told.error')")
    for turn in range(40):
        path.write_text(good.replace("title: Clean the filter", f"title: Clean the filter {turn}"), "utf-8")
    page.wait_for_function("() => document.title.includes('Clean the filter 39')")


def test_the_list_says_what_is_stopped_by_what(workspace, page, address):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    path.write_text(path.read_text("utf-8").replace("  - open: lid\n", "  - open: lidd\n"), "utf-8")
    page.goto(address)
    told = page.inner_text("#told")
    assert told.startswith("df-1/filter-clean stopped by ") and "names.unknown-" in told


def answer(address, host=""):
    request = urllib.request.Request(address, headers={"Host": host} if host else {})
    try:
        with urllib.request.urlopen(request) as found:
            return found.status, found.read().decode()
    except urllib.error.HTTPError as error:
        return error.code, error.read().decode()


def test_nothing_but_the_workspace_is_served_and_only_to_who_names_this_host(workspace, address):
    shutil.copy(workspace / "procedures/shop.yaml", workspace / "secret.yaml")
    for path in (
        "..%2f..%2fsecret.yaml", "../secret.yaml", "procedures/shop.yaml", "df-1/filter-clean/0/card.json",
        "df-1/filter-clean/7/card", "df-1/..%2f..%2fsecret", "%2e%2e/secret", "df-1/no-such",
    ):  # fmt: skip
        status, told = answer(address + path)
        assert status == 404, path
        assert "format: benchleaf" not in told
    assert answer(address)[0] == 200
    for host in ("evil.example", "evil.example:80", "127.0.0.1.evil.example"):
        assert answer(address, host)[0] == 400
    for host in ("localhost:1", "127.0.0.1"):
        assert answer(address, host)[0] == 200


def test_what_can_not_be_listened_at_is_said(workspace, address):
    port = address.rstrip("/").rpartition(":")[2]
    for arguments, code, words in (
        (["--port", port], 3, f"port {port} of 127.0.0.1 can't be had"),
        (["--host", "0.0.0.0"], 2, "--host needs one address"),
        (["--port", "99999"], 2, "no port"),
        (["procedures/shop.yaml"], 2, "is no procedure"),
    ):
        command = [sys.executable, "-m", "benchleaf", "preview", *arguments]
        done = subprocess.run(command, cwd=workspace, capture_output=True, text=True)
        assert done.returncode == code and words in done.stderr
