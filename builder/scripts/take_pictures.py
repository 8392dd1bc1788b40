"""Takes the pictures of the README from the demo: a page of a bench card, and its checklist on a phone.

Run `.venv/bin/python builder/scripts/take_pictures.py` after a change of the theme; it needs pdftoppm, pdftotext and
Chromium, as the tests do. Both pictures show the same step: the first reading of the procedure.
"""

import io
import json
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from PIL import Image
from playwright.sync_api import ViewportSize, sync_playwright

from benchleaf.edge.cli import main as benchleaf

ROOT = Path(__file__).resolve().parents[2]
PICTURES = ROOT / ".pictures"
PROCEDURE = "rc-48/no-drive"
# Below the limit, so that the picture shows a verdict and where it leads.
SERIAL = "RC48-417"
READING = "49.8"
NOON = "2026-05-04T12:00:00"
PAGE_DPI = 110
PHONE: ViewportSize = {"width": 390, "height": 780}
PHONE_SCALE = 1.5
COLOURS = 128
MOST_BYTES = 200_000


def steps_of(card: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """The steps of a card in printing order."""
    return [step for section in card["sections"] for step in section["steps"]]


def first_reading(card: Mapping[str, Any]) -> Mapping[str, Any]:
    """The first step of a card that somebody wrote and at which something is read."""
    return next(step for step in steps_of(card) if step["reading"] and not step["inserted"])


def page_with(pdf: Path, command: str) -> int:
    """The number of the first page on which a command stands. ValueError where none does."""
    done = subprocess.run(["pdftotext", "-layout", pdf, "-"], capture_output=True, text=True, check=True)
    for number, text in enumerate(done.stdout.split("\f"), 1):
        if command in " ".join(text.split()):
            return number
    raise ValueError(f"no page of {pdf} holds: {command}")


def page_picture(pdf: Path, number: int) -> bytes:
    """A page as PNG."""
    command = ["pdftoppm", "-png", "-singlefile", "-r", str(PAGE_DPI), "-f", str(number), "-l", str(number), str(pdf)]
    return subprocess.run(command, capture_output=True, check=True).stdout


def phone_picture(checklist: Path, number: int) -> bytes:
    """A checklist on a phone as PNG, worked through as far as the reading of the step."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"), args=["--no-sandbox"])
        page = browser.new_page(viewport=PHONE, device_scale_factor=PHONE_SCALE, color_scheme="light")
        # The page shows when it last saved; pictures of one checklist are to be the same.
        page.clock.set_fixed_time(NOON)
        page.goto(checklist.as_uri())
        page.wait_for_selector("body[data-ready]")
        page.fill("[name=serial]", SERIAL)
        page.fill("[name=who]", "A. Finch")
        for box in page.query_selector_all("main > .about .require input"):
            box.check()
        page.click("#onward")
        while page.locator(f"#step-{number}.current:not(.unread)").count() == 0:
            if page.locator(".step.current:not(.unread) .way").count():
                page.check(".step.current .way input >> nth=0")
            page.click("#onward")
        page.fill(f"[name=read-{number}-0]", READING)
        page.wait_for_function("() => desk.allKept()")
        page.evaluate("document.activeElement.blur()")
        page.evaluate("scrollTo(0, 0)")
        taken = page.screenshot()
        browser.close()
    return taken


def small(png: bytes) -> bytes:
    """A picture with few colours. ValueError where it is still too large for a repository."""
    held = io.BytesIO()
    image = Image.open(io.BytesIO(png)).convert("RGB")
    image.quantize(COLOURS, dither=Image.Dither.NONE).save(held, "PNG", optimize=True)
    if held.tell() > MOST_BYTES:
        raise ValueError(f"{held.tell()} bytes are too many for a picture of the README")
    return held.getvalue()


def main() -> int:
    """Builds the procedure in a folder of its own and writes the pictures."""
    with tempfile.TemporaryDirectory() as folder:
        code = benchleaf(["build", str(ROOT / f"procedures/{PROCEDURE}.yaml"), "--out", folder])
        if code:
            return code
        made = Path(folder, PROCEDURE)
        step = first_reading(json.loads((made / "card.json").read_text("utf-8")))
        pictures = {
            "card.png": page_picture(made / "card.pdf", page_with(made / "card.pdf", step["command"])),
            "checklist.png": phone_picture(made / "checklist.html", step["number"]),
        }
    PICTURES.mkdir(exist_ok=True)
    for name, picture in pictures.items():
        (PICTURES / name).write_bytes(small(picture))
        print(f".pictures/{name}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
