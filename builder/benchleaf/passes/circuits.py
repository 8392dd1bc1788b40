"""Circuits: readings that follow from the machine, held against limits, proofs and faults that the files write.

Nothing here loads the solver; it comes only where a machine has a circuit and something reads it.
"""

from benchleaf.base.finding import Finding
from benchleaf.passes import circuits_rules as rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.circuits_build import wrong
from benchleaf.passes.circuits_points import computable, proofs
from benchleaf.passes.circuits_unknown import unknown

NAME = "circuits"


def run(case: Case, facts: Facts) -> Result:
    """Hold one procedure against its machine's circuit."""
    machine = case.machine
    if facts.flow is None or facts.planning is None:
        return Result(facts)
    stations = facts.flow.stations
    solvable = machine.circuit is not None and not any(wrong(machine))
    if not solvable or not any(computable(machine, station.step) for station in stations):
        return Result(facts, tuple(unknown(machine, stations, {})))
    from benchleaf.passes.circuits_hold import hold

    expected, findings = hold(case, facts.flow, facts.planning)
    return Result(facts._replace(expected=expected), findings)


def common(common: Common) -> tuple[Finding, ...]:
    """The circuit of a machine file by itself, and the proofs of zero that it lets fail or not."""
    machine = common.machine
    if machine is None or machine.circuit is None:
        return ()
    found = tuple(wrong(machine))
    if found or not any(proofs(machine)):
        return found
    from benchleaf.passes.circuits_proofs import blind

    return tuple(blind(machine))


CIRCUITS = Pass(NAME, rules.RULES, run=run, common=common, needs=("flow", "planning"), gives=("expected",))
