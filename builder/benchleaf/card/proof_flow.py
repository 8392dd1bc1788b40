"""The proof's own reading of an energy at one moment: is it there, is it kept away from hands, and if not, why not.

Two questions, never mixed: `alive` counts every condition, controls too (for those who want power: readings, warnings);
`fault` trusts only breaks that are isolated, locked, relieved and proved, covers, things, and what a thing moves.
"""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from benchleaf.card.proof_facts import Condition, Energy, Sheet
from benchleaf.card.proof_values import ANY, Cone, Need, Tests, Values, met

ELECTRICAL = frozenset({"battery", "mains", "dc", "capacitor"})
# These stay until they are let go, whatever cuts their supply; a weight or spring is also held by what blocks it.
KEPT = frozenset({"capacitor", "hydraulic", "pneumatic", "heat"})
RESTING = frozenset({"height", "spring"})
VOLTAGES = frozenset({"dc-voltage", "ac-voltage"})


class Moment(NamedTuple):
    """Values all known; locks on, what is still stored, what is proved, and parts taken off, as bits."""

    values: Values
    locks: int
    stored: int
    proof: int
    off: int


class Guard(NamedTuple):
    """A test that hands may trust; with a lock bit only while that lock is on."""

    at: int
    mask: int
    lock: int


class Break(NamedTuple):
    """How one condition stands when it isolates, and the bit of its lock (0: it takes none)."""

    name: str
    at: int
    value: int
    lock: int


class Known(NamedTuple):
    """An energy in terms of a cone. `stored` are its bits: to be relieved, to be waited for, or beyond both."""

    energy: Energy
    when: Tests
    guards: tuple[tuple[Guard, ...], ...]
    breaks: tuple[Break, ...]
    things: tuple[tuple[int, int], ...]
    holders: int
    feeders: tuple[str, ...]
    stored: int
    relieve: int
    wait: int
    only_things: bool
    rootless: bool
    needs: Need


def closure(sheet: Sheet, key: str) -> tuple[str, ...]:
    """The energy and all that feed it, directly or not, in the order of the machine file."""
    found = {key}
    todo = [key]
    while todo:
        for feeder in sheet.energies[todo.pop()].fed_by:
            if feeder in sheet.energies and feeder not in found:
                found.add(feeder)
                todo.append(feeder)
    return tuple(name for name in sheet.energies if name in found)


def isolators(sheet: Sheet, key: str) -> tuple[str, ...]:
    """What isolates the energy: its own isolators, else those of all its feeders."""
    found: dict[str, None] = {}
    entered = {key}
    todo = [key]
    while todo:
        energy = sheet.energies[todo.pop(0)]
        found.update(dict.fromkeys(name for name, _ in energy.isolate))
        if not energy.isolate:
            fresh = [name for name in energy.fed_by if name in sheet.energies and name not in entered]
            entered.update(fresh)
            todo += fresh
    return tuple(found)


def conditions_of(sheet: Sheet, keys: Iterable[str]) -> frozenset[str]:
    """Every condition and thing that these energies hang on."""
    names: set[str] = set()
    for key in keys:
        energy = sheet.energies[key]
        names.update(name for case in energy.when for name, _ in case)
        names.update(name for name, _ in energy.isolate)
        names.update(name for name in energy.held_by if name in sheet.conditions)
    return frozenset(name for name in names if name in sheet.conditions)


def carried(sheet: Sheet, name: str) -> frozenset[str]:
    """The part and all that it stands on: whichever comes off takes it along."""
    found = [name]
    while found[-1] in sheet.parts and sheet.parts[found[-1]].on and sheet.parts[found[-1]].on not in found:
        found.append(sheet.parts[found[-1]].on)
    return frozenset(found)


