"""Which stored energies have surely been let go since they were cut off, wherever a plan can stand."""

from collections.abc import Mapping, Sequence

from benchleaf.model.machine import Machine
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.weave import Run, Woven


def relieved(machine: Machine, runs: Sequence[Run]) -> Mapping[str, frozenset[str]]:
    """For each step and outcome the energies that every path to it has let go and not fed again since.

    Solved to the greatest fixed point, as available expressions are.
    """
    steps = [each for run in runs for each in run.steps]
    everything = frozenset(machine.energy)
    known = {each.key: everything for each in steps}
    if steps:
        known[steps[0].key] = frozenset()
    changed = True
    while changed:
        changed = False
        arriving: dict[str, frozenset[str]] = {}
        for each in steps:
            after = _after(machine, each, known[each.key])
            for way in each.ways:
                arriving[way.to] = arriving[way.to] & after if way.to in arriving else after
        for key, new in arriving.items():
            if key != steps[0].key and new != known.get(key):
                known[key], changed = new, True
    return known


def _after(machine: Machine, each: Woven, before: frozenset[str]) -> frozenset[str]:
    step = each.step
    if step is None:
        return before
    if step.role == "relieve":
        return before | frozenset(step.energies)
    if step.role == "unlock":
        return frozenset(key for key in before if not set(needed_for(machine, key)) & set(step.locks))
    return before
