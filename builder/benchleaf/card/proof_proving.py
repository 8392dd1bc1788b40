"""The proof's own account of proofs of zero: what each asks for, how far it has come, and when it is worth nothing."""

from collections.abc import Iterable
from typing import NamedTuple

from benchleaf.card.proof_facts import Prove, Sheet, Step
from benchleaf.card.proof_flow import VOLTAGES, Flows, Known, Moment, closure, isolators

# Bits of one prover: how far live-dead-live has come (tester tried, measured, tester tried again), then the rest.
TRIED_FIRST, MEASURED, TRIED_AGAIN = 1, 2, 3
STAGE, READ, LOOKED, MOVED, TOLD = 3, 4, 8, 16, 32
WIDTH = 6


class Prover(NamedTuple):
    """What proves one energy: the bits that must be set, and what moves when the proof goes stale."""

    key: str
    shift: int
    need: int
    prove: Prove | None
    breaks: tuple[int, ...]
    locks: int
    named: frozenset[str]
    staled_by: frozenset[str]
    comes_back: bool


class Proving:
    """The proofs that the energies of one cone call for."""

    def __init__(self, sheet: Sheet, flows: Flows, judged: Iterable[str]) -> None:
        """A prover for each energy with a proof of its own, and one for each judged motion that must be tried."""
        self.flows = flows
        self.provers: dict[str, Prover] = {}
        judged = frozenset(judged)
        for key, known in flows.known.items():
            prove = known.energy.prove
            if prove is not None:
                self._add(sheet, key, needed(prove), prove, frozenset({key}))
            elif known.energy.kind == "motion" and key in judged and not known.only_things:
                self._add(sheet, key, MOVED, None, tried_by(sheet, key))

    def _add(self, sheet: Sheet, key: str, need: int, prove: Prove | None, named: frozenset[str]) -> None:
        index, locks = self.flows.cone.index, self.flows.locks
        names = isolators(sheet, key)
        family = closure(sheet, key)
        self.provers[key] = Prover(
            key=key,
            shift=WIDTH * len(self.provers),
            need=need,
            prove=prove,
            breaks=tuple(index[name] for name in names if name in index),
            locks=sum(locks.get(name, 0) for name in names),
            named=named,
            # What is let go after the proof was not proved by it: itself, or what stands on this proof alone.
            staled_by=frozenset(
                name
                for name, energy in sheet.energies.items()
                if name == key or (energy.prove is None and key in closure(sheet, name))
            ),
            comes_back=any(sheet.energies[name].comes_back for name in family),
        )

    def done(self, key: str, proof: int) -> bool:
        """Whether all that the proof of this energy asks for has been done since it went stale."""
        prover = self.provers[key]
        return proof >> prover.shift & prover.need == prover.need

    def lacking(self, known: Known, moment: Moment) -> str:
        """`prove` or `try` where that is still to be done before hands may trust the isolation; empty otherwise."""
        if not self._proved(known, moment, frozenset()):
            return "prove"
        key = known.energy.key
        if known.energy.prove is None and key in self.provers and not self.done(key, moment.proof):
            return "try"
        return ""

    def _proved(self, known: Known, moment: Moment, entered: frozenset[str]) -> bool:
        if known.only_things:
            return True
        if known.energy.prove is not None:
            return self.done(known.energy.key, moment.proof)
        if not known.feeders:
            return False
        below = entered | {known.energy.key}
        return all(
            self.flows.away(self.flows.known[feeder], moment) or self._proved(self.flows.known[feeder], moment, below)
            for feeder in known.feeders
            if feeder not in below
        )

    def advance(self, step: Step, proof: int, moments: list[Moment]) -> int:
        """The proofs after a step of proving; what is not isolated and locked in every moment is not proved by it."""
        for prover in self.provers.values():
            stage = proof >> prover.shift & STAGE
            speaks = bool(prover.named & set(step.energies))
            if speaks and not all(self.flows.isolated(prover.key, moment) for moment in moments):
                speaks = False
            if speaks:
                proof = _spoken(step, prover, proof)
            elif stage in (TRIED_FIRST, MEASURED) and not between(step):
                proof &= ~(STAGE << prover.shift)
        return proof

    def passed(self, step: Step, proof: int) -> int:
        """The proofs after a step that speaks of none of them: a live-dead-live that it breaks off is taken back."""
        if step.role == "prove" and between(step):
            return proof
        for prover in self.provers.values():
            if proof >> prover.shift & STAGE in (TRIED_FIRST, MEASURED):
                proof &= ~(STAGE << prover.shift)
        return proof

    def stale(self, proof: int, prover: Prover) -> int:
        """The proofs without this one."""
        return proof & ~((1 << WIDTH) - 1 << prover.shift)


def needed(prove: Prove) -> int:
    """The bits that a machine's proof asks for."""
    need = STAGE if prove.measure in VOLTAGES else READ if prove.measure else 0
    return need | (LOOKED if prove.look else 0) | (MOVED if prove.try_ else 0) or TOLD


def between(step: Step) -> bool:
    """Whether a step may stand within live-dead-live: trying the tester, and measuring voltage."""
    return step.tester or step.measure in VOLTAGES


def _spoken(step: Step, prover: Prover, proof: int) -> int:
    stage, added = proof >> prover.shift & STAGE, TOLD
    if step.tester:
        stage = {0: TRIED_FIRST, MEASURED: TRIED_AGAIN}.get(stage, stage)
    elif step.measure in VOLTAGES:
        if stage != TRIED_AGAIN:
            stage = MEASURED if stage and _whole(step, prover.prove) else 0
    else:
        stage = stage if stage == TRIED_AGAIN else 0
        added |= READ if step.measure and _whole(step, prover.prove) else 0
        added |= {"look": LOOKED, "operate": MOVED}.get(step.action, 0)
    return proof & ~(STAGE << prover.shift) | ((stage | added) & prover.need) << prover.shift


def _whole(step: Step, prove: Prove | None) -> bool:
    """Whether a reading is the one that the machine asks for, at all its pairs of points."""
    return prove is not None and step.measure == prove.measure and step.pairs >= prove.pairs


def tried_by(sheet: Sheet, key: str) -> frozenset[str]:
    """The energies whose trying tries this motion too: itself, what feeds it, and what has all its feeders."""
    family = set(closure(sheet, key))
    feeders = {name for name in sheet.energies[key].fed_by if name in sheet.energies}
    return frozenset(family | {name for name in sheet.energies if feeders and feeders <= set(closure(sheet, name))})
