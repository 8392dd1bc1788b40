"""Fault searches against published and worked examples, brute force, and the bound of Huffman."""

from itertools import permutations
from pathlib import Path

import pytest
import yaml
from hypothesis import given, settings
from hypothesis import strategies as some

from benchleaf.trade.diagnosis import (
    Question,
    Search,
    alike,
    best,
    exact,
    fewest_tests,
    greedy,
    information,
    lower_bound,
)
from benchleaf.trade.diagnosis_figures import (
    fraction_detected,
    fraction_isolated,
    mean_group,
    repair_cost,
    trying_order,
)

ROWS = yaml.safe_load((Path(__file__).parents[1] / "data" / "diagnosis.yaml").read_text("utf-8"))


def of(weights, rows, costs=None):
    """A search from a matrix: a row for each fault, a column for each test."""
    columns = list(zip(*rows, strict=True))
    minutes = costs or [1.0] * len(columns)
    tests = tuple(
        Question(f"t{number + 1}", minutes[number], tuple(str(result) for result in column))
        for number, column in enumerate(columns)
    )
    return Search(tuple(weights), tests)


def brute(search, faults=None):
    """The least weighted minutes, by trying every test at every place."""
    left = tuple(range(len(search.weights))) if faults is None else faults
    costs = []
    for test in search.tests:
        parts = {}
        for fault in left:
            parts.setdefault(test.results[fault], []).append(fault)
        if len(parts) > 1:
            own = test.minutes * sum(search.weights[fault] for fault in left)
            costs.append(own + sum(brute(search, tuple(part)) for part in parts.values()))
    return min(costs, default=0.0)


@pytest.mark.parametrize("row", ROWS["searches"], ids=lambda row: row["id"])
def test_worked_searches(row):
    search = of(row["p"], row["matrix"])
    assert exact(search).minutes == pytest.approx(row["best"], abs=1e-9)
    assert greedy(search).minutes == pytest.approx(row["by gain"], abs=1e-9)
    assert exact(search).exact and not greedy(search).exact


@pytest.mark.parametrize("row", ROWS["tests first"], ids=lambda row: str(row["test"]))
def test_information_of_a_first_test(row):
    assert information([row["q"], 1 - row["q"]]) == pytest.approx(row["bits"], abs=1e-6)


def test_bounds_of_the_worked_example():
    row = ROWS["searches"][0]
    assert fewest_tests(row["p"]) == pytest.approx(1.46, abs=1e-9)
    assert information(row["p"]) == pytest.approx(1.3063, abs=1e-4)
    assert lower_bound(of(row["p"], row["matrix"])) == pytest.approx(1.46, abs=1e-9)


@pytest.mark.parametrize("row", ROWS["rows of parts"], ids=lambda row: row["id"])
def test_parts_in_a_row(row):
    """One part of a row is at fault; a test between two parts tells on which side of it."""
    weights = row["p"]
    matrix = [[int(part <= cut) for cut in range(len(weights) - 1)] for part in range(len(weights))]
    assert exact(of(weights, matrix)).minutes == pytest.approx(row["best"], abs=1e-6)


@pytest.mark.parametrize("row", ROWS["replace and see"], ids=lambda row: row["id"])
def test_replace_and_see(row):
    chances, looks, repairs = row["p"], row["c"], row.get("r", ())
    order = trying_order(chances, looks)
    assert repair_cost(order, chances, looks, repairs) == pytest.approx(row["best"], abs=1e-9)
    every = [repair_cost(each, chances, looks, repairs) for each in permutations(range(len(chances)))]
    assert min(every) == pytest.approx(row["best"], abs=1e-9)
    assert max(every) == pytest.approx(row.get("worst", max(every)), abs=1e-9)


def test_figures_of_coverage():
    """IEEE 1522-2004, from memory; worked by hand: 20 faults, 18 seen, in groups of 6 x 1, 3 x 2 and 2 x 3."""
    assert fraction_detected([1] * 20, [True] * 18 + [False] * 2) == pytest.approx(0.9)
    assert fraction_detected([5] * 18 + [20, 10], [True] * 18 + [False] * 2) == pytest.approx(0.75)
    groups = [[1]] * 6 + [[1, 1]] * 3 + [[1, 1, 1]] * 2
    assert fraction_isolated(groups, 1) == pytest.approx(1 / 3)
    assert fraction_isolated(groups, 2) == pytest.approx(2 / 3)
    assert mean_group(groups) == pytest.approx(2.0)


matrices = some.integers(2, 6).flatmap(
    lambda faults: some.integers(1, 5).flatmap(
        lambda tests: some.tuples(
            some.lists(some.integers(1, 30), min_size=faults, max_size=faults),
            some.lists(
                some.lists(some.integers(0, 2), min_size=tests, max_size=tests), min_size=faults, max_size=faults
            ),
            some.lists(some.integers(1, 12), min_size=tests, max_size=tests),
        )
    )
)


