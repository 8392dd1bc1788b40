"""Prints how dear the tool is beside what it stands on: both sides in one run, interleaved, by medians.

    .venv/bin/python tests/benchmarks/ratios.py [ROUNDS] [PROCEDURE]

Targets: `--help` at most 5 times a bare Python start, `check` of one file at most 8 times, a card at most 1.1 times the
bare PDF library on the same page. A check is cold where it remembers nothing, and judges and keeps what it finds; warm
where it tells again what the last run kept; edited where a word more stands in one step, and all else is remembered.
Byte code is warm in each. The ratios count; the milliseconds are those of this machine in this hour. A script rather
than a test: a shared machine's noise must not turn a build red.
"""

import gc
import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Mapping
from itertools import cycle
from pathlib import Path
from types import MappingProxyType
from urllib.parse import unquote

from benchleaf.build import figures
from benchleaf.build.gather import gather
from benchleaf.build.judge import judge, shown
from benchleaf.build.request import Request, silence
from benchleaf.card.compile import compile_card
from benchleaf.card.model import Card

# Before the PDF library itself, since it settles which fonts that will see.
from benchleaf.render import html, pdf, signs, theme

# isort: split
import weasyprint
from weasyprint.urls import URLFetcher, URLFetcherResponse

ROOT = Path(__file__).resolve().parents[2]
COMMAND = Path(sys.executable).with_name("benchleaf")
# Byte code is kept, as it is for every user, even where this shell says otherwise (PYTHONDONTWRITEBYTECODE).
SURROUNDINGS = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}


def fresh(*command: str | Path, cwd: Path) -> Callable[[], None]:
    """A call that runs the command in a process of its own; it must succeed."""
    return lambda: void(
        subprocess.run(command, cwd=cwd, env=SURROUNDINGS, check=True, capture_output=True, stdin=subprocess.DEVNULL)
    )


def void(_: object) -> None:
    """Drops a result."""


def nothing() -> None:
    """Prepares nothing."""


def medians(
    sides: dict[str, Callable[[], None]],
    rounds: int,
    before: Mapping[str, Callable[[], None]] = MappingProxyType({}),
    clock: Callable[[], float] = time.perf_counter,
) -> dict[str, float]:
    """Median seconds of each side; the sides take turns, after one unmeasured round that warms the file cache.

    `before` is done ahead of a side, and not counted; `clock` tells seconds.
    """
    taken: dict[str, list[float]] = {name: [] for name in sides}
    for turn in range(rounds + 1):
        for name, side in sides.items():
            before.get(name, nothing)()
            start = clock()
            side()
            if turn:
                taken[name].append(clock() - start)
    return {name: statistics.median(times) for name, times in taken.items()}


def show(name: str, side: float, bare: float, target: float) -> None:
    """One line: the ratio, its target and whether it holds."""
    ratio = side / bare
    verdict = "holds" if ratio <= target else "MISSED"
    print(f"{name:28} {side * 1e3:8.1f} ms  / {bare * 1e3:6.1f} ms  = {ratio:5.2f}   target {target:4.2f}   {verdict}")


def words_of_a_step(path: Path) -> tuple[str, str]:
    """The text of a procedure before and after one more word in the first step that explains itself."""
    text = path.read_text("utf-8")
    before, key, after = text.partition("    info: ")
    assert key, f"no step of {path} has an `info`"
    return text, f"{before}{key}Now {after}"


def start_up(file: str, rounds: int) -> None:
    """`--help`, and `check` of one procedure of a copy of the workspace, beside a bare Python."""
    with tempfile.TemporaryDirectory() as place:
        shop = Path(place)
        shutil.copytree(ROOT / "procedures", shop / "procedures")
        turns = cycle(reversed(words_of_a_step(shop / file)))
        found = medians(
            {
                "bare": fresh(sys.executable, "-c", "pass", cwd=shop),
                "help": fresh(COMMAND, "--help", cwd=shop),
                "cold": fresh(COMMAND, "check", file, cwd=shop),
                "warm": fresh(COMMAND, "check", file, cwd=shop),
                "edited": fresh(COMMAND, "check", file, cwd=shop),
            },
            rounds,
            {
                "cold": lambda: shutil.rmtree(shop / ".benchleaf", ignore_errors=True),
                "edited": lambda: void((shop / file).write_text(next(turns), "utf-8")),
            },
        )
    show("benchleaf --help", found["help"], found["bare"], 5)
    show(f"check {Path(file).stem}, warm", found["warm"], found["bare"], 8)
    show(f"check {Path(file).stem}, cold", found["cold"], found["bare"], 8)
    show(f"check {Path(file).stem}, edited", found["edited"], found["bare"], 8)


class Served(URLFetcher):  # type: ignore[misc]
    """What the page refers to, served as plainly as can be."""

    def __init__(self, pictures: Mapping[str, bytes]) -> None:
        """Serve these pictures by file name."""
        super().__init__()
        self.pictures = pictures

    def fetch(self, url: str, headers: object = None) -> object:
        """A picture or a sign; anything else as usual."""
        kind, _, name = url.partition(":")
        if kind == "asset":
            return URLFetcherResponse(url, self.pictures[unquote(name)])
        if kind == "sign":
            return URLFetcherResponse(url, signs.drawing(name).encode(), {"Content-Type": "image/svg+xml"})
        return super().fetch(url, headers)


def compiled(file: str) -> tuple[Card, Mapping[str, bytes]]:
    """The card of a procedure of this workspace, and its pictures."""
    (found,) = cards((ROOT / file,))
    return found


def cards(paths: tuple[Path, ...]) -> Iterator[tuple[Card, Mapping[str, bytes]]]:
    """The cards of these procedures of this workspace with their pictures; without paths, all that it has."""
    shelf = gather(Request(ROOT, "2026-01-01", paths))
    for judged in judge(shelf, silence).judged:
        file = judged.standing.file
        assert judged.case is not None, f"{file} does not stand: see `benchleaf check {file}`"
        (machine,) = (folder for folder in shelf.survey.machines if folder.name == judged.key[0])
        yield compile_card(judged.case, judged.facts), figures.contents(machine, shown(judged.case.procedure, shelf))


def rendering(file: str, rounds: int) -> None:
    """A compiled card to its PDF, templates included, beside the PDF library on the same page; both warm."""
    card, pictures = compiled(file)
    look = theme.load()

    def ours() -> None:
        page = html.page(card, pictures, look)
        pdf.write_pdf(page, pictures, title=card.title, language=card.language)

    bare_page = html.page(card, pictures, look)

    def bare() -> None:
        weasyprint.HTML(string=bare_page, url_fetcher=Served(pictures)).write_pdf(pdf_variant="pdf/ua-1")

    gc.disable()
    found = medians({"ours": ours, "bare": bare}, rounds)
    show(f"card {card.id}", found["ours"], found["bare"], 1.1)


def main() -> None:
    """Runs all comparisons."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    file = sys.argv[2] if len(sys.argv) > 2 else "procedures/rc-48/no-drive.yaml"
    start_up(file, rounds)
    rendering(file, rounds)


if __name__ == "__main__":
    main()
