"""How long an edit takes until it shows in the preview, and how much of that is work of the server.

Run `.venv/bin/python tests/benchmarks/preview.py`. It edits the title of a demo procedure of some fifteen written steps
and waits until the card, then the checklist, says it. Times are those of one machine in one hour, and grow with what
else it does: the processor time of the server does not, and the load is told beside them. An edit belongs on the screen
within 300 ms.
"""

import os
import re
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import Page, sync_playwright

ROOT = Path(__file__).resolve().parents[2]
PROCEDURE = "rc-48/contactor-replace"
EDITS = 12
QUIET = ["--no-sandbox", "--disable-background-networking"]
SAYS = """([title, words]) => {
    const body = document.querySelector(`iframe[title^=${title}]`)?.contentDocument?.body;
    return Boolean(body && body.innerText.includes(words));
}"""


def main() -> None:
    """Edit, watch and print."""
    with tempfile.TemporaryDirectory() as folder:
        workspace = Path(folder)
        shutil.copytree(ROOT / "procedures", workspace / "procedures")
        command = [sys.executable, "-m", "benchleaf", "preview", "--port", "0"]
        environment = {**os.environ, "PYTHONPATH": str(ROOT / "builder")}
        pipe = subprocess.PIPE
        with subprocess.Popen(command, cwd=workspace, env=environment, stdout=pipe, stderr=pipe, text=True) as server:
            try:
                assert server.stdout
                watch(server.stdout.readline().strip(), workspace / f"procedures/{PROCEDURE}.yaml", server.pid)
            finally:
                server.send_signal(signal.SIGINT)


def watch(address: str, path: Path, server: int) -> None:
    """Print the medians over some edits."""
    good = path.read_text("utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=QUIET)
        page = browser.new_page(viewport={"width": 1600, "height": 1000})
        page.goto(address + PROCEDURE)
        page.wait_for_selector("iframe[title^=Checklist]")
        edit(page, path, good, "to warm up")
        before = work(server)
        times = [edit(page, path, good, f"Edit {turn} now") for turn in range(EDITS)]
        each = (work(server) - before) / EDITS
        browser.close()
    for place, name in enumerate(("card", "checklist")):
        print(f"{name:10} {statistics.median(one[place] for one in times) * 1000:6.0f} ms after the save")
    print(f"{'server':10} {each * 1000:6.0f} ms of processor time for each edit")
    print(f"{'load':10} {os.getloadavg()[0]:6.1f} on {os.cpu_count()} processors")


def edit(page: Page, path: Path, good: str, words: str) -> tuple[float, float]:
    """Seconds from the save until card and checklist say the words."""
    start = time.perf_counter()
    path.write_text(re.sub(r"^title: .*$", f"title: {words}", good, count=1, flags=re.M), "utf-8")
    seen = []
    for title in ("Card", "Checklist"):
        page.wait_for_function(SAYS, arg=[title, words], polling=10)
        seen.append(time.perf_counter() - start)
    time.sleep(0.3)
    return seen[0], seen[1]


def work(process: int) -> float:
    """Seconds of processor time that the process has taken so far."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


if __name__ == "__main__":
    main()
