"""Proofs of zero, held against the circuit with one isolator not moved: the proof has to see that."""

from collections.abc import Iterator

from benchleaf.base.finding import Finding, Related
from benchleaf.model.energy import Energy, Prove
from benchleaf.model.machine import Machine
from benchleaf.passes import circuits_rules as rules
from benchleaf.passes.circuits_build import definite, network
from benchleaf.passes.circuits_points import VOLTAGE, proofs
from benchleaf.safety.naming import condition_name, energy_name
from benchleaf.safety.valuation import Values, domains
from benchleaf.trade.network import Trouble
from benchleaf.trade.network_read import Reading, read
from benchleaf.trade.reckoned import amount

# How much more than its threshold a proof has to show when it ought to fail.
CLEAR = 2.0


def blind(machine: Machine) -> Iterator[Finding]:
    """Proofs that still show zero with one of the isolators in its working place."""
    for key, prove, pairs in proofs(machine):
        energy = machine.energy[key]
        below = prove.below.quantity.number() if prove.below else 0.0
        for setting in energy.isolate:
            name = setting.condition.name
            if name not in machine.conditions:
                continue
            shown = max(
                (
                    _highest(machine, pairs, _left(machine, energy, name, value.name))
                    for value in machine.conditions[name].values
                    if value.name != setting.value.name
                ),
                default=float("inf"),
            )
            if shown < CLEAR * below:
                yield _finding(machine, key, prove, name, shown)


def _finding(machine: Machine, key: str, prove: Prove, name: str, shown: float) -> Finding:
    sentence = (
        f"With the {condition_name(machine, name)} left in place this proof shows at most {amount(shown, 'V')}; "
        f"it must show at least twice {prove.below} to tell that the {energy_name(machine, key)} is still there."
    )
    related = (Related(machine.circuit.span, "The circuit stands here."),) if machine.circuit else ()
    return rules.PROOF_CANNOT_FAIL.at(prove.span, sentence, related=related)


def _left(machine: Machine, energy: Energy, name: str, value: str) -> Values:
    """All isolators moved but one; whatever else there is stands as the machine file begins."""
    values = dict(domains(machine))
    for condition, declared in machine.conditions.items():
        if declared.initial is not None:
            values[condition] = frozenset((declared.initial.name,))
    for setting in energy.isolate:
        values[setting.condition.name] = frozenset((setting.value.name,))
    values[name] = frozenset((value,))
    return definite(machine, values)


def _highest(machine: Machine, pairs: tuple[tuple[str, str], ...], values: Values) -> float:
    """The largest voltage between the points of a proof; infinite where the circuit has no answer."""
    drawn = network(machine, values)
    shown = [read(drawn, Reading(VOLTAGE, one, other)) for one, other in pairs]
    return max(float("inf") if isinstance(each, Trouble) else abs(each.value) for each in shown)
