"""A sample of all mutants: none is missed. The whole table: `tests/mutants/table.py`."""

import copy
from functools import cache
from itertools import islice

import pytest
from tests.mutants import bench, cards, machines, procedures

# Battery and motor, hydraulics, air and springs, and a string that is parted.
NAMES = ("rc-48 contactor-replace", "ht-600 relief-adjust", "pc-9 tape-change", "bc-96 block-swap")
A_FEW = 1


@cache
def trues():
    return [true for true in bench.cases() if true.name in NAMES]


def spread(mutants):
    """A few of the mutants of one true case, far from each other."""
    every = list(mutants)
    return islice(every, 0, None, max(1, len(every) // A_FEW))


def sample(operators, of):
    for operator, mutants in operators.items():
        for true in trues():
            for place, one in spread(mutants(of(true))):
                yield operator, true, place, one


def test_there_are_operators_enough_and_each_has_something_to_do():
    assert len(trues()) == len(NAMES)
    assert len(procedures.OPERATORS) >= 15
    everyone = bench.cases()
    idle = [
        name for name, of in procedures.OPERATORS.items() if not any([*of(true.case.procedure)] for true in everyone)
    ]
    idle += [name for name, of in machines.OPERATORS.items() if not any([*of(true.case.machine)] for true in everyone)]
    idle += [name for name, of in cards.OPERATORS.items() if not any(next(of(true.card), ()) for true in everyone)]
    assert idle == []


def test_openings_change_places_only_where_neither_decides_about_the_other():
    true = next(true for true in trues() if true.name == "bc-96 block-swap")
    place, swapped = next(each for each in cards.swapped(true.card) if each[0] == "steps 10 and 11")
    assert cards.verdict(true.card, swapped, cards.SWAP).outcome == "harmless"
    assert cards.verdict(true.card, swapped).outcome == "missed", place
    bound = copy.deepcopy(true.card)
    bound["facts"]["conditions"]["hood"]["move_when"] = {"lid": "off"}
    assert not cards.independent(bound, swapped)


def test_breaks_move_back_in_either_order_only_where_neither_decides_about_the_other():
    true = next(true for true in bench.cases() if true.name == "ax-9 no-tip")
    swapped = next(one for place, one in cards.swapped(true.card) if place == "steps 44 and 45")
    assert cards.verdict(true.card, swapped, cards.SWAP).outcome == "harmless"
    bound = copy.deepcopy(true.card)
    bound["facts"]["energies"]["bus"]["reach"] = "zone"
    assert not cards.independent(bound, swapped)


@pytest.mark.parametrize("name", NAMES)
def test_the_unmutated_card_is_whole_to_the_judge_too(name):
    true = next(true for true in trues() if true.name == name)
    assert bench.of_procedure(true, true.case) == bench.Verdict("harmless", "every path walked")


@pytest.mark.parametrize("operator", procedures.OPERATORS)
def test_no_mutated_procedure_is_missed(operator):
    chosen = [each for each in sample({operator: procedures.OPERATORS[operator]}, lambda true: true.case.procedure)]
    verdicts = {
        f"{true.name}, {place}": bench.of_procedure(true, true.case._replace(procedure=one))
        for _, true, place, one in chosen
    }
    assert {place: verdict for place, verdict in verdicts.items() if verdict.outcome == "missed"} == {}


@pytest.mark.parametrize("operator", machines.OPERATORS)
def test_a_mutated_machine_file_is_caught_or_told_under_what_the_card_rests_on(operator):
    chosen = [each for each in sample({operator: machines.OPERATORS[operator]}, lambda true: true.case.machine)]
    verdicts = {
        f"{true.name}, {place}": bench.of_machine(true, true.case._replace(machine=one))
        for _, true, place, one in chosen
    }
    assert {place: verdict for place, verdict in verdicts.items() if verdict.outcome == "missed"} == {}


@pytest.mark.parametrize("operator", cards.OPERATORS)
def test_a_spoilt_card_turns_the_verifier_red(operator):
    verdicts = {
        f"{true.name}, {place}": cards.verdict(true.card, one, operator)
        for _, true, place, one in sample({operator: cards.OPERATORS[operator]}, lambda true: true.card)
    }
    assert {place for place, verdict in verdicts.items() if verdict.outcome == "missed"} == set()
