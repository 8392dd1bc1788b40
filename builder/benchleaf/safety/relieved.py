"""Which stored energies have surely been let go since they were cut off, wherever a plan can stand."""

from collections.abc import Mapping, Sequence

from benchleaf.model.machine import Machine
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.paths import on_every_path
from benchleaf.safety.renewing import returning
from benchleaf.safety.weave import Run, Woven


def relieved(machine: Machine, runs: Sequence[Run]) -> Mapping[str, frozenset[str]]:
    """For each step and outcome the energies that every path to it has let go and not fed again since."""
    steps = {each.key: each for run in runs for each in run.steps}
    return on_every_path(
        {key: each.ways for key, each in steps.items()},
        next(iter(steps), ""),
        frozenset(machine.energy),
        lambda key, before: _after(machine, steps[key], before),
    )


def _after(machine: Machine, each: Woven, before: frozenset[str]) -> frozenset[str]:
    step = each.step
    if step is None:
        return before - returning(machine)
    if step.role in ("relieve", "wait"):
        return before | frozenset(step.energies)
    if step.role == "unlock":
        return frozenset(key for key in before if not set(needed_for(machine, key)) & set(step.locks))
    return before
