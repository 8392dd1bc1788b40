"""What is put in for machines that the demo does not have, read as whoever holds the card would read it."""

import pytest
from tests.benchmarks import growth
from tests.proof.demo_cards import card_of, steps_of, trial_names

from benchleaf.card.proof import verify_plain


def roles(name, key=""):
    """Role and command of each step on a trial card; from the step `key` on where one is named."""
    steps = steps_of(card_of(f"trial {name}"))
    start = next((at for at, step in enumerate(steps) if step["key"] == key), 0)
    return [(step["role"], step["command"]) for step in steps[start:]]


def before(name, words):
    """The roles of the inserted steps straight before the written one that says these words, nearest last."""
    found = roles(name)
    at = next(place for place, (role, command) in enumerate(found) if not role and words in command)
    start = at
    while found[start - 1][0]:
        start -= 1
    return [role for role, _ in found[start:at]]


def commands(name):
    return [command for _, command in roles(name)]


def warnings(name, words):
    """The warnings before the first step whose command has these words."""
    step = next(step for step in steps_of(card_of(f"trial {name}")) if words in step["command"])
    return {warn["key"]: warn["word"] for warn in step["warnings"]}


def test_polarity_is_proved_before_the_last_link():
    # Common practice, no source: a block the wrong way round shorts the string when the last link touches.
    assert before("bc-96 block-swap", "Fit the mid link") == ["polarity"]
    assert before("us-5 pack-swap", "Press the output button")[0] == "polarity"
    assert "polarity" not in [role for role, _ in roles("bc-96 no-drive")]


def test_what_comes_back_is_let_go_and_proved_before_hands_each_time():
    # 29 CFR 1910.147(d)(5)(ii): verification goes on as long as stored energy may come back.
    for words in ("Swap the ram seal", "Tighten the M12", "Clean the manifold"):
        assert before("pv-3 seal-replace", words)[-3:] == ["relieve", "prove", "prove"]
    # Only what comes back is proved once more, not the mains as well; behind a hold everything is.
    assert len(before("pv-3 seal-replace", "Swap the ram seal")) == 3
    assert len(before("pv-3 seal-replace", "Close the ram guard")) > 5
    assert before("pv-3 seal-replace", "Press the down button and hold")[:3] == ["relieve", "prove", "prove"]


def test_a_gauge_is_looked_at_and_the_control_tried():
    found = commands("pv-3 seal-replace")
    looked = found.index("See that the gauge of the manifold stands on zero.")
    assert found[looked + 1] == "Press the down button. See that nothing moves."


def test_what_the_writer_places_and_takes_is_not_placed_and_taken_twice():
    found = commands("tr-8 hub-service")
    assert found.count("Place the bed prop.") == 1 and found.count("Take away the bed prop.") == 1
    assert found.count("Raise the load bed with the side lever.") == 1


def test_chocks_stay_while_a_load_is_lowered():
    found = roles("tr-8 hub-service")
    lower = next(at for at, (_, command) in enumerate(found) if command == "Lower the load bed.")
    assert found[lower - 1][1] == "Take away the bed prop."


def test_a_load_is_propped_while_there_is_power_and_freed_when_power_is_back():
    # Make safe first (lower, block), then shut off: common practice, no source. Lifting it off its strut needs power.
    found = commands("ax-9 ram-swap")
    at = found.index
    assert at("Swing the strut up and lower the skip onto it.") < at("Set the battery breaker to 'broken'.")
    freed = at("Raise the skip until the strut is free and swing it down.")
    assert at("Set the battery breaker to 'made'.") < freed < at("Push the lever up.")


def test_nobody_stands_below_what_is_lowered_at_the_end():
    # 29 CFR 1910.147(e)(1) and (2): the area is looked at, and everybody stands clear, though no lock was left.
    found = roles("ax-9 ram-swap", "closing-1-1-check")
    assert [role for role, _ in found[:4]] == ["check", "clear", "restore", "tell-back"]
    assert found[2][1] == "Set the skip to 'down'."


def test_a_charger_is_unlocked_before_it_is_plugged():
    found = commands("bc-96 block-swap")
    charge = found.index("Charge the bank to full.")
    assert "Take your own lock and tag off the charger plug." in found[:charge]
    assert found.count("Set the charger plug to 'plugged'.") == 0


def test_a_valve_that_was_opened_is_shut_once():
    closing = commands("tr-8 hub-service")[-22:-10]
    assert closing.count("Set the tank drain to 'shut'.") == 1


def test_a_break_that_the_writer_parts_is_locked_where_it_stands_and_unlocked_before_it_is_joined():
    found = commands("bc-96 own-parting")
    assert (
        found[1] == "Disconnect the battery disconnect." and "Check that the battery disconnect stands at" in found[7]
    )
    assert found.index("Take your own lock and tag off the battery disconnect.") < found.index(
        "Connect the battery disconnect."
    )
    assert "Set the battery disconnect to 'joined'." not in found


def test_one_proof_behind_the_cover_serves_whoever_comes_to_it():
    """What one way locks and another has locked already is proved all the same."""
    found = commands("bc-96 clean-again")
    assert "See that the charger plug lies under its cover." in found[: found.index("Clean the inverter.")]


def test_leads_go_back_after_a_current():
    card = card_of("trial bc-96 no-drive")
    step = next(step for step in steps_of(card) if step["facts"]["measure"] == "dc-current")
    assert "voltage sockets" in step["info"] and step["facts"]["leads"] == "back"


def test_signal_words_follow_kind_and_size():
    # ANSI Z535.6 (from memory): danger will, warning could kill or maim, caution could hurt.
    assert warnings("us-5 pack-swap", "Remove the lithium pack") == {
        "stays:pack": "warning", "handle-lithium:pack": "warning", "lift:pack": "caution",
    }  # fmt: skip
    assert "lift:starter-battery" not in str(card_of("trial tr-8 hub-service"))  # 12 kg, and NIOSH gives 23 kg


def test_a_cooled_exhaust_is_not_warned_of():
    """Its cooling time has passed before anybody comes near."""
    assert "hands:exhaust" not in str(card_of("trial tr-8 hub-service"))


@pytest.mark.parametrize("name", trial_names())
def test_each_warning_has_a_reason_and_stands_once_where_nothing_came_between(name):
    card = card_of(name)
    exposed = {warn["key"] for step in steps_of(card) for warn in step["warnings"]}
    given = [warn for step in steps_of(card) for warn in step["warnings"]]
    assert all(warn["reason"]["rule"] and warn["reason"]["sentence"] for warn in given)
    lockouts = sum(step["role"] == "tell" for step in steps_of(card))
    for key in exposed:
        assert sum(warn["key"] == key for warn in given) <= 1 + lockouts, key


def test_circuits_behind_one_break_are_all_shown_gone():
    """Twelve circuits behind two breaks, and hands near four of them: 29 CFR 1910.333(b)(2)."""
    assert verify_plain(growth.card_of(60, 12)) == ()
