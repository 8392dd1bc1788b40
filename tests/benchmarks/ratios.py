"""Prints how dear the tool is beside what it stands on: both sides in one run, interleaved, by medians.

    .venv/bin/python tests/benchmarks/ratios.py [ROUNDS]

Targets: `--help` at most 5 times a bare Python start, `check` of one file at most 8 times, a card at most 1.1 times the
bare PDF library on the same page. The ratios count; the milliseconds are those of this machine in this hour. A script
rather than a test: a shared machine's noise must not turn a build red.
"""

import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COMMAND = Path(sys.executable).with_name("benchleaf")


def fresh(*command: str | Path, cwd: Path) -> Callable[[], None]:
    """A call that runs the command in a process of its own; it must succeed."""
    return lambda: void(subprocess.run(command, cwd=cwd, check=True, capture_output=True, stdin=subprocess.DEVNULL))


def void(_: object) -> None:
    """Drops a result."""


def medians(sides: dict[str, Callable[[], None]], rounds: int) -> dict[str, float]:
    """Median seconds of each side; the sides take turns, after one unmeasured round that warms the file cache."""
    taken: dict[str, list[float]] = {name: [] for name in sides}
    for turn in range(rounds + 1):
        for name, side in sides.items():
            start = time.perf_counter()
            side()
            if turn:
                taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(times) for name, times in taken.items()}


def show(name: str, side: float, bare: float, target: float) -> None:
    """One line: the ratio, its target and whether it holds."""
    ratio = side / bare
    verdict = "holds" if ratio <= target else "MISSED"
    print(f"{name:28} {side * 1e3:8.1f} ms  / {bare * 1e3:6.1f} ms  = {ratio:5.2f}   target {target:4.2f}   {verdict}")


def start_up(rounds: int) -> None:
    """`--help`, and `check` of one procedure of a new workspace, beside a bare Python."""
    with tempfile.TemporaryDirectory() as place:
        shop = Path(place) / "shop"
        shutil.copytree(ROOT / "procedures", shop / "procedures")
        file = next(path for path in sorted((shop / "procedures").rglob("*.yaml")) if is_procedure(path))
        found = medians(
            {
                "bare": fresh(sys.executable, "-c", "pass", cwd=shop),
                "help": fresh(COMMAND, "--help", cwd=shop),
                "check": fresh(COMMAND, "check", file, cwd=shop),
            },
            rounds,
        )
    show("benchleaf --help", found["help"], found["bare"], 5)
    show(f"benchleaf check {file.name}", found["check"], found["bare"], 8)


def is_procedure(path: Path) -> bool:
    """Whether the file says that it is a procedure."""
    return "format: benchleaf/procedure/" in path.read_text("utf-8")


def main() -> None:
    """Runs all comparisons."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 21
    start_up(rounds)


if __name__ == "__main__":
    main()
