"""Kill a browser at random moments while somebody types into a checklist, and count what is lost.

Run it with `.venv/bin/python -m tests.benchmarks.kills --kills 200 --seed 1`. A line is what was lost, and how often; a
job keeps its promise where nobody loses more than the keystroke in progress. Exit code 1 says that it did not.
"""

import argparse
import random
import tempfile
import time
from collections import Counter
from contextlib import suppress
from pathlib import Path

from playwright.sync_api import BrowserType, TimeoutError, sync_playwright
from tests.browser.conftest import CARD, Hand
from tests.browser.test_kept_jobs import Phone
from tests.render.sample_cards import FIGURES

from benchleaf.render import html
from benchleaf.render.theme import load

# Between two strokes of a finger, and between the last one and the kill; seconds.
_STROKE = (0.03, 0.25)
_LAST = 0.03
_KEYS = 10
_TRIES = 3


def main() -> int:
    """Kill as often as asked, and print what was lost."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--kills", type=int, default=200)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as folder, sync_playwright() as playwright:
        lost = run(playwright.chromium, Path(folder), asked.kills, random.Random(asked.seed))
    print(f"seed {asked.seed}: {asked.kills} kills")
    for strokes, times in sorted(lost.items()):
        print(f"{times:5} times {strokes} keystrokes lost")
    return int(max(lost) > 1)


def run(kind: BrowserType, folder: Path, kills: int, chance: random.Random) -> Counter[int]:
    """How often how many keystrokes were lost."""
    path = folder / "checklist.html"
    path.write_text(html.checklist(CARD, FIGURES, load()), encoding="utf-8")
    lost: Counter[int] = Counter()
    phone = _phone(kind, folder)
    try:
        hand = Hand(phone.open(path)).begin().on(2)
        for _ in range(kills):
            hand.page.fill("[name=read-2-0]", "")
            hand.page.wait_for_function("() => desk.allKept()")
            typed = _type(hand, chance)
            phone.kill()
            phone = _phone(kind, folder)
            hand = Hand(phone.open(path))
            found = hand.page.input_value("[name=read-2-0]")
            assert typed.startswith(found), f"{found!r} is no beginning of {typed!r}"
            lost[len(typed) - len(found)] += 1
    finally:
        phone.kill()
    return lost


def _type(hand: Hand, chance: random.Random) -> str:
    """Types digits at the pace of a person, without waiting for anything to be kept."""
    typed = ""
    hand.page.focus("[name=read-2-0]")
    for place in range(chance.randint(1, _KEYS)):
        if place:
            time.sleep(chance.uniform(*_STROKE))
        digit = chance.choice("0123456789")
        hand.page.keyboard.type(digit)
        typed += digit
    time.sleep(chance.random() * _LAST)
    return typed


def _phone(kind: BrowserType, folder: Path) -> Phone:
    """A browser on the same memory; now and then one that finds the remains of a killed one takes no commands."""
    for _ in range(_TRIES):
        phone = Phone(folder / "profile")
        with suppress(TimeoutError):
            phone.connect(kind)
            return phone
        phone.kill()
    raise AssertionError("no browser takes commands")


if __name__ == "__main__":
    raise SystemExit(main())
