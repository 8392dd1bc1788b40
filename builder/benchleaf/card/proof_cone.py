"""All paths of a card as one group of energies sees them: values, locks, what is stored, what is proved.

A state is what can differ between two paths that meet: the values of the conditions on which the energies hang, and
bits for locks, stored energies, proofs, parts taken off, motions already warned of, and what hands met before its
proof and so have still to see proved.
"""

from collections.abc import Iterable, Iterator, Mapping
from functools import reduce
from operator import or_
from typing import NamedTuple

from benchleaf.card.proof_facts import Sheet, Step
from benchleaf.card.proof_flow import Flows, Moment, carried, conditions_of
from benchleaf.card.proof_proving import Proving
from benchleaf.card.proof_values import NOTHING, Change, Cone, Need, Values
from benchleaf.card.proof_walk import Seen, explore


class State(NamedTuple):
    """What one path has made of the machine before a step."""

    values: Values
    locks: int
    stored: int
    proof: int
    off: int
    warned: int
    owing: int


class Effect(NamedTuple):
    """What a step does to the states of a group."""

    change: Change
    locked: tuple[tuple[int, int], ...]
    freed: int
    relieved: int
    taken_off: int
    put_on: int
    warned: int
    owing: int
    paid: int
    staled: frozenset[str]
    proves: bool
    stales_all: bool
    wears: bool
    moves: bool


# How each condition may stand where it isolates, as bits of its values.
Isolating = Mapping[str, int]


