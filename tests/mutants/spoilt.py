"""What a finished card may say wrongly: other ways, energies, numbers, points and isolators, and two at once."""

import copy
import random
from collections.abc import Callable, Iterator
from itertools import islice
from typing import Any

from tests.proof.demo_cards import exchanged, step_of, steps_of, straight, ways_to, without

Mutant = tuple[str, Any]
PROVING = ("prove", "inspect", "polarity")
FREEING = ("restore", "unlock")
SEED = 11
# So many pairs of changes are drawn for each card.
PAIRS = 12


def at(test: Callable[[Any], bool], change: Callable[[Any, Any], object]) -> Callable[[Any], Iterator[Mutant]]:
    """An operator that changes each step of some sort in a copy of the card; a change that gives False is none."""

    def mutants(card: Any) -> Iterator[Mutant]:
        for step in steps_of(card):
            if test(step):
                spoilt = copy.deepcopy(card)
                if change(spoilt, step_of(spoilt, step["key"])) is not False:
                    yield f"step {step['number']} {step['role']}", spoilt

    return mutants


def of_role(*roles: str) -> Callable[[Any], bool]:
    return lambda step: step["role"] in roles


def swap_exits(card: Any, step: Any) -> None:
    one, two = step["facts"]["ways"][:2]
    one["to"], two["to"] = two["to"], one["to"]


def fail_on(card: Any, step: Any) -> None:
    for way in step["facts"]["ways"][1:]:
        way["to"] = step["facts"]["ways"][0]["to"]


def fewer_pairs(card: Any, step: Any) -> None:
    step["reading"]["pairs"] = step["reading"]["pairs"][1:]


def other_point(card: Any, step: Any) -> None:
    """One pair of the proof read twice at the same point: it is zero always."""
    pair = step["reading"]["pairs"][0]
    step["reading"]["pairs"][0] = [pair[0], copy.deepcopy(pair[0])]


def other_measure(card: Any, step: Any) -> None:
    wrong = {"dc-voltage": "ac-voltage", "ac-voltage": "dc-voltage"}.get(step["facts"]["measure"], "resistance")
    step["facts"]["measure"] = step["reading"]["measure"] = wrong


def higher(card: Any, step: Any) -> object:
    """The number under which a proof counts, ten times as high."""
    high = step["reading"]["band"]["high"] if step["reading"]["band"] else None
    if high is None:
        return False
    high["value"] = f"{high['value']}0"
    return True


def shorter(card: Any, step: Any) -> None:
    step["wait"]["value"] = "1"


def other_energy(card: Any, step: Any) -> object:
    """The step speaks of the next energy of the machine file."""
    every = list(card["facts"]["energies"])
    named = step["facts"]["energies"]
    others = [key for key in every if key not in named]
    if not others or not named:
        return False
    behind = every.index(named[0])
    step["facts"]["energies"] = [next((key for key in others if every.index(key) > behind), others[0])]
    return True


def one_energy_less(card: Any, step: Any) -> object:
    if not step["facts"]["energies"]:
        return False
    del step["facts"]["energies"][0]
    return True


def other_isolator(card: Any, step: Any) -> object:
    """What is moved or locked under the name of another isolator."""
    breaks = [name for name, each in card["facts"]["conditions"].items() if each["isolates"]]
    sets, locks = step["facts"]["sets"], step["facts"]["locks"]
    others = [name for name in breaks if name not in sets and name not in locks]
    if not others or not (sets or locks):
        return False
    if locks:
        locks[0] = others[0]
    if sets:
        name = next(iter(sets))
        if name not in breaks:
            return False
        del sets[name]
        sets[others[0]] = card["facts"]["conditions"][others[0]]["values"][-1]
    return True


def other_value(card: Any, step: Any) -> object:
    """An isolator is brought to a value in which it isolates nothing."""
    for name in step["facts"]["sets"]:
        isolating = {each["isolate"].get(name) for each in card["facts"]["energies"].values()}
        values = card["facts"]["conditions"].get(name, {"values": ["out", "in-place"]})["values"]
        others = [value for value in values if value not in isolating]
        if others:
            step["facts"]["sets"][name] = others[0]
            return True
    return False


def before_closing(card: Any) -> Iterator[Mutant]:
    """What gives power back comes before the first step of its run of return."""
    steps = steps_of(card)
    for place, step in enumerate(steps):
        if step["role"] not in FREEING:
            continue
        first = place
        while first and steps[first - 1]["role"] in ("close", "check", "clear"):
            first -= 1
        spoilt = card
        for before in range(place - 1, first - 1, -1):
            spoilt = exchanged(spoilt, steps[before]["key"], step["key"]) if spoilt is not None else None
        if first < place and spoilt is not None:
            yield f"step {step['number']} {step['role']}", spoilt


