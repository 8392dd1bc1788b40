"""The passes stand in an order in which each finds what it needs."""

from benchleaf.passes.base import Facts
from benchleaf.passes.order import PASSES


def test_each_pass_needs_only_what_an_earlier_one_gives():
    given: set[str] = set()
    for each in PASSES:
        assert set(each.needs) <= given, f"{each.name} stands too early"
        given |= set(each.gives)
    assert given == set(Facts._fields)


def test_each_fact_is_given_once():
    gives = [fact for each in PASSES for fact in each.gives]
    assert len(gives) == len(set(gives))


def test_names_are_unique_and_each_pass_has_a_door():
    assert len({each.name for each in PASSES}) == len(PASSES)
    assert all(each.run or each.written or each.common for each in PASSES)


def test_rules_that_count_for_all_classes_are_rules_of_their_pass():
    assert all(rule in each.rules for each in PASSES for rule in each.idle)
    assert any(each.idle for each in PASSES) and any(each.by_class for each in PASSES)
