"""The proof's own picture of how conditions stand: values on one path, and all that unknown ones may turn out to be.

A value is an index, or ANY while nobody has set it. What follows from others is never kept but worked out; what may
change by itself stays ANY. So there are only as many pictures as the paths make, whatever the conditions multiply to.
"""

from collections.abc import Iterable, Iterator, Mapping
from itertools import product
from typing import NamedTuple

from benchleaf.card.proof_facts import Condition, Setting, Sheet, Step, When
from benchleaf.card.proof_walk import LIMIT, Tangled

ANY = -1
Values = tuple[int, ...]
Moves = tuple[tuple[int, int], ...]


class Test(NamedTuple):
    """Whether the value at an index is one of those whose bits are set."""

    at: int
    mask: int


Tests = tuple[tuple[Test, ...], ...]


class Change(NamedTuple):
    """What a step does to the values of a cone: for good, and while it is done."""

    after: Moves
    during: Moves


NOTHING = Change((), ())


class Derived(NamedTuple):
    """A condition that others decide: its place, how many values it has, and its clauses in order.

    Where no clause is met it may have any value.
    """

    at: int
    size: int
    clauses: tuple[tuple[int, Tests], ...]


class Need(NamedTuple):
    """Whose values a question hangs on: those on the path, and those worked out from them."""

    kept: tuple[int, ...]
    derived: tuple[int, ...]


class Cone:
    """The conditions that decide about something, and all that these follow from."""

    def __init__(self, sheet: Sheet, names: Iterable[str]) -> None:
        """Takes in the named conditions and what they follow from; names of no condition are left out."""
        self.conditions = sheet.conditions
        order = _with_sources(sheet.conditions, names)
        circular = _in_circles(sheet.conditions, order)
        derived = [name for name in order if name not in circular and _decided(sheet.conditions[name])]
        self.base = tuple(name for name in order if name not in derived)
        self.index: Mapping[str, int] = {name: at for at, name in enumerate((*self.base, *derived))}
        self.loose = frozenset(
            self.index[name] for name in self.base if name in circular or sheet.conditions[name].may_change
        )
        self.springs = tuple(
            (self.index[name], self.value(name, sheet.conditions[name].springs_back))
            for name in self.base
            if sheet.conditions[name].springs_back and self.index[name] not in self.loose
        )
        self.derived = tuple(self._clauses(name) for name in derived)
        self.start: Values = (ANY,) * len(self.base)
        self._changes: dict[int, Change] = {}

    def _clauses(self, name: str) -> Derived:
        clauses = tuple((self.value(name, to), self.tests(when)) for to, when in self.conditions[name].follows)
        return Derived(self.index[name], len(self.conditions[name].values), clauses)

    def value(self, name: str, value: str | None) -> int:
        """The index of a value; ANY for none or one that the condition does not have."""
        values = self.conditions[name].values
        return values.index(value) if value in values else ANY

    def test(self, name: str, values: Iterable[str]) -> Test:
        """A test of a condition of this cone."""
        known = self.conditions[name].values
        return Test(self.index[name], sum(1 << known.index(value) for value in set(values) if value in known))

    def tests(self, when: When) -> Tests:
        """Any of these cases; tests of conditions that the machine does not have are never met."""
        return tuple(
            tuple(self.test(name, values) if name in self.index else Test(0, 0) for name, values in case)
            for case in when
        )

    def settings(self, settings: Iterable[Setting]) -> tuple[tuple[int, int], ...]:
        """(index, value) of each setting; a condition that the machine does not have gives (0, ANY)."""
        return tuple(
            (self.index[name], self.value(name, value)) if name in self.index else (0, ANY) for name, value in settings
        )

    def needs(self, names: Iterable[str]) -> Need:
        """What the named conditions hang on."""
        every = sorted(self.index[name] for name in _with_sources(self.conditions, names) if name in self.index)
        kept = tuple(at for at in every if at < len(self.base))
        return Need(kept, tuple(each.at for each in self.derived if each.at in every))

    def change(self, step: Step) -> Change:
        """What a step does to this cone."""
        found = self._changes.get(step.at)
        if found is None:
            held = (*self.loose, *(each.at for each in self.derived))
            after = tuple(
                (self.index[name], self.value(name, value))
                for name, value in step.assigns.items()
                if name in self.index and self.index[name] not in held
            )
            meanwhile = tuple(
                (self.index[name], self.value(name, value))
                for name, value in step.meanwhile.items()
                if name in self.index and self.index[name] not in held
            )
            found = Change(after, after + meanwhile) if after or meanwhile else NOTHING
            self._changes[step.at] = found
        return found

    def pin(self, values: Values, need: Need) -> Iterator[Values]:
        """The values with every unknown one that matters settled, each way; what may change by itself stays ANY."""
        return self._settle(values, [at for at in need.kept if values[at] == ANY and at not in self.loose])

    def whole(self, values: Values, need: Need) -> Iterator[Values]:
        """Every way in which the values that matter may turn out, with what follows from them behind."""
        for settled in self._settle(values, [at for at in need.kept if values[at] == ANY]):
            if not self.derived:
                yield settled
            else:
                yield from self._closed(settled, need)

    def _settle(self, values: Values, unknown: list[int]) -> Iterator[Values]:
        if not unknown:
            yield values
            return
        ranges = [range(len(self.conditions[self.base[at]].values)) for at in unknown]
        size = 1
        for each in ranges:
            size *= len(each)
        if size > LIMIT:
            raise Tangled
        for picked in product(*ranges):
            settled = list(values)
            for at, value in zip(unknown, picked, strict=True):
                settled[at] = value
            yield tuple(settled)

    def _closed(self, values: Values, need: Need) -> list[Values]:
        found = [values]
        for each in self.derived:
            wanted = each.at in need.derived
            found = [(*full, to) for full in found for to in (_follow(each, full) if wanted else (ANY,))]
        return found

    def moved(self, values: Values, moves: Moves) -> Values:
        """The values after some moves, before anything springs back."""
        if not moves:
            return values
        changed = list(values)
        for at, value in moves:
            changed[at] = value
        return tuple(changed)

    def settled(self, values: Values) -> Values:
        """The values once the hand is off: what springs back is back."""
        return self.moved(values, self.springs)