@settings(max_examples=150, deadline=None)
@given(matrices)
def test_exact_is_brute_force_and_the_rest_lies_above(drawn):
    weights, matrix, costs = drawn
    search = of(weights, matrix, [float(cost) for cost in costs])
    shortest = exact(search)
    assert shortest.minutes * sum(weights) == pytest.approx(brute(search), abs=1e-9)
    assert lower_bound(search) <= shortest.minutes + 1e-9
    # The rule of thumb stays within twice the best on cases of this size.
    assert shortest.minutes - 1e-9 <= greedy(search).minutes <= 2 * shortest.minutes + 1e-9


RESULTS = some.sampled_from(["", "a", "a", "b", "b", "c"])


@some.composite
def searches(draw):
    """Searches with states, preparations and results that nobody knows."""
    faults, count = draw(some.integers(2, 5)), draw(some.integers(1, 4))
    names = [f"t{number}" for number in range(count)]
    prepared = {"p0": 2.0, "p1": 5.0, **({"t0": 3.0} if draw(some.booleans()) else {})}
    tests = tuple(
        Question(
            name,
            3.0 if name == "t0" else float(draw(some.integers(1, 9))),
            tuple(draw(some.lists(RESULTS, min_size=faults, max_size=faults))),
            draw(some.sampled_from(["", "on", "off"])),
            frozenset(draw(some.sets(some.sampled_from(["p0", "p1", "t0"]), max_size=2))) - {name},
        )
        for name in names
    )
    weights = tuple(float(draw(some.integers(1, 9))) for _ in range(faults))
    return Search(weights, tests, {("on", "off"): 20.0, ("off", "on"): 8.0}, prepared, "on")


@settings(max_examples=300, deadline=None)
@given(searches())
def test_no_search_comes_under_the_bound(search):
    assert lower_bound(search) <= exact(search).minutes + 1e-9 <= greedy(search).minutes + 2e-9


def test_the_bound_knows_what_a_question_needs():
    """Two faults of equal weight, told apart by a question of 2 min behind a cover (3 min) with power off (20)."""
    question = Question("coil", 2.0, ("in", "out"), "off", frozenset({"cover"}))
    search = Search((1.0, 1.0), (question,), {("on", "off"): 20.0, ("off", "on"): 8.0}, {"cover": 3.0}, "on")
    assert lower_bound(search) == exact(search).minutes == 25.0


@settings(max_examples=50, deadline=None)
@given(matrices)
def test_groups_are_those_that_no_test_parts(drawn):
    weights, matrix, _ = drawn
    rows = {tuple(row) for row in matrix}
    groups = alike(of(weights, matrix))
    assert len(groups) == len(rows)
    assert all(len({tuple(matrix[fault]) for fault in group}) == 1 for group in groups)


def test_changes_of_state_are_paid_for():
    """Two tests want power, one wants it off: the one that parts most comes last if getting there costs enough."""
    rows = ("0011", "0110", "0101")
    free = Search((1, 1, 1, 1), tuple(Question(f"t{n}", 1, tuple(row), "on") for n, row in enumerate(rows)), start="on")
    assert best(free).minutes == pytest.approx(2)
    locked = free.tests[0]._replace(state="off")
    dear = free._replace(tests=(locked, *free.tests[1:]), changes={("on", "off"): 10, ("off", "on"): 4})
    assert best(dear).minutes == pytest.approx(2)
    assert "t0" not in best(dear).tree.order()
    alone = dear._replace(tests=(locked, free.tests[1]))
    # t1 first, then the lockout: 1 + 11; the other way round 11 + 5.
    assert best(alone).minutes == pytest.approx(12)
    assert best(alone).tree.order() == ("t1", "t0")


def test_preparations_are_paid_once():
    tests = (Question("a", 1, ("0", "0", "1"), needs=frozenset({"stands"})),
             Question("b", 1, ("0", "1", "1"), needs=frozenset({"stands"})))  # fmt: skip
    search = Search((1, 1, 1), tests, preparations={"stands": 6})
    assert best(search).minutes == pytest.approx(6 + 1 + 2 / 3)


def test_unknown_results_are_not_relied_on():
    tests = (Question("a", 1, ("0", "1", "")), Question("b", 5, ("0", "0", "1")))
    assert best(Search((1, 1, 1), tests)).tree.test == "b"
    assert best(Search((1, 1, 1), tests[:1])).tree.test == ""


@pytest.mark.parametrize("weights", [(), (0, 1), (-1, 2)])
def test_weights_of_nothing_are_refused(weights):
    tests = (Question("a", 1, tuple("01"[: len(weights)])),)
    with pytest.raises(ValueError, match="weights must be above zero"):
        best(Search(weights, tests))


def test_too_much_for_the_exact_search_goes_to_the_rule_of_thumb():
    rows = [[(fault >> bit) & 1 for bit in range(5)] for fault in range(20)]
    assert not best(of([1] * 20, rows)).exact
    assert exact(of([1] * 16, rows[:16]), most_sets=5) is None
    assert not best(of([1] * 16, rows[:16]), most_sets=5).exact
