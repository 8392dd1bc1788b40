"""The preview in a browser: each save shows, a broken file keeps the last good page, nothing else is served."""

import shutil
import signal
import subprocess
import sys
import urllib.error
import urllib.request
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def workspace(tmp_path):
    """A new workspace, laid out by `begin`."""
    done = subprocess.run([sys.executable, "-m", "benchleaf", "begin", "workshop"], cwd=tmp_path, capture_output=True)
    assert done.returncode == 0
    return tmp_path / "workshop"


@pytest.fixture
def address(workspace):
    """Where the preview of the workspace runs."""
    server = subprocess.Popen(
        [sys.executable, "-m", "benchleaf", "preview", "--port", "0"],
        cwd=workspace,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    told = server.stdout.readline().strip()
    assert told.startswith("http://127.0.0.1:"), server.stderr.read()
    yield told
    server.send_signal(signal.SIGINT)
    out, err = server.communicate(timeout=10)
    assert (server.returncode, out) == (0, "")
    assert err == "benchleaf: open this address in a browser; Ctrl+C ends the preview.\n"


@pytest.fixture
def page(browser, address):
    """The first procedure in the preview."""
    found = browser.new_page()
    found.set_default_timeout(8_000)
    errors = []
    found.on("pageerror", lambda error: errors.append(str(error)))
    found.goto(f"{address}df-1/filter-clean")
    found.wait_for_selector("iframe[title^=Checklist]")
    yield found
    found.close()
    assert errors == []


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
    assert card(page).get_by_text("Clean the filter").count() > 0
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
    assert card(page).locator(".refusal").count() == 0


def test_the_plan_of_a_fault_search_stands_beside_its_card(workspace, browser, address):
    shutil.copytree(ROOT / "procedures/ht-600", workspace / "procedures/ht-600")
    shutil.copytree(ROOT / "procedures/common", workspace / "procedures/common", dirs_exist_ok=True)
    shutil.copy(ROOT / "procedures/shop.yaml", workspace / "procedures/shop.yaml")
    page = browser.new_page()
    page.goto(f"{address}ht-600/no-lift")
    page.wait_for_selector("iframe[title^=Plan]")
    page.frame_locator("iframe[title^=Plan]").locator("svg").first.wait_for()
    assert page.locator("#frames figcaption").all_inner_texts() == [
        "Card, not yet in pages", "Checklist", "Plan", "Trace"
    ]  # fmt: skip
    page.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_no_barrier_is_found_with_and_without_findings(workspace, browser, address, scheme):
    context = browser.new_context(bypass_csp=True, color_scheme=scheme)
    page = context.new_page()
    path = workspace / "procedures/df-1/filter-clean.yaml"
    rules = {"runOnly": ["wcag2a", "wcag2aa", "wcag21aa"], "iframes": False}
    for words in ("lid", "lidd"):
        path.write_text(path.read_text("utf-8").replace("  - open: lid\n", f"  - open: {words}\n"), "utf-8")
        for place in ("df-1/filter-clean", ""):
            page.goto(address + place)
            page.wait_for_selector("h1")
            found = Axe().run(page, options=rules).response["violations"]
            assert [f"{each['id']}: {each['nodes'][0]['html'][:90]}" for each in found] == []
    context.close()


def test_a_renamed_file_is_told_and_a_burst_of_edits_ends_in_the_last_one(workspace, page):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    good = path.read_text("utf-8")
    path.rename(path.with_name("other.yaml"))
    page.wait_for_selector(".told.error")
    assert "procedures/df-1/filter-clean.yaml" in page.inner_text("#told")
    assert card(page).get_by_text("Clean the filter").count() > 0
    path.with_name("other.yaml").rename(path)
    page.wait_for_function("() => !document.querySelector('.told.error')")
    for turn in range(40):
        path.write_text(good.replace("title: Clean the filter", f"title: Clean the filter {turn}"), "utf-8")
    page.wait_for_function("() => document.title.includes('Clean the filter 39')")


def test_the_list_says_what_is_stopped_by_what(workspace, browser, address):
    path = workspace / "procedures/df-1/filter-clean.yaml"
    path.write_text(path.read_text("utf-8").replace("  - open: lid\n", "  - open: lidd\n"), "utf-8")
    page = browser.new_page()
    page.goto(address)
    told = page.inner_text("#told")
    assert told.startswith("df-1/filter-clean stopped by ") and "names.unknown-" in told
    page.close()


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
