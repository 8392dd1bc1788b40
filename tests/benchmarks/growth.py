"""How plan and proof of a procedure grow in cost with its steps and with the conditions of its machine.

Run `.venv/bin/python tests/benchmarks/growth.py`; each row is the median of several runs in one process, in
milliseconds of processor time, and the ratio to the row before. Steps and conditions double: a cost that grows with
their number doubles too; one that grew with the product of the conditions' values would square.
"""

import statistics
import time
from collections.abc import Callable
from typing import Any, NamedTuple

from benchleaf.card.compile import compile_card
from benchleaf.card.model import plain
from benchleaf.card.proof import verify_plain
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


class Cost(NamedTuple):
    """Milliseconds for the plan (analysis, insertion, warnings), and for the proof of the card that it makes."""

    plan: float
    proof: float

    @property
    def both(self) -> float:
        """Both together."""
        return self.plan + self.proof


def prepared(steps: int, conditions: int) -> tuple[Case, Facts]:
    """The case of such a procedure and its step graph."""
    shop, rig = record(SHOP, "shop"), record(machine(conditions), "machine")
    case = Case(shop, rig, record(procedure(steps, conditions), "procedure"))
    assert FLOW.run is not None
    return case, FLOW.run(case, Facts()).facts


def card_of(steps: int, conditions: int) -> dict[str, Any]:
    """The plain data of the card that is made of such a procedure."""
    case, facts = prepared(steps, conditions)
    assert SAFEGUARDS.run is not None
    card = compile_card(case, SAFEGUARDS.run(case, facts).facts)
    return {part: plain(getattr(card, part)) for part in ("facts", "hazards", "sections", "outcomes")}


def cost(steps: int, conditions: int) -> Cost:
    """Medians for such a procedure; the card between plan and proof is made and not timed."""
    case, facts = prepared(steps, conditions)
    plan, data = SAFEGUARDS.run, card_of(steps, conditions)
    assert plan is not None
    runs = RUNS if steps < 500 else 1
    return Cost(timed(lambda: plan(case, facts), runs), timed(lambda: verify_plain(data), runs))


def timed(work: Callable[[], Any], runs: int) -> float:
    """Median milliseconds of processor time."""
    taken = []
    for _ in range(runs):
        start = time.process_time()
        work()
        taken.append((time.process_time() - start) * 1000)
    return statistics.median(taken)


def row(steps: int, conditions: int, before: float) -> float:
    """Print one row and give what both took."""
    now = cost(steps, conditions)
    ratio = f"  x {now.both / before:.2f}" if before else ""
    print(
        f"{steps:5d} steps, {conditions:2d} conditions: plan {now.plan:8.1f}, proof {now.proof:8.1f}{ratio}", flush=True
    )
    return now.both


def main() -> None:
    """Print both tables."""
    now = cost(60, 12)
    print(f"60 steps, 12 conditions: {now.both:.1f} ms (target 50), of which the proof {now.proof:.1f} ms")
    before = 0.0
    for steps in (10, 20, 40, 80, 160, 320, 640, 1280, 1990):
        before = row(steps, 12, before)
    before = 0.0
    for conditions in (4, 8, 16, 32, 40):
        before = row(60, conditions, before)


if __name__ == "__main__":
    main()
