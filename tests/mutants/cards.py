"""What can be done to a finished card: a step that was put in is taken out, moved one place, or says less."""

import copy
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

from tests.mutants.bench import Verdict
from tests.proof.demo_cards import exchanged, step_of, steps_of, without
from tests.proof.test_demo_cards import harmless

from benchleaf.card.proof import verify_plain

Mutant = tuple[str, Any]


def removed(card: Any) -> Iterator[Mutant]:
    """Without one step that was put in."""
    for step in steps_of(card):
        if step["role"]:
            yield f"step {step['number']} {step['role']}", without(card, step["key"])


def swapped(card: Any) -> Iterator[Mutant]:
    """Two steps in the other order, where the law of lockout gives them one."""
    for one, two in pairwise(steps_of(card)):
        if (one["role"] or two["role"]) and not harmless(one, two):
            other = exchanged(card, one["key"], two["key"])
            if other is not None:
                yield f"steps {one['number']} and {two['number']}", other


def changed(role: str, **facts: Any) -> Callable[[Any], Iterator[Mutant]]:
    """An operator that changes the facts of each inserted step of a role."""

    def mutants(card: Any) -> Iterator[Mutant]:
        for step in steps_of(card):
            if step["role"] == role:
                spoilt = copy.deepcopy(card)
                step_of(spoilt, step["key"])["facts"].update(copy.deepcopy(facts))
                yield f"step {step['number']}", spoilt

    return mutants


def no_exit(card: Any) -> Iterator[Mutant]:
    """A proof without its way out."""
    for step in steps_of(card):
        if step["role"] in ("prove", "inspect", "polarity"):
            spoilt = copy.deepcopy(card)
            ways = step_of(spoilt, step["key"])["facts"]["ways"]
            ways[:] = ways[:1]
            yield f"step {step['number']}", spoilt


OPERATORS: dict[str, Callable[[Any], Iterator[Mutant]]] = {
    "take an inserted step out": removed,
    "move an inserted step one place": swapped,
    "let a lock be for nothing": changed("lock", locks=[]),
    "let an isolator stay where it is": changed("isolate", sets={}),
    "prove something else": changed("prove", energies=[]),
    "cut the way out of a proof": no_exit,
}


def verdict(card: Any, spoilt: Any) -> Verdict:
    """Whether the verifier sees what was done."""
    known = {(doubt.point, doubt.step, doubt.energy, doubt.sentence) for doubt in verify_plain(card)}
    for doubt in verify_plain(spoilt):
        if (doubt.point, doubt.step, doubt.energy, doubt.sentence) not in known:
            return Verdict("caught", doubt.sentence)
    return Verdict("missed", "nothing is doubted")
