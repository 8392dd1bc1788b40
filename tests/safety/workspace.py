"""The demo workspace as records, and the plan of each of its procedures."""

from functools import cache
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.model import only
from benchleaf.model.assemble import assemble
from benchleaf.model.flow import Flow
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Plan, Planned
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.shop import Shop
from benchleaf.model.variants import variants
from benchleaf.passes.base import Case, Facts
from benchleaf.passes.flow import FLOW
from benchleaf.passes.safeguards import SAFEGUARDS
from benchleaf.source.tree import read

ROOT = Path(__file__).parents[2] / "procedures"


class Demo(NamedTuple):
    """All records of the demo."""

    shop: Shop
    blocks: dict[str, Block]
    machines: dict[str, Machine]
    procedures: dict[str, Procedure]


class Planned1(NamedTuple):
    """One procedure with its plan and what the pass found."""

    case: Case
    flow: Flow
    plan: Plan
    findings: tuple[Finding, ...]

    @property
    def steps(self) -> tuple[Planned, ...]:
        """All steps in printing order."""
        return tuple(step for section in self.plan.sections for step in section.steps)


def record(text: str, kind: str, file: str = "test.yaml") -> object:
    """A record from YAML text."""
    node = read(text, file).node
    assert node is not None
    bound = assemble(node, kind)
    assert bound.record is not None, text
    return bound.record


@cache
def demo() -> Demo:
    """The demo workspace."""

    def load(path: Path, kind: str) -> object:
        return record(path.read_text(encoding="utf-8"), kind, path.relative_to(ROOT.parent).as_posix())

    machines, procedures = {}, {}
    for file in sorted(ROOT.glob("*/machine.yaml")):
        machines[file.parent.name] = load(file, "machine")
        for other in sorted(file.parent.glob("*.yaml")):
            if other != file:
                procedures[other.stem] = load(other, "procedure")
    blocks = {path.stem: load(path, "block") for path in sorted((ROOT / "common").glob("*.yaml"))}
    return Demo(load(ROOT / "shop.yaml", "shop"), blocks, machines, procedures)  # type: ignore[arg-type]


def plan_of(shop: Shop, machine: Machine, procedure: Procedure, blocks: dict[str, Block] | None = None) -> Planned1:
    """Unfold and plan a procedure."""
    assert FLOW.run is not None and SAFEGUARDS.run is not None
    case = Case(shop, machine, procedure, blocks or {}, {})
    flow = FLOW.run(case, Facts())
    assert flow.facts.flow is not None, flow.findings
    planned = SAFEGUARDS.run(case, flow.facts)
    assert planned.facts.plan is not None
    return Planned1(case, flow.facts.flow, planned.facts.plan, planned.findings)


@cache
def plan_of_demo(name: str) -> Planned1:
    """The plan of a demo procedure, `ID`, or of one for a class of machines, `ID KEY`."""
    all_of_it = demo()
    key, _, of = name.partition(" ")
    procedure = all_of_it.procedures[key]
    machine, blocks = all_of_it.machines[procedure.machine.name], all_of_it.blocks
    (variant,) = (each for each in variants(machine, procedure, blocks) if each.key == of)
    return plan_of(
        all_of_it.shop,
        only.machine(variant, machine),
        only.procedure(variant, procedure, machine),
        dict(only.blocks(variant, blocks, machine)),
    )


@cache
def demo_names() -> list[str]:
    """The ids of all demo procedures, with a key where there are classes of machines."""
    all_of_it = demo()
    return sorted(
        f"{name} {variant.key}".strip()
        for name, procedure in all_of_it.procedures.items()
        for variant in variants(all_of_it.machines[procedure.machine.name], procedure, all_of_it.blocks)
    )
