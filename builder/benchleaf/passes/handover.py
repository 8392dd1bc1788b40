"""Going on with another card: the state in which one card leaves the machine is the one in which the next begins."""

from benchleaf.base.finding import Finding, Related
from benchleaf.model.flow import OUTCOME
from benchleaf.model.procedure import Procedure
from benchleaf.passes.base import Case, Facts, Pass, Result
from benchleaf.passes.handover_rules import NEXT_UNREADY, RULES
from benchleaf.safety.naming import condition_name, spoken
from benchleaf.safety.planning import Planning


def run(case: Case, facts: Facts) -> Result:
    """Hold the end of each outcome that names a next card against how that card begins."""
    planning = facts.planning
    if planning is None:
        return Result(facts)
    found: list[Finding] = []
    for key, outcome in case.procedure.outcomes.items():
        following = case.procedures.get(outcome.then.procedure.name) if outcome.then is not None else None
        if following is not None and following.steps and OUTCOME + key in planning.woven.arriving:
            found += _unready(case, planning, key, following)
    return Result(facts, tuple(found))


def _unready(case: Case, planning: Planning, key: str, following: Procedure) -> list[Finding]:
    outcome = case.procedure.outcomes[key]
    values = planning.leaving(case.machine, key) or {}
    locked = {ref.name for ref in following.locked}
    for setting in following.initial:
        name = setting.condition.name
        have = values.get(name)
        if have is None or name in locked or have == frozenset((setting.value.name,)):
            continue
        called, wanted = condition_name(case.machine, name), spoken(setting.value.name)
        stands = " or ".join(f"'{spoken(value)}'" for value in sorted(have))
        sentence = f"This card leaves the {called} at {stands}; `{following.id}` begins with it at '{wanted}'."
        assert outcome.then is not None
        return [
            NEXT_UNREADY.at(
                outcome.then.procedure.span,
                sentence,
                related=(Related(setting.condition.span, "the next card begins so"),),
            )
        ]
    return []


HANDOVER = Pass("handover", RULES, run=run, needs=("planning",))