def past_restoration(card: Any) -> Iterator[Mutant]:
    """A written step before a return of power goes on behind it, or goes to where the lockout is over."""
    steps = steps_of(card)
    backs = [place for place, step in enumerate(steps) if step["role"] in FREEING]
    for place, step in enumerate(steps):
        behind = next((at for at in backs if at > place), None)
        if step["role"] or behind is None:
            continue
        after = next((each for each in steps[behind:] if each["role"] not in (*FREEING, "tell-back")), None)
        if after is not None and all(way["to"] != after["key"] for way in step["facts"]["ways"]):
            spoilt = copy.deepcopy(card)
            straight(step_of(spoilt, step["key"]))["to"] = after["key"]
            yield f"step {step['number']} to {after['number']}", spoilt


def before_lockout(card: Any) -> Iterator[Mutant]:
    """What leads to a block of inserted steps leads past all of it, to the work behind."""
    for step in steps_of(card):
        onward = straight(step)["to"]
        first = next((each for each in steps_of(card) if each["key"] == onward), None)
        if first is None or not first["role"] or step["role"]:
            continue
        passed = first
        while passed["role"]:
            to = straight(passed)["to"]
            found = next((each for each in steps_of(card) if each["key"] == to), None)
            if found is None:
                break
            passed = found
        if not passed["role"]:
            spoilt = copy.deepcopy(card)
            for way in ways_to(spoilt, onward):
                way["to"] = passed["key"]
            yield f"step {step['number']} to {passed['number']}", spoilt


def later_warning(card: Any) -> Iterator[Mutant]:
    """The warnings of a step stand at the step behind it."""
    for step in steps_of(card):
        after = next((each for each in steps_of(card) if each["key"] == straight(step)["to"]), None)
        if step["warnings"] and after is not None:
            spoilt = copy.deepcopy(card)
            here, there = step_of(spoilt, step["key"]), step_of(spoilt, after["key"])
            there["warnings"] = [*here["warnings"], *there["warnings"]]
            here["warnings"] = []
            yield f"step {step['number']} {[each['key'] for each in step['warnings']]}", spoilt


def less_stays(card: Any, step: Any) -> None:
    step["facts"]["stays"] = []


def nothing_back(card: Any, step: Any) -> None:
    step["facts"]["sets"] = {}


def not_closed(card: Any, step: Any) -> None:
    step["facts"]["closes"] = []


def other_end(card: Any) -> Iterator[Mutant]:
    """What is left out of service ends ready for use instead."""
    for outcome in card["outcomes"]:
        if outcome["leave"] == "out-of-service":
            spoilt = copy.deepcopy(card)
            next(each for each in spoilt["outcomes"] if each["key"] == outcome["key"])["leave"] = "as-final"
            yield outcome["key"], spoilt


def two_at_once(card: Any) -> Iterator[Mutant]:
    """Two inserted steps out at once, or one out and another's energies gone, drawn by chance."""
    drawn = random.Random(f"{SEED} {len(steps_of(card))}")
    put_in = [step for step in steps_of(card) if step["role"]]
    for _ in range(PAIRS if len(put_in) > 1 else 0):
        one, two = drawn.sample(put_in, 2)
        spoilt = without(card, one["key"])
        if two["facts"]["energies"] and drawn.random() < 0.5:
            step_of(spoilt, two["key"])["facts"]["energies"] = []
            yield f"steps {one['number']} out, {two['number']} names nothing", spoilt
        else:
            yield f"steps {one['number']} and {two['number']} out", without(spoilt, two["key"])


def _volts(step: Any) -> bool:
    return step["role"] == "prove" and step["action"] == "measure"


OPERATORS: dict[str, Callable[[Any], Iterator[Mutant]]] = {
    "swap the exits of a proof": at(of_role(*PROVING), swap_exits),
    "let a failing proof go on": at(of_role(*PROVING), fail_on),
    "drop a pair of points of a proof": at(lambda s: _volts(s) and s["reading"]["pairs"], fewer_pairs),
    "put both probes on one point": at(lambda s: _volts(s) and s["reading"]["pairs"], other_point),
    "prove by another measure": at(_volts, other_measure),
    "let more pass as zero": at(_volts, higher),
    "shorten a wait": at(of_role("wait"), shorter),
    "speak of another energy": at(of_role(*PROVING, "relieve", "wait"), other_energy),
    "speak of one energy less": at(of_role(*PROVING, "relieve", "wait"), one_energy_less),
    "name another isolator": at(of_role("isolate", "lock", "unlock", "restore"), other_isolator),
    "bring an isolator elsewhere": at(of_role("isolate", "safe"), other_value),
    "give power back before closing": before_closing,
    "go on behind a return of power": past_restoration,
    "go past a block": before_lockout,
    "warn one step later": later_warning,
    "forget what stays live": at(lambda s: bool(s["facts"]["stays"]), less_stays),
    "move nothing back": at(lambda s: s["role"] in ("restore", "close") and s["facts"]["sets"], nothing_back),
    "forget what a step closes": at(lambda s: bool(s["facts"]["closes"]), not_closed),
    "call a machine ready": other_end,
    "spoil two steps at once": two_at_once,
}


def some(card: Any, name: str, count: int) -> Iterator[Mutant]:
    """The first few mutants of one operator."""
    return islice(OPERATORS[name](card), count)
