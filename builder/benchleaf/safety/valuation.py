"""Which values each condition may have: sets of values, moved by steps and closed by what follows by itself."""

from collections.abc import Iterable, Mapping
from enum import Enum
from functools import lru_cache
from typing import NamedTuple

from benchleaf.model.basics import State, When
from benchleaf.model.machine import Condition, Machine

OUT, IN_PLACE = "out", "in-place"

Values = Mapping[str, frozenset[str]]
# A `when` by names alone: any of all of (condition, the values that satisfy it).
Cases = tuple[tuple[tuple[str, frozenset[str]], ...], ...]


class Holds(Enum):
    """Whether something holds: surely, surely not, or it may."""

    NO = 0
    MAYBE = 1
    YES = 2


class Follower(NamedTuple):
    """A condition that follows others: for each clause what it asks and the value that it then gives."""

    name: str
    clauses: tuple[tuple[Cases, str], ...]
    domain: frozenset[str]


class Reflexes(NamedTuple):
    """What a machine does by itself: values that conditions spring back to, those that may change, followers."""

    springs: Mapping[str, frozenset[str]]
    restless: Mapping[str, frozenset[str]]
    followers: tuple[Follower, ...]


@lru_cache(maxsize=64)
def reflexes(machine: Machine) -> Reflexes:
    """What a machine does by itself."""
    conditions = machine.conditions.items()
    return Reflexes(
        {name: frozenset((c.springs_back.name,)) for name, c in conditions if c.springs_back is not None},
        {name: _domain(c) for name, c in conditions if c.may_change},
        tuple(
            Follower(name, tuple((cases(clause.when), clause.is_.name) for clause in c.follows), _domain(c))
            for name, c in conditions
            if c.follows
        ),
    )


def cases(when: When) -> Cases:
    """A `when` by names alone."""
    return tuple(
        tuple((test.condition.name, frozenset(value.name for value in test.values)) for test in case) for case in when
    )


def domains(machine: Machine) -> dict[str, frozenset[str]]:
    """Every condition, things in place included, with all the values that it can have."""
    found = {name: _domain(condition) for name, condition in machine.conditions.items()}
    found.update({name: frozenset((OUT, IN_PLACE)) for name in machine.things})
    return found


def _domain(condition: Condition) -> frozenset[str]:
    return frozenset(value.name for value in condition.values)


def entry(machine: Machine, initial: State) -> dict[str, frozenset[str]]:
    """The values at the start: what `initial` names has that value, things are out, the rest may be anything."""
    values = {
        name: whole if name not in machine.things else frozenset((OUT,)) for name, whole in domains(machine).items()
    }
    for setting in initial:
        if setting.condition.name in values:
            values[setting.condition.name] = frozenset((setting.value.name,))
    return closed(machine, values)


def holds(when: When, values: Values) -> Holds:
    """Whether a `when` (any of all-of) holds; an empty one always does. An unknown condition may have any value."""
    return any_holds(cases(when), values)


def any_holds(any_of: Cases, values: Values) -> Holds:
    """As `holds`, by names alone."""
    if not any_of:
        return Holds.YES
    best = Holds.NO
    for case in any_of:
        each = _all_hold(case, values)
        if each is Holds.YES:
            return each
        if each is Holds.MAYBE:
            best = each
    return best


def _all_hold(case: Iterable[tuple[str, frozenset[str]]], values: Values) -> Holds:
    worst = Holds.YES
    for name, wanted in case:
        have = values.get(name)
        if have is not None and have <= wanted:
            continue
        if have is not None and have.isdisjoint(wanted):
            return Holds.NO
        worst = Holds.MAYBE
    return worst


def surely(state: State, values: Values) -> bool:
    """Whether all settings surely hold; an empty state never does, so that nothing is taken for granted."""
    return bool(state) and all(
        values.get(setting.condition.name) == frozenset((setting.value.name,)) for setting in state
    )


def moved(machine: Machine, values: Values, state: State) -> dict[str, frozenset[str]]:
    """The values after the settings of `state`, before springs act."""
    after = dict(values)
    for setting in state:
        if setting.condition.name in after:
            after[setting.condition.name] = frozenset((setting.value.name,))
    return closed(machine, after)


def sprung(machine: Machine, values: Values) -> dict[str, frozenset[str]]:
    """The values when hands let go: what springs back has done so."""
    return closed(machine, {**values, **reflexes(machine).springs})


def joined(first: Values, second: Values) -> dict[str, frozenset[str]]:
    """Either of two valuations: the union condition by condition."""
    return {name: first[name] | second.get(name, frozenset()) for name in first}


def closed(machine: Machine, values: Values) -> dict[str, frozenset[str]]:
    """Values with all that follows by itself: `follows` recomputed, `may_change` opened to every value.

    Each round may only change a following condition; circles of follows end in the union of what they visit.
    """
    _, restless, followers = reflexes(machine)
    after = {**values, **restless}
    for turn in range(2 * len(followers) + 1):
        changed = False
        for follower in followers:
            name, new = follower.name, _followed(follower, after)
            if turn > len(followers):
                new |= after[name]
            if new != after[name]:
                after[name], changed = new, True
        if not changed:
            break
    return after


def _followed(follower: Follower, values: Values) -> frozenset[str]:
    """The values that the first clauses that may hold give; clauses after one that surely holds never count."""
    possible: set[str] = set()
    for when, value in follower.clauses:
        answer = any_holds(when, values)
        if answer is not Holds.NO:
            possible.add(value)
        if answer is Holds.YES:
            break
    return frozenset(possible) or follower.domain
