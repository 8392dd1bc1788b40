"""What can be done to a finished card: a step that was put in is taken out, moved one place, or says less."""

import copy
from collections.abc import Callable, Iterator
from itertools import pairwise
from typing import Any

from tests.mutants.bench import Verdict
from tests.mutants.spoilt import OPERATORS as SPOILT
from tests.proof.demo_cards import exchanged, step_of, steps_of, without
from tests.proof.test_demo_cards import harmless
from tests.proof.walks import dangers

from benchleaf.card.proof import verify_plain

Mutant = tuple[str, Any]
SWAP = "move an inserted step one place"


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
    SWAP: swapped,
    "let a lock be for nothing": changed("lock", locks=[]),
    "let an isolator stay where it is": changed("isolate", sets={}),
    "prove something else": changed("prove", energies=[]),
    "cut the way out of a proof": no_exit,
    **SPOILT,
}
# What changes which way is taken and what stands how, and no word that the card says of itself: the walker sees it all.
WALKED = frozenset(
    {
        "speak of another energy",
        "speak of one energy less",
        "go on behind a return of power",
        "go past a block",
        "move nothing back",
        "forget what a step closes",
    }
)


def independent(card: Any, spoilt: Any) -> bool:
    """Whether the two steps that changed places open covers for a proof, or move breaks back, and neither decides.

    No cover says when the other may move or what follows, feeds no energy, and hides nothing where the other is. Who
    moves a break back stands at its handle, and only what reaches that far could meet them.
    """
    first = [(one, two) for one, two in zip(steps_of(card), steps_of(spoilt), strict=True) if one["key"] != two["key"]]
    one, two = first[0]
    opening = all(each["action"] == "open" and (each["facts"]["access"] or each["role"]) for each in (one, two))
    restoring = all(each["role"] == "restore" and each["nearness"] == "controls" for each in (one, two))
    covers = [set(each["facts"]["sets"]) for each in (one, two)]
    facts = card["facts"]
    if not (opening or restoring) or covers[0] & covers[1] or any(each["facts"]["parts"] for each in (one, two)):
        return False
    met = [energy for energy in facts["energies"].values() if opening or energy["reach"] != "touch"]
    deciding = {name for energy in met for case in energy["when"] for name in case}
    deciding |= {name for energy in met if restoring for name in energy["isolate"]}
    for name in covers[0] | covers[1]:
        each = facts["conditions"][name]
        deciding |= {*each["move_when"], *(by for clause in each["follows"] for case in clause["when"] for by in case)}
    return not deciding & (covers[0] | covers[1])


def verdict(card: Any, spoilt: Any, operator: str = "") -> Verdict:
    """Whether the verifier sees what was done; where it need not, every path is walked and none must be worse."""
    known = {(doubt.point, doubt.step, doubt.energy, doubt.sentence) for doubt in verify_plain(card)}
    for doubt in verify_plain(spoilt):
        if (doubt.point, doubt.step, doubt.energy, doubt.sentence) not in known:
            return Verdict("caught", doubt.sentence)
    walked = operator in WALKED or (operator == SWAP and independent(card, spoilt))
    if walked and dangers(spoilt) <= dangers(card):
        return Verdict("harmless", "every path walked")
    return Verdict("missed", "nothing is doubted")
