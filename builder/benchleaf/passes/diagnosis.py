"""Fault finding: each fault found, told apart from the others, and asked for in an order that saves time."""

from collections.abc import Iterator

from benchleaf.base.finding import Finding, Related
from benchleaf.model.matrix import FaultMatrix
from benchleaf.passes import diagnosis_rules as rules
from benchleaf.passes.base import Case, Facts, Pass, Result
from benchleaf.passes.diagnosis_matrix import matrix
from benchleaf.safety.naming import listed

FAULT_FINDING = "fault-finding"
# Savings below either are not worth a word: minutes, and share of the written average.
WORTH_MINUTES, WORTH_SHARE = 1.0, 0.10


def run(case: Case, facts: Facts) -> Result:
    """The faults that one procedure looks for."""
    if facts.flow is None or facts.planning is None or case.procedure.kind.name != FAULT_FINDING:
        return Result(facts)
    made = matrix(case, facts.flow, facts.planning, facts.expected)
    if made is None:
        return Result(facts)
    findings = (*_missed(case, made), *_alike(case, made), *_slow(case, made))
    return Result(facts._replace(matrix=made), findings)


def _missed(case: Case, made: FaultMatrix) -> Iterator[Finding]:
    for row in made.rows:
        if row.fault and row.ends and not row.found:
            outcome = next(
                (each for each in case.procedure.outcomes.values() if each.fault and each.fault.name == row.fault), None
            )
            if outcome is not None and outcome.fault is not None:
                way = "; ".join(f"{asks}: {answer}" for asks, answer in row.way)
                sentence = f"With the fault `{row.fault}` this card leads to the outcome `{row.ends}` ({way})."
                related = tuple(
                    Related(one.span, "It ends here.")
                    for key, one in case.procedure.outcomes.items()
                    if key == row.ends
                )
                yield rules.FAULT_MISSED.at(outcome.fault.span, sentence, related=related)


def _alike(case: Case, made: FaultMatrix) -> Iterator[Finding]:
    weights = {row.fault: row.weight for row in made.rows}
    for group in made.groups:
        faults = sorted((fault for fault in group if fault), key=lambda fault: -weights[fault])
        parts = {case.machine.faults[fault].part.name for fault in faults}
        if len(parts) > 1:
            names = listed([f"`{fault}`" for fault in faults])
            sentence = f"No question of this card tells {names} apart; by weight, look for them in this order."
            yield rules.FAULTS_ALIKE.at(case.procedure.steps[0].action.span, sentence)


def _slow(case: Case, made: FaultMatrix) -> Iterator[Finding]:
    saved = made.written - made.best
    if saved < max(WORTH_MINUTES, WORTH_SHARE * made.written):
        return
    asks = {column.station: column.asks for column in made.columns}
    order = "; ".join(f"{number}. {asks[key]}" for number, key in enumerate(made.order, 1))
    quality = "the best there is" if made.exact else "the best found"
    sentence = (
        f"As written, the fault is found in {made.written:.1f} min on average; another order takes "
        f"{made.best:.1f} min, {quality} (none can take less than {made.bound:.1f} min)."
    )
    yield rules.SLOW_ORDER.at(case.procedure.steps[0].action.span, sentence, mend=f"Ask in this order: {order}.")


DIAGNOSIS = Pass("diagnosis", rules.RULES, run=run, needs=("flow", "planning"), gives=("matrix",))
