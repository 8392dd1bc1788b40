"""Print what became of every mutant, operator by operator; `--every N` takes every Nth place, `--machine ID` one.

Run `.venv/bin/python tests/mutants/table.py`. The last line counts what was missed, which must be nothing.
"""

import argparse
import sys
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.mutants import bench, cards, machines, procedures  # its folder is not on the path before

OUTCOMES = ("caught", "insertion", "harmless", "named", "missed")


def main() -> int:
    """Print the tables; 1 where a mutant was missed."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--every", type=int, default=1)
    parser.add_argument("--machine", default="")
    parser.add_argument("--verbose", action="store_true")
    parser.add_argument("--only", choices=("procedures", "machine files", "cards"), default="")
    asked = parser.parse_args()
    trues = [true for true in bench.cases() if asked.machine in true.name]
    missed = 0
    for title, counted in (
        ("procedures", procedures_of(trues, asked.every)),
        ("machine files", machines_of(trues, asked.every)),
        ("cards", cards_of(trues, asked.every)),
    ):
        if asked.only not in ("", title):
            continue
        print(f"\n{title:40s}" + "".join(f"{name:>10s}" for name in OUTCOMES), flush=True)
        for operator, verdicts in counted:
            count = Counter(verdict.outcome for _, verdict in verdicts)
            missed += count["missed"]
            print(f"{operator:40s}" + "".join(f"{count[name]:10d}" for name in OUTCOMES), flush=True)
            for place, verdict in verdicts:
                if verdict.outcome == "missed" or asked.verbose:
                    print(f"    {verdict.outcome:10s} {place}: {verdict.why[:150]}", flush=True)
    print(f"\nmissed: {missed}")
    return 1 if missed else 0


def procedures_of(trues, every):
    """Each operator on procedures with its verdicts."""
    for operator, mutants in procedures.OPERATORS.items():
        every_one = ((true, place, one) for true in trues for place, one in mutants(true.case.procedure))
        chosen = [one for at, one in enumerate(every_one) if at % every == 0]
        yield (
            operator,
            [
                (f"{true.name}, {place}", bench.of_procedure(true, true.case._replace(procedure=one)))
                for true, place, one in chosen
            ],
        )


def machines_of(trues, every):
    """Each operator on machine files with its verdicts."""
    for operator, mutants in machines.OPERATORS.items():
        every_one = ((true, place, one) for true in trues for place, one in mutants(true.case.machine))
        chosen = [one for at, one in enumerate(every_one) if at % every == 0]
        yield (
            operator,
            [
                (f"{true.name}, {place}", bench.of_machine(true, true.case._replace(machine=one)))
                for true, place, one in chosen
            ],
        )


def cards_of(trues, every):
    """Each operator on cards with its verdicts."""
    for operator, mutants in cards.OPERATORS.items():
        every_one = ((true, place, one) for true in trues for place, one in mutants(true.card))
        chosen = [one for at, one in enumerate(every_one) if at % every == 0]
        yield (
            operator,
            [(f"{true.name}, {place}", cards.verdict(true.card, one, operator)) for true, place, one in chosen],
        )


if __name__ == "__main__":
    sys.exit(main())
