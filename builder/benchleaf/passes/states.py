"""The energies of a machine file: every kind mentioned, sized, isolated by a real break and proved gone."""

from benchleaf.base.finding import Finding
from benchleaf.model.energy import Energy
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.passes.base import Common, Pass
from benchleaf.passes.states_rules import (
    BLIND_PROOF,
    CONTROL_AS_ISOLATION,
    KIND_UNMENTIONED,
    NO_ISOLATION,
    NO_PROOF,
    NO_PROVING_UNIT,
    NO_SIZE,
    NO_WAY_TO_RELIEVE,
    RULES,
)
from benchleaf.safety.naming import condition_name, energy_name, listed, spoken
from benchleaf.safety.presence import STORED, feeders, isolation
from benchleaf.safety.sizes import missing_sizes
from benchleaf.trade.hazards import KINDS


def common(common: Common) -> tuple[Finding, ...]:
    """What is wrong with the energies of one machine file."""
    machine = common.machine
    if machine is None:
        return ()
    found = [*_kinds(machine)]
    for key, energy in machine.energy.items():
        found += _sizes(machine, key, energy)
        found += _isolation(machine, key, energy)
        found += _proof(machine, key, energy, common.shop)
    return tuple(found)


def _kinds(machine: Machine) -> list[Finding]:
    described = {energy.kind.name for energy in machine.energy.values()}
    missing = [kind for kind in KINDS if kind not in described | {ref.name for ref in machine.energy_none}]
    if not missing:
        return []
    span = machine.energy_none[0].span if machine.energy_none else machine.id.span
    return [
        KIND_UNMENTIONED.at(
            span,
            f"The file says nothing about {listed(missing)}: does the machine hold such energy or not?",
            mend=f"Describe it under `energy`, or add to `energy_none`: {', '.join(missing)}.",
        )
    ]


def _sizes(machine: Machine, key: str, energy: Energy) -> list[Finding]:
    missing = missing_sizes(energy)
    if not missing:
        return []
    fields = listed([f"`{name}`" for name in missing])
    return [NO_SIZE.at(energy.span, f"The {energy_name(machine, key)} ({energy.kind.name}) lacks {fields}.")]


def _isolation(machine: Machine, key: str, energy: Energy) -> list[Finding]:
    found = []
    for setting in energy.isolate:
        condition = machine.conditions.get(setting.condition.name)
        if condition is not None and not condition.isolates:
            name = condition_name(machine, setting.condition.name)
            found.append(
                CONTROL_AS_ISOLATION.at(
                    setting.condition.span,
                    f"The {name} is no isolator: setting it to '{setting.value.name}' does not break the "
                    f"{energy_name(machine, key)}.",
                )
            )
    held = bool(energy.held_by) or energy.stays_live or energy.relieve is not None or energy.cools_in is not None
    if not isolation(machine, key) and not held:
        found.append(NO_ISOLATION.at(energy.span, f"Nothing takes the {energy_name(machine, key)} away."))
    if energy.kind.name in STORED and not _let_go(energy):
        found.append(
            NO_WAY_TO_RELIEVE.at(
                energy.span, f"The {energy_name(machine, key)} stays stored after isolation, and nothing lets it go."
            )
        )
    return found


def _let_go(energy: Energy) -> bool:
    own = (energy.relieve, energy.cools_in, energy.bleed if energy.kind.name == "capacitor" else None)
    return energy.stays_live or bool(energy.held_by) or any(each is not None for each in own)


def _proof(machine: Machine, key: str, energy: Energy, shop: Shop) -> list[Finding]:
    isolated = bool(isolation(machine, key)) and not energy.stays_live
    if not isolated or (energy.isolate and all(s.condition.name in machine.things for s in energy.isolate)):
        return []
    found = []
    proved = [key, *sorted(feeders(machine, key))]
    if not any(machine.energy[name].prove is not None for name in proved if name in machine.energy):
        found.append(NO_PROOF.at(energy.span, f"Nothing proves that the {energy_name(machine, key)} is gone."))
    prove = energy.prove
    if prove is not None and prove.measure:
        seen = {ref.name for ref in prove.sees}
        blind = [s.condition.name for s in energy.isolate if s.condition.name not in seen]
        if blind:
            names = listed([condition_name(machine, name) for name in blind])
            all_of_them = ", ".join(s.condition.name for s in energy.isolate)
            found.append(
                BLIND_PROOF.at(
                    prove.span,
                    f"The proof of the {energy_name(machine, key)} does not say that it would show the {names} left "
                    "in place.",
                    mend=f"If the reading would show it, write `sees: [{all_of_them}]`; if not, prove at other points.",
                )
            )
        if prove.measure in ("dc-voltage", "ac-voltage") and shop.proving_unit is None:
            found.append(
                NO_PROVING_UNIT.at(prove.span, f"Zero of the {spoken(key)} is proved by a tester that nothing proves.")
            )
    return found


STATES = Pass("states", RULES, common=common, by_class=True)
