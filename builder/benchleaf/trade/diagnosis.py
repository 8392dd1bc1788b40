"""In which order to ask: the tests of a fault search, what they tell apart, and what a search costs on average.

One fault at a time, tests without error. Exact by dynamic programming over sets of faults that are still possible
(Pattipati and Alexandridis, IEEE Transactions on Systems, Man and Cybernetics 20 (1990)), else by information gain per
minute (Johnson, IRE Transactions on Reliability and Quality Control 9 (1960)).
"""

from collections.abc import Callable, Mapping, Sequence
from heapq import heapify, heappop, heappush
from math import inf, log2
from typing import NamedTuple

UNKNOWN = ""
# Faults up to which the exact search is tried, and the sets it may look at before it gives way to the rule of thumb.
MOST_FAULTS = 16
MOST_SETS = 20_000


class Question(NamedTuple):
    """A test: its own minutes, its result under each fault (empty: not known), the state that it wants of the machine
    (empty: any), and what must have been done before it: preparations, or other tests.
    """

    name: str
    minutes: float
    results: tuple[str, ...]
    state: str = ""
    needs: frozenset[str] = frozenset()


class Search(NamedTuple):
    """Faults by their weights, and what can be asked. `changes` gives the minutes from one state to another,
    `preparations` those of all that a test may need, `start` the state at first.
    """

    weights: tuple[float, ...]
    tests: tuple[Question, ...]
    changes: Mapping[tuple[str, str], float] = {}
    preparations: Mapping[str, float] = {}
    start: str = ""


class Tree(NamedTuple):
    """What to ask, and how to go on by each result; no test where nothing parts the faults that are left."""

    faults: tuple[int, ...]
    test: str = ""
    branches: tuple[tuple[str, "Tree"], ...] = ()

    def order(self) -> tuple[str, ...]:
        """The tests in the order in which they are first met, the likelier way first."""
        found = dict.fromkeys([self.test] if self.test else [])
        for _, below in sorted(self.branches, key=lambda each: -len(each[1].faults)):
            found.update(dict.fromkeys(below.order()))
        return tuple(found)


class Plan(NamedTuple):
    """A way to search: minutes on average, the tree, and whether no other is shorter."""

    minutes: float
    tree: Tree
    exact: bool


class _Place(NamedTuple):
    """Where a search stands: faults still possible, state of the machine, what has been done."""

    faults: tuple[int, ...]
    state: str
    done: frozenset[str]


def best(search: Search, most_faults: int = MOST_FAULTS, most_sets: int = MOST_SETS) -> Plan:
    """The shortest search, exact for up to `most_faults` faults and `most_sets` sets of faults, else by the heuristic.

    Raises ValueError for weights that are not above zero.
    """
    if len(search.weights) <= most_faults:
        found = exact(search, most_sets)
        if found is not None:
            return found
    return greedy(search)


def exact(search: Search, most_sets: int = MOST_SETS) -> Plan | None:
    """The shortest search of all; None where more sets of faults than `most_sets` would have to be looked at."""
    total, needed = _total(search), _needed(search)
    known: dict[_Place, tuple[float, Question | None]] = {}

    def cost(place: _Place) -> float:
        """Weighted minutes from here on."""
        if place in known:
            return known[place][0]
        if len(known) >= most_sets:
            raise _TooMany
        here = sum(search.weights[fault] for fault in place.faults)
        least, chosen = 0.0, None
        for test in search.tests:
            parts = _parted(test, place.faults)
            if len(parts) < 2:
                continue
            weighted = here * _minutes(search, test, place)
            if chosen is not None and weighted >= least:
                continue
            weighted += sum(cost(_after(needed, test, place, part)) for part in parts.values())
            if chosen is None or weighted < least:
                least, chosen = weighted, test
        known[place] = (least, chosen)
        return least

    first = _first(search)
    try:
        minutes = cost(first) / total
    except _TooMany:
        return None
    return Plan(minutes, _tree(needed, first, lambda place: known[place][1]), True)


def greedy(search: Search) -> Plan:
    """The search that asks each time what tells most for its minutes (bits by minute)."""
    total = _total(search)

    def chosen(place: _Place) -> Question | None:
        worth = -1.0
        found = None
        for test in search.tests:
            parts = _parted(test, place.faults)
            if len(parts) > 1:
                gain = information([sum(search.weights[fault] for fault in part) for part in parts.values()])
                rate = gain / max(_minutes(search, test, place), 1e-9)
                if rate > worth:
                    worth, found = rate, test
        return found

    first = _first(search)
    tree = _tree(_needed(search), first, chosen)
    return Plan(cost_of(search, tree, first) / total, tree, False)


def cost_of(search: Search, tree: Tree, place: "_Place | None" = None) -> float:
    """The weighted minutes of a tree; divided by the sum of the weights they are its average."""
    here, needed = place or _first(search), _needed(search)
    if not tree.test:
        return 0.0
    test = next(each for each in search.tests if each.name == tree.test)
    own = sum(search.weights[fault] for fault in tree.faults) * _minutes(search, test, here)
    return own + sum(cost_of(search, below, _after(needed, test, here, below.faults)) for _, below in tree.branches)


class _TooMany(Exception):
    """More sets of faults than may be looked at."""


