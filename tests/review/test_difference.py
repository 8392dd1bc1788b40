"""Comparison in meaning: whatever is edited in a card is reported, and nothing else."""

import copy
import json
import re
from pathlib import Path

from hypothesis import assume, given, settings
from hypothesis import strategies as st

from benchleaf.build.candidate import candidates
from benchleaf.build.request import silence
from benchleaf.review.difference import compared, differences, in_words

ROOT = Path(__file__).resolve().parents[2]
NAMES = ("rc-48/throttle-adjust", "pc-9/tape-change", "ht-600/relief-adjust")
LAW = settings(max_examples=12)
# By its place rather than as it is, which would make the drawing slow.
CARDS = [
    next(iter(each.cards.values()))
    for each in candidates(ROOT, "2026-06-01", tuple(ROOT / f"procedures/{name}.yaml" for name in NAMES), silence)
]
CARD = st.integers(0, len(CARDS) - 1).map(lambda place: CARDS[place])


def steps(card):
    return [step for section in card["sections"] for step in section["steps"]]


NAMED = re.compile(r"\b([Ss]tep )(\d+)\b")


def numbered(card, before=()):
    """The card with its steps, once numbered as in `before`, numbered anew wherever a number of a step stands."""
    card = copy.deepcopy(card)
    old = {step["number"]: step["key"] for step in before or steps(card)}
    new = {step["key"]: number for number, step in enumerate(steps(card), 1)}

    def walk(value, field=""):
        if isinstance(value, dict):
            for key, each in value.items():
                if key in ("steps", "opened", "closed") and each and isinstance(each[0], int):
                    value[key] = [new[old[number]] for number in each if old[number] in new]
                elif isinstance(each, str):
                    value[key] = NAMED.sub(lambda found: f"{found[1]}{new.get(old.get(int(found[2])), found[2])}", each)
                else:
                    walk(each, key)
        elif isinstance(value, list):
            for each in value:
                walk(each, field)

    walk(card)
    for step in steps(card):
        step["number"] = new[step["key"]]
    return card


def of_step(change):
    return change.thing.rpartition("step ")[2].partition(",")[0]


@LAW
@given(CARD)
def test_a_card_does_not_differ_from_itself(card):
    assert differences(card, copy.deepcopy(card)) == ()
    assert compared({"": card}, {"": copy.deepcopy(card)}) == ()


@LAW
@given(CARD, st.data())
def test_a_step_taken_out_is_one_difference(card, data):
    named = {int(found[2]) for found in NAMED.finditer(json.dumps(card))}
    step = data.draw(st.sampled_from([each for each in steps(card) if each["number"] not in named]))
    without = copy.deepcopy(card)
    for section in without["sections"]:
        section["steps"] = [each for each in section["steps"] if each["key"] != step["key"]]
    for one, other, how in (
        (card, numbered(without, steps(card)), "removed"),
        (numbered(without, steps(card)), card, "added"),
    ):
        found = [change for change in differences(one, other) if change.kind == "step"]
        assert [(of_step(each), each.how) for each in found] == [(step["key"], how)]


@LAW
@given(CARD, st.data())
def test_a_step_that_moves_is_one_difference(card, data):
    moved = copy.deepcopy(card)
    long = [section for section in moved["sections"] if len(section["steps"]) > 3]
    assume(long)
    section = data.draw(st.sampled_from(long))
    there = section["steps"]
    start = data.draw(st.integers(0, len(there) - 1))
    stop = data.draw(st.sampled_from([place for place in range(len(there)) if abs(place - start) > 1]))
    step = there.pop(start)
    there.insert(stop, step)
    found = differences(card, numbered(moved))
    assert [(of_step(each), each.how) for each in found] == [(step["key"], "moved")]


WORDS = ("command", "info", "expect", "live", "meanwhile", "hold", "who", "time", "place", "part")


@LAW
@given(CARD, st.sampled_from(WORDS), st.data())
def test_a_field_of_a_step_is_one_difference(card, field, data):
    changed = copy.deepcopy(card)
    step = data.draw(st.sampled_from(steps(changed)))
    old = step.get(field)
    step[field] = f"{old or ''} and more."
    (found,) = differences(card, changed)
    assert of_step(found) == step["key"]
    assert (found.old, found.new) == (old, step[field])
    assert found.safety is (
        field in ("live", "meanwhile", "hold", "who") or (field in WORDS[:3] and "inserted" in step)
    )


