"""What stands in each inserted block: lockouts, proofs and returns of power for the place where they are needed."""

from collections.abc import Sequence
from functools import partial

from benchleaf.base.said import fill
from benchleaf.model.flow import Flow, Station, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted, Why
from benchleaf.model.procedure import Procedure
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.analysis import Analysis, Standing
from benchleaf.safety.blocks import access_steps, confirm, inspection, lock_steps, proof_steps
from benchleaf.safety.labels import Labels
from benchleaf.safety.locking import Lockout, lockout
from benchleaf.safety.naming import energy_name, listed
from benchleaf.safety.restoring import power_steps
from benchleaf.safety.sentences import say
from benchleaf.safety.valuation import Values, domains
from benchleaf.safety.weave import Blocks, Delta
from benchleaf.safety.wishes import LOCKED, POWER, batteries_at


def blocks_for(
    machine: Machine,
    shop: Shop,
    procedure: Procedure,
    flow: Flow,
    before: Analysis,
    labels: Labels,
    variant: Variant = EVERY,
) -> Blocks:
    """Makers of the inserted steps of one procedure for one class of machines."""
    own = {station.step.object.text for station in flow.stations if station.step.action.name in ("open", "remove")}
    anything = Standing(domains(machine), frozenset())

    def values(target: str) -> Values:
        return (before.before.get(target) or before.arriving.get(target) or anything).values

    def planned(target: str, delta: Delta) -> Lockout:
        near = _wanted(flow, labels, target, delta.lock)
        return lockout(machine, shop, labels.isolators, delta.lock, delta.already, near)

    def prove(target: str, delta: Delta) -> Sequence[Inserted]:
        reason = why(target, "energy.lockout")
        stations = _locked_on(flow, labels, target, delta.lock)
        batteries = sorted({key for station in stations for key in batteries_at(machine, station.step)})
        looks = inspection(machine, batteries if not outcome_of(target) else (), reason)
        return [*proof_steps(machine, shop, planned(target, delta), reason), *looks]

    def power(target: str, delta: Delta) -> Sequence[Inserted]:
        lock = lockout(machine, shop, labels.isolators, delta.unlock, delta.already)
        covers = tuple(name for name in lock.covers if name not in own)
        return power_steps(machine, procedure, lock, covers, why(target, "energy.power")) if _moves(lock) else ()

    why = partial(_why, machine, labels)
    first = Why("energy.confirm", say("why-confirm"))
    return Blocks(
        confirm=confirm(machine, procedure, first, variant),
        lock=lambda to, delta: lock_steps(
            machine, planned(to, delta), values(to), why(to, "energy.lockout"), not outcome_of(to)
        ),
        prove=prove,
        access=lambda to, delta: access_steps(machine, planned(to, delta), values(to), why(to, "energy.lockout")),
        power=power,
        returning=frozenset(key for key, energy in machine.energy.items() if energy.comes_back),
    )


def _wanted(flow: Flow, labels: Labels, target: str, names: frozenset[str]) -> frozenset[str]:
    """The energies near which work is done from the target on, for as long as one of these isolators stays locked."""
    wishes = [labels.wishes[station.key] for station in _locked_on(flow, labels, target, names)]
    return frozenset(key for each in wishes if each.label == LOCKED for key in each.energies)


def _locked_on(flow: Flow, labels: Labels, target: str, names: frozenset[str]) -> list[Station]:
    """The stations that can be reached from the target for as long as one of these isolators stays locked."""
    stations = {station.key: station for station in flow.stations}
    seen, stack = {target}, [target]
    while stack:
        station = stations.get(stack.pop())
        for way in station.ways if station is not None else ():
            if way.to not in seen and labels.at(way.to) & names:
                seen.add(way.to)
                stack.append(way.to)
    return [station for station in flow.stations if station.key in seen]


def _moves(lock: Lockout) -> bool:
    """Whether unlocking moves anything at all: what was only let go needs no way back."""
    return bool(lock.isolators or lock.things)


def _why(machine: Machine, labels: Labels, target: str, rule: str) -> Why:
    wish = labels.wishes.get(target)
    if wish is None or wish.label != (LOCKED if rule == "energy.lockout" else POWER):
        reason = say("why-later" if rule == "energy.lockout" else "why-later-power")
        return Why(rule, reason, target)
    names = [energy_name(machine, key) for key in wish.energies]
    sentence = fill("{why} ({energies})", why=wish.why, energies=listed(names)) if names else wish.why
    return Why(rule, sentence, target, energy=wish.energies[0] if wish.energies else "")