class Group:
    """Energies that hang on the same conditions, with all that feed them, over all paths of a card."""

    def __init__(
        self,
        sheet: Sheet,
        judged: tuple[str, ...],
        family: tuple[str, ...],
        watched: Iterable[str],
        trusted: Mapping[int, frozenset[str]],
    ) -> None:
        """`judged` are the energies asked about, `family` they and their feeders, `watched` conditions of covers.

        `trusted` names for steps, by index, the energies that hands meet there before these are proved gone.
        """
        self.sheet, self.judged = sheet, judged
        self.cone = Cone(sheet, conditions_of(sheet, family) | set(watched))
        lockable = [name for name in self.cone.base if sheet.conditions[name].lock]
        self.locks = {name: 1 << at for at, name in enumerate(lockable)}
        self.flows = Flows(sheet, self.cone, family, self.locks)
        self.proving = Proving(sheet, self.flows, judged)
        self.to_warn = {key: 1 << at for at, key in enumerate(judged) if moving(sheet, key)}
        self.owed = {key: 1 << at for at, key in enumerate(judged)}
        self.trusted = trusted
        self.carriers = {name: carried(sheet, name) for name in self.flows.holders}
        self.isolating = _isolating(sheet, self.cone)
        filling = [key for key, known in self.flows.known.items() if known.stored]
        proving = [prover.key for prover in self.proving.provers.values()]
        self.need = {key: known.needs for key, known in self.flows.known.items()}
        self._filling_need = _joined(self.need[key] for key in filling)
        self._proving_need = _joined(self.need[key] for key in proving)
        back = [key for key, known in self.flows.known.items() if known.energy.comes_back]
        self.wearing = bool(back)
        self.worn = sum(self.flows.known[key].stored for key in back)
        self._names = frozenset(self.cone.index)
        provers = self.proving.provers.values()
        self._spoken = frozenset(self.flows.known).union(*(p.named | p.staled_by for p in provers))
        self._filling = tuple((key, self.flows.known[key]) for key in filling)
        self._effects: dict[int, Effect | None] = {}
        self._memo: dict[tuple[int, State], tuple[State, ...]] = {}
        self.seen: Seen[State] = explore(sheet.total, [self._start()], self._onward)

    def _start(self) -> State:
        return State(self.cone.start, 0, self.flows.all_stored, 0, 0, 0, 0)

    def _onward(self, index: int, state: State) -> Iterator[tuple[str, int, State]]:
        if index >= len(self.sheet.steps):
            return
        step = self.sheet.steps[index]
        done = self.after(step, state)
        for way in step.ways:
            if way.target >= 0:
                for after in done:
                    yield way.side, way.target, after
                if way.side == "otherwise":
                    yield way.side, way.target, state._replace(values=self.cone.settled(state.values))

    def effect(self, step: Step) -> Effect | None:
        """What the step does here; None where it leaves everything but an unfinished proof as it is."""
        if step.at not in self._effects:
            self._effects[step.at] = self._effect(step)
        return self._effects[step.at]

    def _concerns(self, step: Step) -> bool:
        """Whether a step can do anything to what this group asks about: most can't, and need no closer look."""
        return bool(
            not self._names.isdisjoint(step.assigns)
            or not self._names.isdisjoint(step.meanwhile)
            or not self._spoken.isdisjoint(step.energies)
            or not self.locks.keys().isdisjoint(step.locks)
            or (self.flows.holders and (step.opens or step.closes))
            or not self.to_warn.keys().isdisjoint(step.warned)
            or step.hold
            or step.at in self.trusted
            or (not step.role and self.wearing)
            or (step.at == 0 and self.cone.springs)
        )

    def _effect(self, step: Step) -> Effect | None:
        if not self._concerns(step):
            return None
        change = self.cone.change(step)
        named = set(step.energies)
        known = self.flows.known
        let_go = {"relieve": "relieve", "wait": "wait"}.get(step.role)
        relieved = sum(getattr(known[key], let_go) for key in named & set(known)) if let_go else 0
        proves = step.role == "prove" and any(p.named & named for p in self.proving.provers.values())
        effect = Effect(
            change=change,
            locked=tuple(
                (self.cone.index[name], self.locks[name])
                for name in step.locks
                if name in self.locks and step.role == "lock"
            ),
            freed=sum(self.locks.get(name, 0) for name in step.locks) if step.role == "unlock" else 0,
            relieved=relieved,
            taken_off=self._parts(step.opens),
            put_on=self._parts(step.closes),
            warned=sum(self.to_warn.get(key, 0) for key in step.warned),
            owing=sum(self.owed[key] for key in self.trusted.get(step.at, ()) if key in self.owed),
            paid=0 if step.role or step.access else (1 << len(self.owed)) - 1,
            staled=frozenset(named) if let_go and self.proving.provers else frozenset(),
            proves=proves,
            stales_all=step.hold,
            wears=not step.role and self.wearing,
            moves=bool(change.during) or (step.at == 0 and bool(self.cone.springs)),
        )
        return effect if any(effect._replace(change=NOTHING, paid=0)[1:]) else None

    def _parts(self, ends: Iterable[str]) -> int:
        names = {end.partition(":")[2] for end in ends if end.startswith("remove:")}
        return sum(bit for name, bit in self.flows.holders.items() if self.carriers[name] & names)

    def after(self, step: Step, state: State) -> tuple[State, ...]:
        """The states that may stand once the step is done."""
        effect = self.effect(step)
        if effect is None:
            proof = self.proving.passed(step, state.proof) if state.proof else 0
            owing = state.owing if step.role or step.access else 0
            same = proof == state.proof and owing == state.owing
            return (state,) if same else (state._replace(proof=proof, owing=owing),)
        found = self._memo.get((step.at, state))
        if found is None:
            found = tuple(dict.fromkeys(self._done(step, effect, pinned) for pinned in self._pinned(effect, state)))
            self._memo[step.at, state] = found
        return found

    def _pinned(self, effect: Effect, state: State) -> Iterator[State]:
        """The state with what decides about filling and proving settled, so that each path stays true to itself."""
        need = self._proving_need if effect.proves else Need((), ())
        if self._filling and (effect.relieved or state.stored != self.flows.all_stored):
            need = _joined((need, self._filling_need))
        for values in self.cone.pin(state.values, need):
            yield state if values is state.values else state._replace(values=values)

    def _done(self, step: Step, effect: Effect, state: State) -> State:
        during, values = self.passing(step, state)
        locks = state.locks & ~effect.freed
        for at, bit in effect.locked:
            if self.isolating.get(self.cone.base[at], 0) >> values[at] & 1 if values[at] >= 0 else False:
                locks |= bit
        off = state.off & ~effect.put_on | effect.taken_off
        stored = state.stored & ~effect.relieved | (self.worn if effect.wears else 0)
        if stored != self.flows.all_stored:
            stored = self._filled(state._replace(stored=stored), (during, values), locks, off)
        proof = self._proof(step, effect, state, values, locks)
        if effect.proves:
            proof = self.proving.advance(
                step, proof, self.moments(values, locks, stored, proof, off, self._proving_need)
            )
        elif proof:
            proof = self.proving.passed(step, proof)
        owing = state.owing & ~effect.paid | effect.owing
        return State(values, locks, stored, proof, off, state.warned | effect.warned, owing)

    def passing(self, step: Step, state: State) -> tuple[Values, Values]:
        """How the values stand while the step is done, and after it."""
        change = self.cone.change(step)
        during = self.cone.moved(state.values, change.during)
        return during, self.cone.settled(self.cone.moved(state.values, change.after))

    def _filled(self, state: State, both: Iterable[Values], locks: int, off: int) -> int:
        stored = state.stored
        for values in both:
            for moment in self.moments(values, locks, stored, 0, off, self._filling_need):
                for key, known in self._filling:
                    if stored & known.stored != known.stored and self.flows.feeding(key, moment):
                        stored |= known.stored
        return stored

    def _proof(self, step: Step, effect: Effect, state: State, values: Values, locks: int) -> int:
        """The proofs that have not gone stale in this step."""
        proof = state.proof
        if not proof:
            return 0
        if effect.stales_all:
            return 0
        lost = state.locks & ~locks
        for prover in self.proving.provers.values():
            moved = lost & prover.locks or any(
                values[at] != state.values[at] for at in prover.breaks if at < len(values)
            )
            if moved or effect.staled & prover.staled_by or (prover.comes_back and effect.wears):
                proof = self.proving.stale(proof, prover)
        return proof

    def standing(
        self, step: Step, state: State, values: Values, key: str, watched: Iterable[str], *, doing: bool
    ) -> Iterator[Moment]:
        """Every way in which the machine may stand around an energy before a step, or while it is done."""
        effect = self.effect(step)
        need = self.need[key]
        if watched:
            need = _joined((need, self.cone.needs(watched)))
        if effect is None and doing:
            return
        if effect is None or not doing:
            yield from self.moments(values, state.locks, state.stored, state.proof, state.off, need)
            return
        proof = state.proof
        for prover in self.proving.provers.values():
            if any(values[at] != state.values[at] for at in prover.breaks if at < len(values)):
                proof = self.proving.stale(proof, prover)
        for moment in self.moments(values, state.locks, state.stored, proof, state.off | effect.taken_off, need):
            filled = (known.stored for each, known in self._filling if self.flows.feeding(each, moment))
            yield moment._replace(stored=reduce(or_, filled, moment.stored))

    def moments(self, values: Values, locks: int, stored: int, proof: int, off: int, need: Need) -> list[Moment]:
        """Every way in which what is unknown may turn out at this moment."""
        return [Moment(whole, locks, stored, proof, off) for whole in self.cone.whole(values, need)]

    def fault(self, key: str, moment: Moment, *, proof: bool = True) -> str:
        """Why hands may meet this energy: isolate | lock | relieve | prove | try; empty where they can't."""
        lacking = self.flows.fault(key, moment)
        known = self.flows.known[key]
        if lacking or not proof or self.flows.away(known, moment):
            return lacking
        return self.proving.lacking(known, moment)


def moving(sheet: Sheet, key: str) -> bool:
    """Whether it is a motion or a weight that reaches everyone around."""
    energy = sheet.energies[key]
    return energy.reach == "zone" and energy.kind in ("motion", "height")


def _joined(needs: Iterable[Need]) -> Need:
    every = tuple(needs)
    kept = reduce(lambda found, need: found | set(need.kept), every, set[int]())
    derived = reduce(lambda found, need: found | set(need.derived), every, set[int]())
    return Need(tuple(sorted(kept)), tuple(sorted(derived)))


def _isolating(sheet: Sheet, cone: Cone) -> dict[str, int]:
    found: dict[str, int] = {}
    for energy in sheet.energies.values():
        for name, value in energy.isolate:
            if name in cone.index:
                found[name] = found.get(name, 0) | cone.test(name, (value,)).mask
    return found
