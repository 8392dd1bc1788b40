"""How long steps take: as the writer says, else as a table of usual times has it."""

import json
from functools import cache
from typing import Any

from benchleaf.base.resources import table_text
from benchleaf.model.plan import Inserted
from benchleaf.model.procedure import Step
from benchleaf.safety.planning import Planning

ISOLATION, POWER = "isolation", "power"


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("passes", "diagnosis_minutes.json"))
    return table


def minutes(step: Step) -> float:
    """The minutes of a written step; a step that says nothing takes as long as it lasts, or a usual time."""
    if step.time is not None:
        return step.time.quantity.number("min")
    lasting = step.for_ or (step.while_.for_ if step.while_ is not None else None)
    usual = float(_table()["steps"].get(step.action.name, _table()["step"]))
    return max(usual, lasting.quantity.number("min")) if lasting is not None else usual


def of_inserted(step: Inserted) -> float:
    """The minutes of a step that was put in: its wait, or a usual time by its role."""
    return max(step.wait / 60, float(_table()["roles"].get(step.role, _table()["step"])))


def changes(planning: Planning) -> dict[tuple[str, str], float]:
    """The minutes from power to lockout and back, as the plan puts them in (the mean of several)."""
    sums: dict[str, list[float]] = {ISOLATION: [], POWER: []}
    for section in planning.plan.sections:
        if section.kind in sums:
            sums[section.kind].append(sum(of_inserted(each.inserted) for each in section.steps if each.inserted))
    mean = {kind: sum(found) / len(found) if found else 0.0 for kind, found in sums.items()}
    return {(POWER, ISOLATION): mean[ISOLATION], (ISOLATION, POWER): mean[POWER]}