def _total(search: Search) -> float:
    if not search.weights or min(search.weights) <= 0:
        raise ValueError("weights must be above zero")
    return sum(search.weights)


def _first(search: Search) -> _Place:
    return _Place(tuple(range(len(search.weights))), search.start, frozenset())


def _parted(test: Question, faults: Sequence[int]) -> dict[str, tuple[int, ...]]:
    """The faults by result; empty where the result under one of them is not known."""
    parts: dict[str, tuple[int, ...]] = {}
    for fault in faults:
        result = test.results[fault]
        if result == UNKNOWN:
            return {}
        parts[result] = (*parts.get(result, ()), fault)
    return parts


def _minutes(search: Search, test: Question, place: _Place) -> float:
    """What a test takes from here: its own minutes, a change of state, and what it needs and nobody has done."""
    change = search.changes.get((place.state, test.state), 0.0) if test.state else 0.0
    return test.minutes + change + sum(search.preparations.get(need, 0.0) for need in test.needs - place.done)


def _needed(search: Search) -> frozenset[str]:
    """All that some test needs; whether anything else has been done makes no difference."""
    return frozenset[str]().union(*(test.needs for test in search.tests))


def _after(needed: frozenset[str], test: Question, place: _Place, faults: tuple[int, ...]) -> _Place:
    return _Place(faults, test.state or place.state, (place.done | test.needs | {test.name}) & needed)


def _tree(needed: frozenset[str], place: _Place, choose: Callable[[_Place], Question | None]) -> Tree:
    test = choose(place)
    if test is None:
        return Tree(place.faults)
    parts = _parted(test, place.faults)
    return Tree(
        place.faults,
        test.name,
        tuple((result, _tree(needed, _after(needed, test, place, part), choose)) for result, part in parts.items()),
    )


def information(weights: Sequence[float]) -> float:
    """Bits that a test gives whose results have these weights (entropy, Shannon 1948)."""
    total = sum(weights)
    return -sum(weight / total * log2(weight / total) for weight in weights if weight > 0)


def fewest_tests(weights: Sequence[float], results: int = 2) -> float:
    """The average number of tests with so many results each, under which no search can come (Huffman 1952)."""
    waiting = [weight for weight in weights if weight > 0]
    total = sum(waiting)
    if len(waiting) < 2:
        return 0.0
    while results > 2 and (len(waiting) - 1) % (results - 1):
        waiting.append(0.0)
    heapify(waiting)
    asked = 0.0
    while len(waiting) > 1:
        joined = sum(heappop(waiting) for _ in range(min(results, len(waiting))))
        asked += joined
        heappush(waiting, joined)
    return asked / total


def lower_bound(search: Search) -> float:
    """Minutes under which no search can come, whatever it asks in which order.

    The larger of two: the fewest tests that could tell the groups apart, at the cheapest; and for each fault the test
    that parts it from the other one that is dearest to part it from, with all that this test needs. Only what tests
    with known results part is sure to be parted: where results are unknown, a search may end sooner.
    """
    sure = search._replace(tests=tuple(test for test in search.tests if UNKNOWN not in test.results))
    groups = alike(sure)
    weights = [sum(search.weights[fault] for fault in group) for group in groups]
    most = max((len(set(test.results) - {UNKNOWN}) for test in search.tests), default=0)
    if most < 2 or len(groups) < 2:
        return 0.0
    return max(fewest_tests(weights, most) * min(test.minutes for test in search.tests), _dearest(search, sure))


def _dearest(search: Search, sure: Search) -> float:
    """The weighted mean of what parting each fault from the one that is dearest to part it from takes at least."""
    least = [(test, _least(search, test)) for test in search.tests]
    faults = range(len(search.weights))

    def apart(one: int, other: int) -> float:
        if not parted(sure, one, other):
            return 0.0
        return min(minutes for test, minutes in least if _parts(test, one, other))

    return sum(
        weight * max((apart(one, other) for other in faults if other != one), default=0.0)
        for one, weight in enumerate(search.weights)
    ) / sum(search.weights)


def _least(search: Search, test: Question) -> float:
    """What has been paid at least when a test has been asked: itself, what it needs, a change into its state."""
    asked = {each.name: each.minutes for each in search.tests}
    needs = sum(min(search.preparations.get(need, 0.0), asked.get(need, inf)) for need in test.needs)
    if not test.state or test.state == search.start:
        return test.minutes + needs
    others = {search.start, *(each.state for each in search.tests if each.state)} - {test.state}
    return test.minutes + needs + min(search.changes.get((other, test.state), 0.0) for other in others)


def alike(search: Search) -> tuple[tuple[int, ...], ...]:
    """The faults in groups of which no test parts any two."""
    groups: list[list[int]] = []
    for fault in range(len(search.weights)):
        for group in groups:
            if not any(parted(search, fault, other) for other in group):
                group.append(fault)
                break
        else:
            groups.append([fault])
    return tuple(tuple(group) for group in groups)


def parted(search: Search, one: int, other: int) -> bool:
    """Whether some test has two different results under two faults."""
    return any(_parts(test, one, other) for test in search.tests)


def _parts(test: Question, one: int, other: int) -> bool:
    results = (test.results[one], test.results[other])
    return UNKNOWN not in results and results[0] != results[1]