def _follow(each: Derived, full: Values) -> tuple[int, ...]:
    for to, tests in each.clauses:
        if met(tests, full):
            return (to,)
    return tuple(range(each.size))


def met(tests: Tests, values: Values) -> bool:
    """Whether any case is met by values that are all known; no cases at all are met."""
    if not tests:
        return True
    return any(all(mask and values[at] != ANY and mask >> values[at] & 1 for at, mask in case) for case in tests)


def _decided(condition: Condition) -> bool:
    return bool(condition.follows) and not condition.may_change


def _sources(condition: Condition) -> set[str]:
    return {name for _, when in condition.follows for case in when for name, _ in case}


def _with_sources(conditions: Mapping[str, Condition], names: Iterable[str]) -> list[str]:
    """The names and all that they follow from, sources first."""
    order: list[str] = []
    entered: set[str] = set()

    def enter(name: str) -> None:
        if name in entered or name not in conditions:
            return
        entered.add(name)
        for source in sorted(_sources(conditions[name])):
            enter(source)
        order.append(name)

    for name in sorted(names):
        enter(name)
    return order


def _in_circles(conditions: Mapping[str, Condition], names: Iterable[str]) -> frozenset[str]:
    """Those that follow from themselves."""

    def reaches(name: str, goal: str, entered: set[str]) -> bool:
        for source in _sources(conditions[name]):
            if source == goal:
                return True
            if source in conditions and source not in entered:
                entered.add(source)
                if reaches(source, goal, entered):
                    return True
        return False

    return frozenset(name for name in names if reaches(name, name, set()))
