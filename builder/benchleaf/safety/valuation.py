"""Which values each condition may have: sets of values, moved by steps and closed by what follows by itself."""

from collections.abc import Iterable, Mapping
from enum import Enum

from benchleaf.model.basics import State, Test, When
from benchleaf.model.machine import Condition, Machine

OUT, IN_PLACE = "out", "in-place"

Values = Mapping[str, frozenset[str]]


class Holds(Enum):
    """Whether something holds: surely, surely not, or it may."""

    NO = 0
    MAYBE = 1
    YES = 2


def domains(machine: Machine) -> dict[str, frozenset[str]]:
    """Every condition, things in place included, with all the values that it can have."""
    found = {name: frozenset(value.name for value in c.values) for name, c in machine.conditions.items()}
    found.update({name: frozenset((OUT, IN_PLACE)) for name in machine.things})
    return found


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
    if not when:
        return Holds.YES
    return max((_all_hold(case, values) for case in when), key=lambda each: each.value)


def _all_hold(case: Iterable[Test], values: Values) -> Holds:
    worst = Holds.YES
    for test in case:
        wanted = frozenset(value.name for value in test.values)
        have = values.get(test.condition.name)
        if have is None or (have & wanted and not have <= wanted):
            each = Holds.MAYBE
        else:
            each = Holds.YES if have <= wanted else Holds.NO
        worst = min(worst, each, key=lambda some: some.value)
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
    after = dict(values)
    for name, condition in machine.conditions.items():
        if condition.springs_back is not None:
            after[name] = frozenset((condition.springs_back.name,))
    return closed(machine, after)


def joined(first: Values, second: Values) -> dict[str, frozenset[str]]:
    """Either of two valuations: the union condition by condition."""
    return {name: first[name] | second.get(name, frozenset()) for name in first}


def closed(machine: Machine, values: Values) -> dict[str, frozenset[str]]:
    """Values with all that follows by itself: `follows` recomputed, `may_change` opened to every value.

    Each round may only change a following condition; circles of follows end in the union of what they visit.
    """
    after = dict(values)
    for name, condition in machine.conditions.items():
        if condition.may_change:
            after[name] = frozenset(value.name for value in condition.values)
    followers = [(name, c) for name, c in machine.conditions.items() if c.follows]
    for turn in range(2 * len(followers) + 1):
        changed = False
        for name, condition in followers:
            new = _followed(condition, after)
            if turn > len(followers):
                new |= after[name]
            if new != after[name]:
                after[name], changed = new, True
        if not changed:
            break
    return after


def _followed(condition: Condition, values: Values) -> frozenset[str]:
    """The values that the first clauses that may hold give; clauses after one that surely holds never count."""
    possible: set[str] = set()
    for clause in condition.follows:
        answer = holds(clause.when, values)
        if answer is not Holds.NO:
            possible.add(clause.is_.name)
        if answer is Holds.YES:
            return frozenset(possible)
    return frozenset(possible) or frozenset(value.name for value in condition.values)
