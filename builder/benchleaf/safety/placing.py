"""What stands in each inserted block: lockouts, proofs and returns of power for the place where they are needed."""

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import NamedTuple

from benchleaf.base.said import fill
from benchleaf.model.flow import Flow, Station, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted, Why
from benchleaf.model.procedure import Procedure
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.analysis import Analysis
from benchleaf.safety.blocks import access_steps, confirm, inspection, lock_steps, polarity_steps, proof_steps
from benchleaf.safety.effects import moves
from benchleaf.safety.isolators import needed_for
from benchleaf.safety.labels import Labels
from benchleaf.safety.locking import Lockout, lockout, narrowed
from benchleaf.safety.naming import energy_name, listed
from benchleaf.safety.renewing import before_hands, proved_anew, returning
from benchleaf.safety.restoring import power_steps
from benchleaf.safety.sentences import say
from benchleaf.safety.valuation import Values, domains
from benchleaf.safety.weave import Blocks, Delta
from benchleaf.safety.wishes import LOCKED, POWER, batteries_at


class _Maker(NamedTuple):
    """Makes the inserted steps of one procedure for one class of machines.

    `owing` are the batteries that a block joins before each station or outcome, their polarity not yet proved; `back`
    the energies that come back by themselves. Covers are opened for a proof and closed for power wherever that may be
    due; what was not is left out once all blocks stand.
    """

    machine: Machine
    shop: Shop
    procedure: Procedure
    stations: Mapping[str, Station]
    before: Analysis
    labels: Labels
    owing: Mapping[str, frozenset[str]]
    back: frozenset[str]

    def values(self, target: str) -> Values:
        there = self.before.before.get(target) or self.before.arriving.get(target)
        return there.values if there is not None else domains(self.machine)

    def why(self, target: str, rule: str = "energy.lockout") -> Why:
        return _why(self.machine, self.labels, target, rule)

    def planned(self, target: str, delta: Delta) -> Lockout:
        near = _wanted(self.machine, self.stations, self.labels, target)
        return lockout(self.machine, self.shop, self.labels.isolators, delta.lock, delta.already, near)

    def own(self, target: str) -> frozenset[str]:
        """What the station moves itself, so that no inserted step does it before."""
        station = self.stations.get(target)
        settings = moves(self.machine, self.procedure, station.step) if station is not None else ()
        return frozenset(setting.condition.name for setting in settings)

    def lock(self, target: str, delta: Delta) -> Sequence[Inserted]:
        waits = not outcome_of(target)
        return lock_steps(self.machine, self.planned(target, delta), self.values(target), self.why(target), waits)

    def access(self, target: str, delta: Delta) -> Sequence[Inserted]:
        return access_steps(self.machine, self.planned(target, delta), self.values(target), self.why(target))

    def prove(self, target: str, delta: Delta) -> Sequence[Inserted]:
        proof = proof_steps(self.machine, self.shop, self.planned(target, delta), self.why(target))
        return [*proof, *self._looks(target, delta)]

    def _looks(self, target: str, delta: Delta) -> list[Inserted]:
        stations = _while(self.stations, target, lambda key: bool(self.labels.at(key) & delta.lock))
        batteries = sorted({key for station in stations for key in batteries_at(self.machine, station.step)})
        return inspection(self.machine, batteries if not outcome_of(target) else (), self.why(target))

    def renew(self, target: str, delta: Delta) -> Sequence[Inserted]:
        plan = self.planned(target, delta)
        if delta.renew == "back":
            plan = narrowed(self.machine, plan, self.back)
        anew = proved_anew(self.machine, self.shop, plan, self.values(target), self.why(target), self.back)
        return [*anew, *(self._looks(target, delta) if delta.renew == "held" else ())]

    def power(self, target: str, delta: Delta) -> Sequence[Inserted]:
        machine, known = self.machine, self.labels.isolators
        own = self.own(target)
        plan = lockout(machine, self.shop, known, delta.unlock, delta.already)
        plan = plan._replace(things=tuple(s for s in plan.things if s.condition.name not in own))
        if not _moves(plan):
            return ()
        reason = self.why(target, "energy.power")
        steps = power_steps(machine, self.procedure, plan, plan.covers, reason, own)
        held = delta.unlock | delta.already
        anew = before_hands(machine, self.shop, known, held, steps, self.values(target), reason)
        batteries = sorted(self.owing.get(target, frozenset()))
        return [*polarity_steps(machine, batteries, reason), *anew, *steps]


def blocks_for(
    machine: Machine,
    shop: Shop,
    procedure: Procedure,
    flow: Flow,
    before: Analysis,
    labels: Labels,
    owing: Mapping[str, frozenset[str]],
    variant: Variant = EVERY,
) -> Blocks:
    """Makers of the inserted steps of one procedure for one class of machines.

    `owing` are the batteries that a block joins before each station or outcome, their polarity not yet proved.
    """
    stations = {station.key: station for station in flow.stations}
    made = _Maker(machine, shop, procedure, stations, before, labels, owing, returning(machine))
    first = Why("energy.confirm", say("why-confirm"))
    return Blocks(
        confirm=confirm(machine, procedure, first, variant),
        lock=made.lock,
        prove=made.prove,
        access=made.access,
        renew=made.renew,
        power=made.power,
        returning=made.back,
    )


def _wanted(machine: Machine, stations: Mapping[str, Station], labels: Labels, target: str) -> frozenset[str]:
    """The energies near which work is done from the target on, for as long as what cuts each of them off is locked."""
    found: set[str] = set()
    keys: dict[frozenset[str], list[str]] = {}
    for key in machine.energy:
        keys.setdefault(frozenset(needed_for(machine, key)), []).append(key)
    for needed, there in keys.items():
        reached = _while(stations, target, partial(_stands, labels, needed))
        wishes = [labels.wishes[station.key] for station in reached]
        named = {key for each in wishes if each.label == LOCKED for key in each.energies}
        found.update(key for key in there if key in named)
    return frozenset(found)


def _stands(labels: Labels, needed: frozenset[str], key: str) -> bool:
    return needed <= labels.at(key)


def _while(stations: Mapping[str, Station], target: str, stays: Callable[[str], bool]) -> list[Station]:
    """The target and the stations that can be reached from it by way of such stations alone, in no order."""
    seen, stack = {target}, [target]
    while stack:
        station = stations.get(stack.pop())
        for way in station.ways if station is not None else ():
            if way.to not in seen and way.to in stations and stays(way.to):
                seen.add(way.to)
                stack.append(way.to)
    return [stations[key] for key in seen if key in stations]


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