@LAW
@given(CARD, st.sampled_from(("hazard", "avoidance", "word")), st.data())
def test_a_warning_is_one_difference_and_touches_safety(card, field, data):
    changed = copy.deepcopy(card)
    step = data.draw(st.sampled_from([each for each in steps(changed) if "warnings" in each]))
    data.draw(st.sampled_from(step["warnings"]))[field] = "Something else."
    (found,) = differences(card, changed)
    assert (found.kind, found.how, found.safety) == ("warning", "changed", True)
    step["warnings"] = step["warnings"][1:]
    lost = differences(card, changed)
    assert any(each.kind == "warning" and each.how == "removed" for each in lost)
    assert all(each.safety for each in lost)


LISTS = ("tools", "spares", "supplies", "equipment", "hazards", "outcomes", "emergency", "rests_on", "waivers", "crew")


@LAW
@given(CARD, st.sampled_from(LISTS), st.data())
def test_something_taken_out_of_a_list_is_one_difference(card, field, data):
    if not card.get(field):
        return
    changed = copy.deepcopy(card)
    changed[field].pop(data.draw(st.integers(0, len(changed[field]) - 1)))
    assert [each.how for each in differences(card, changed)] == ["removed"]
    assert [each.how for each in differences(changed, card)] == ["added"]


@LAW
@given(CARD, st.sampled_from(("title", "purpose", "owner", "revision", "pause", "time", "notice")))
def test_a_field_of_the_head_is_one_difference(card, field):
    (found,) = differences(card, {**card, field: "Something else."})
    assert (found.kind, found.new) == ("card", "Something else.")
    assert found.safety is (field in ("pause", "notice"))


def limited():
    """A card with its first step that has a limit with two sides."""
    for card in CARDS:
        for step in steps(card):
            band = step.get("reading", {}).get("band", {})
            if {"low", "high"} <= set(band):
                return card, step["key"], band
    raise AssertionError("no card has such a limit")


def test_a_limit_says_by_how_much_it_changed_and_which_way():
    card, key, band = limited()

    def changed(low="1", high="1"):
        other = copy.deepcopy(card)
        mine = next(step for step in steps(other) if step["key"] == key)["reading"]["band"]
        for side, factor in (("low", low), ("high", high)):
            mine[side]["value"] = str(float(band[side]["value"]) * float(factor))
        mine["sentence"] += "!"
        (found,) = differences(card, other)
        assert (found.kind, found.safety) == ("limit", True)
        return found.measure

    assert changed(low="1.1").endswith("; tighter") and "low +10 %" in changed(low="1.1")
    assert changed(high="1.05").endswith("; looser") and "high +5 %" in changed(high="1.05")
    assert changed(low="0.9").endswith("; looser")
    assert changed(low="1.1", high="1.1").endswith("; shifted")


@LAW
@given(CARD, st.data())
def test_what_touches_safety_comes_first_and_everything_can_be_said(card, data):
    changed = copy.deepcopy(card)
    changed["title"] = "Another title"
    step = data.draw(st.sampled_from(steps(changed)))
    step["live"] = "Live."
    found = differences(card, changed)
    assert [each.safety for each in found] == [True, False]
    assert all(in_words(each) and json.dumps(each) for each in found)


def test_cards_for_other_machines_are_differences_of_their_own():
    one, other = CARDS[0], CARDS[1]
    found = compared({"": one}, {"": one, "from-700": other})
    assert [(each.kind, each.how, each.safety, each.card) for each in found] == [("class", "added", True, "from-700")]


@LAW
@given(CARD, st.data())
def test_nothing_that_the_digest_sees_is_missed(card, data):
    """Any text anywhere in a card: where it changes, there is a difference."""
    changed = copy.deepcopy(card)
    places = list(texts(changed, ()))
    way = data.draw(st.sampled_from(places))
    here = changed
    for each in way[:-1]:
        here = here[each]
    here[way[-1]] = f"{here[way[-1]]} changed"
    assert differences(card, changed)


def texts(value, way):
    """Where texts stand that say something: not the format of the card."""
    if isinstance(value, dict):
        for key, each in value.items():
            if key != "format":
                yield from texts(each, (*way, key))
    elif isinstance(value, list):
        for place, each in enumerate(value):
            yield from texts(each, (*way, place))
    elif isinstance(value, str):
        yield way
