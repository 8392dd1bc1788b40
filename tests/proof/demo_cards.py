"""The cards of the project's own procedures as plain data, and what can be done to them."""

import pickle
from functools import cache
from pathlib import Path

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence
from benchleaf.card.compile import compile_card
from benchleaf.card.model import plain

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-01"
STRAIGHT = ("next", "inside", "yes")


@cache
def cards():
    """Each card of the demo for each class of machines by its procedure's name, with the class's key behind it."""
    return _cards(ROOT, "")


@cache
def trials():
    """The cards of the trial machines, by machine and procedure."""
    return _cards(ROOT / "tests" / "trials", "trial ")


def _cards(root, head):
    found = {}
    for one in judge(gather(Request(root, TODAY)), silence).judged:
        folder, name = one.key
        for held in one.classes:
            key = f"{head}{folder + ' ' if head else ''}{name} {held.case.variant.key}".strip()
            found[key] = compile_card(held.case, held.facts)
    return found


@cache
def _plain(name):
    whole = plain((trials() if name.startswith("trial ") else cards())[name])
    return pickle.dumps({part: whole[part] for part in ("facts", "hazards", "sections", "outcomes")})


def names():
    return sorted(cards())


def trial_names():
    return sorted(trials())


def card_of(name):
    """A copy of a card's plain data that may be spoilt."""
    return pickle.loads(_plain(name))


def copied(card):
    """A copy of plain data, made in a tenth of the time that `copy.deepcopy` takes."""
    return pickle.loads(pickle.dumps(card))


def steps_of(card):
    return [step for section in card["sections"] for step in section["steps"]]


def step_of(card, key):
    return next(step for step in steps_of(card) if step["key"] == key)


def straight(step):
    """The way on which work goes on."""
    ways = step["facts"]["ways"]
    return next((way for way in ways if way["side"] in STRAIGHT), ways[0])


def ways_to(card, key):
    return [way for step in steps_of(card) for way in step["facts"]["ways"] if way["to"] == key]


def without(card, key):
    """The card with one step left out and its ways closed over it."""
    card = copied(card)
    gone = step_of(card, key)
    for way in ways_to(card, key):
        way["to"] = straight(gone)["to"]
    for section in card["sections"]:
        section["steps"] = [step for step in section["steps"] if step is not gone]
        if not section["steps"]:
            for outcome in card["outcomes"]:
                outcome["closing"] = "" if outcome["closing"] == section["key"] else outcome["closing"]
    card["sections"] = [section for section in card["sections"] if section["steps"]]
    return card


def exchanged(card, first, second):
    """The card with two steps that follow each other in the other order; None where they are not simply in a row."""
    card = copied(card)
    one, two = step_of(card, first), step_of(card, second)
    between = [way for way in one["facts"]["ways"] if way["to"] == second]
    homes = [section for step in (one, two) for section in card["sections"] if step in section["steps"]]
    if not between or straight(two)["to"] == first:
        return None
    if homes[0] is not homes[1] and "closing" in (homes[0]["kind"], homes[1]["kind"]):
        return None
    for way in ways_to(card, first):
        way["to"] = second
    for way in between:
        way["to"] = straight(two)["to"]
    straight(two)["to"] = first
    places = [homes[0]["steps"].index(one), homes[1]["steps"].index(two)]
    homes[0]["steps"][places[0]], homes[1]["steps"][places[1]] = two, one
    return card