class Flows:
    """The energies of one cone."""

    def __init__(self, sheet: Sheet, cone: Cone, keys: tuple[str, ...], locks: Mapping[str, int]) -> None:
        """`keys` hold with each energy all its feeders; `locks` gives the bit of each lock."""
        self.sheet, self.cone, self.locks = sheet, cone, locks
        self.holders = {
            name: 1 << at
            for at, name in enumerate(
                dict.fromkeys(n for k in keys for n in sheet.energies[k].held_by if n in sheet.parts)
            )
        }
        self.all_stored = 0
        self.known: dict[str, Known] = {}
        for at, key in enumerate(keys):
            self.known[key] = self._known(sheet.energies[key], 3 * at)
            self.all_stored |= self.known[key].stored

    def _known(self, energy: Energy, shift: int) -> Known:
        feeders = tuple(name for name in energy.fed_by if name in self.sheet.energies)
        family = closure(self.sheet, energy.key)
        own = set(isolators(self.sheet, energy.key))
        relieve = 1 << shift if energy.relieve else 0
        wait = 2 << shift if energy.waits else 0
        keeps = energy.kind in KEPT or (
            energy.kind in RESTING and (energy.relieve or energy.waits or not energy.isolate)
        )
        conditions = self.sheet.conditions
        return Known(
            energy=energy,
            when=self.cone.tests(energy.when),
            guards=tuple(tuple(self._guards(case, own)) for case in energy.when),
            breaks=tuple(self._break(name, value) for name, value in energy.isolate),
            things=tuple(
                (self.cone.index[name], self.cone.value(name, "in-place"))
                for name in energy.held_by
                if name in conditions and conditions[name].thing
            ),
            holders=sum(self.holders[name] for name in set(energy.held_by) & set(self.holders)),
            feeders=feeders,
            stored=(relieve | wait or 4 << shift) if keeps else 0,
            relieve=relieve,
            wait=wait,
            only_things=bool(own) and all(name in conditions and conditions[name].thing for name in own),
            rootless=bool(feeders)
            and not energy.isolate
            and all(self.sheet.energies[name].fed_by and not self.sheet.energies[name].isolate for name in family),
            needs=self.cone.needs(conditions_of(self.sheet, family)),
        )

    def _guards(self, case: Iterable[tuple[str, frozenset[str]]], own: set[str]) -> Iterable[Guard]:
        for name, values in case:
            condition = self.sheet.conditions.get(name)
            if condition is not None and condition.protects and name not in own:
                yield Guard(*self.cone.test(name, values), self._lock(condition))

    def _lock(self, condition: Condition) -> int:
        return self.locks.get(condition.name, 0) if condition.isolates and condition.lock else 0

    def _break(self, name: str, value: str) -> Break:
        condition = self.sheet.conditions.get(name)
        if condition is None:
            return Break(name, 0, ANY, 0)
        at = self.cone.value(name, value)
        return Break(name, self.cone.index[name], at, self._lock(condition))

    def held(self, known: Known, moment: Moment) -> bool:
        """Whether a thing in place holds it."""
        return any(moment.values[at] == value for at, value in known.things)

    def unheld(self, known: Known, moment: Moment) -> bool:
        """Whether all that should hold it is gone, so that no break does either."""
        return bool(known.holders) and moment.off & known.holders == known.holders and not self.held(known, moment)

    def cut(self, known: Known, moment: Moment) -> bool:
        """Whether all its own breaks stand open, locked or not."""
        return bool(known.breaks) and all(b.value >= 0 and moment.values[b.at] == b.value for b in known.breaks)

    def alive(self, key: str, moment: Moment, entered: frozenset[str] = frozenset(), *, trusting: bool = True) -> bool:
        """Whether it is there, every condition counted; not `trusting`, controls may be moved by anyone meanwhile."""
        known = self.known[key]
        if known.energy.kind in KEPT:
            return bool(moment.stored & known.stored) or self.feeding(key, moment, entered)
        possible = met(known.when, moment.values) if trusting else self._may_be(known, moment)
        if not possible or self.held(known, moment):
            return False
        if self.cut(known, moment) and not self.unheld(known, moment):
            return False
        if known.energy.kind in RESTING:
            return not known.stored or bool(moment.stored & known.stored)
        if not known.feeders or known.rootless:
            return True
        below = entered | {key}
        return any(self.alive(f, moment, below, trusting=trusting) for f in known.feeders if f not in below)

    def feeding(self, key: str, moment: Moment, entered: frozenset[str] = frozenset()) -> bool:
        """Whether anything may fill a stored energy again; a weight or spring presses behind any break."""
        known = self.known[key]
        if not self._may_be(known, moment):
            return False
        cut = self.cut(known, moment)
        if not known.feeders:
            return bool(known.breaks) and not cut
        below = entered | {key}
        return any(
            self.alive(feeder, moment, below, trusting=False)
            for feeder in known.feeders
            if feeder not in below and (not cut or self.known[feeder].energy.kind in RESTING)
        )

    def _may_be(self, known: Known, moment: Moment) -> bool:
        """Whether `when` leaves room for it once nothing but what protects hands is trusted."""
        if not known.guards:
            return True
        values, locks = moment.values, moment.locks
        return any(
            all(mask >> values[at] & 1 or (lock and not locks & lock) for at, mask, lock in case)
            for case in known.guards
        )

    def away(self, known: Known, moment: Moment) -> bool:
        """Whether it is surely not there, or held, without any isolation of its own."""
        if self.held(known, moment):
            return True
        return known.energy.kind not in KEPT and not self._may_be(known, moment)

    def fault(self, key: str, moment: Moment) -> str:
        """Why hands may meet it, but for its proof: isolate | lock | relieve; empty where they can't."""
        known = self.known[key]
        if self.away(known, moment):
            return ""
        lacking = self._isolation(known, moment, frozenset())
        if lacking:
            return lacking
        return "" if self._relieved(known, moment, frozenset()) else "relieve"

    def _isolation(self, known: Known, moment: Moment, entered: frozenset[str]) -> str:
        if known.breaks:
            if not self.cut(known, moment) or self.unheld(known, moment):
                return "isolate"
            return "" if all(moment.locks & b.lock or not b.lock for b in known.breaks) else "lock"
        if not known.feeders or known.rootless:
            return "isolate"
        below = entered | {known.energy.key}
        for feeder in known.feeders:
            each = self.known[feeder]
            if feeder not in below and not self.away(each, moment):
                lacking = self._isolation(each, moment, below)
                if lacking:
                    return lacking
        return ""

    def isolable(self, key: str) -> bool:
        """Whether anything isolates it at all."""
        return bool(isolators(self.sheet, key))

    def isolated(self, key: str, moment: Moment) -> bool:
        """Whether it is isolated and locked."""
        return not self._isolation(self.known[key], moment, frozenset())

    def _relieved(self, known: Known, moment: Moment, entered: frozenset[str]) -> bool:
        if known.stored:
            return not moment.stored & known.stored
        if known.breaks:
            return True
        below = entered | {known.energy.key}
        return all(
            self.away(self.known[feeder], moment) or self._relieved(self.known[feeder], moment, below)
            for feeder in known.feeders
            if feeder not in below
        )
