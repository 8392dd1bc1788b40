"""How the plan of a procedure grows in cost with its steps and with the conditions of its machine.

Run `.venv/bin/python tests/benchmarks/growth.py`; each row is the median of several runs in one process, in
milliseconds of processor time, and the ratio to the row before. Steps and conditions double: a cost that grows with
their number doubles too; one that grew with the product of the conditions' values would square.
"""

import statistics
import time
from typing import Any

from benchleaf.model.assemble import assemble
from benchleaf.passes.base import Case, Facts
from benchleaf.passes.flow import FLOW
from benchleaf.passes.safeguards import SAFEGUARDS
from benchleaf.source.tree import read

SHOP = "format: benchleaf/shop/1\nname: shop\nproving_unit: {name: proving unit, range: 12 V to 690 V}\n"
RUNS = 5


def machine(conditions: int) -> str:
    """A machine with so many conditions: two isolators, the rest what decides about twelve energies."""
    lines = [
        "format: benchleaf/machine/1",
        "id: rig",
        "name: rig",
        "maker: Marram Works",
        "serials: {prefix: R-, from: 1}",
    ]
    lines += ["conditions:"]
    for name in ("main", "aux"):
        lines.append(
            f"  {name}: {{values: [on, off], initial: on, by: person, isolates: true, lock: padlock, place: left}}"
        )
    for place in range(conditions - 2):
        follows = "" if place % 3 else f", follows: [{{is: b, when: {{c{place + 1}: b}}}}, {{is: a}}]"
        lines.append(f"  c{place}: {{values: [a, b, c], initial: a, by: machine{follows}}}")
    lines.append(f"  c{conditions - 2}: {{values: [a, b, c], initial: a, by: person}}")
    lines += ["energy_none: [mains]", "energy:"]
    for place in range(12):
        breaks = "main" if place % 2 else "aux"
        lines.append(
            f"  e{place}: {{kind: dc, highest: 60 V, when: {{c{place % (conditions - 2)}: [a, b]}}, "
            f"isolate: {{{breaks}: off}}, prove: {{measure: dc-voltage, between: [[A, B]], below: 5 V, "
            f"sees: [{breaks}]}}}}"
        )
    lines += ["parts:"] + [
        f"  p{place}: {{name: part {place}, exposes: [{{energy: e{place}}}]}}" for place in range(12)
    ]
    return "\n".join(lines) + "\n"


def procedure(steps: int, conditions: int) -> str:
    """A procedure of so many steps: work with hands, operating and looking in turn, with a loop back in every tenth."""
    lines = [
        "format: benchleaf/procedure/1",
        "id: trial",
        "title: Trial",
        "kind: inspection",
        "machine: rig",
        "revision: A",
    ]
    lines += ["changed: {kind: technical, reason: new}", "purpose: Try.", "crew: {technician: electrical}"]
    lines += ["initial: {main: on, aux: on}", "steps:"]
    for place in range(steps):
        kind = place % 10
        if kind < 4:
            lines.append(f"  - clean: p{place % 12}\n    id: s{place}")
        elif kind == 9 and place:
            back = f"{{go: s{place - 9}, at_most: 1}}"
            lines.append(f"  - ask: Is it clean?\n    id: s{place}\n    answers: {{yes: next, no: {back}}}")
        else:
            value = "ab"[place % 2]
            lines.append(
                f"  - operate: Press the button.\n    id: s{place}\n    sets: {{c{place % (conditions - 2)}: {value}}}"
            )
    lines.append("  - look: See that it is clean.\n    then: {found: done}")
    lines += ["outcomes:", "  done: {text: Done., leave: as-final}", "final: {main: on, aux: on}"]
    return "\n".join(lines) + "\n"


def record(text: str, kind: str) -> Any:
    """The record of a file's text."""
    node = read(text, "trial.yaml").node
    assert node is not None
    return assemble(node, kind).record


def cost(steps: int, conditions: int) -> float:
    """Median milliseconds of planning (analysis, insertion, warnings) for such a procedure."""
    shop, rig = record(SHOP, "shop"), record(machine(conditions), "machine")
    trial = record(procedure(steps, conditions), "procedure")
    assert FLOW.run is not None and SAFEGUARDS.run is not None
    case = Case(shop, rig, trial)
    facts = FLOW.run(case, Facts()).facts
    taken = []
    for _ in range(RUNS if steps < 500 else 1):
        start = time.process_time()
        SAFEGUARDS.run(case, facts)
        taken.append((time.process_time() - start) * 1000)
    return statistics.median(taken)


def main() -> None:
    """Print both tables."""
    print(f"60 steps, 12 conditions: {cost(60, 12):.1f} ms (target 50)")
    before = 0.0
    for steps in (10, 20, 40, 80, 160, 320, 640, 1280, 1990):
        now = cost(steps, 12)
        print(f"{steps:5d} steps, 12 conditions: {now:8.1f} ms" + (f"  x {now / before:.2f}" if before else ""))
        before = now
    before = 0.0
    for conditions in (4, 8, 16, 32, 40):
        now = cost(60, conditions)
        print(f"   60 steps, {conditions:2d} conditions: {now:8.1f} ms" + (f"  x {now / before:.2f}" if before else ""))
        before = now


if __name__ == "__main__":
    main()
