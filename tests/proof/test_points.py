"""Each of the eight points on a small rig: the honest card is confirmed, and what is wrong is told where it stands."""

import copy

import pytest
from tests.proof.demo_cards import exchanged, step_of, steps_of, without
from tests.proof.drawn_cards import PAIRS, condition, step
from tests.proof.rig import BEFORE, FACTS, LOCKOUT, POWER, PROVE, WAY_OUT, WORK, card

from benchleaf.base.rules import FAMILIES
from benchleaf.card.proof import POINTS, Passed, told, verify_plain
from benchleaf.card.proof_rules import NOT_CONFIRMED, RULES


def said(spoilt, written=()):
    """(point, step, energy) of each doubt."""
    return {(doubt.point, doubt.step, doubt.energy) for doubt in verify_plain(spoilt, written)}


def changed(key, **facts):
    spoilt = card()
    step_of(spoilt, key)["facts"].update(facts)
    return spoilt


def put(after, new, ways=()):
    """The honest card with a step more."""
    every = BEFORE + LOCKOUT + WORK + POWER
    at = next(at for at, (each, _) in enumerate(every) if each["key"] == after) + 1
    return card([*every[:at], (new, [*ways]), *every[at:]])


def facts_with(table, name, **changes):
    return FACTS | {table: FACTS[table] | {name: FACTS[table].get(name, {}) | changes}}


def test_the_honest_card_is_confirmed():
    assert verify_plain(card()) == ()


@pytest.mark.parametrize(
    ("key", "expected"),
    [
        ("confirm", (2, "rest", "")),
        ("tell", (2, "shut", "")),
        ("shut", (2, "isolate", "")),
        ("isolate", (1, "loosen", "wiring")),
        ("lock", (1, "loosen", "wiring")),
        ("wait", (1, "loosen", "charge")),
        ("access", (2, "zero", "wiring")),
        ("tester-1", (3, "zero", "")),
        ("zero", (1, "loosen", "wiring")),
        ("tester-2", (3, "try", "")),
        ("try", (1, "loosen", "arm")),
        ("close", (2, "unlock", "")),
        ("check", (2, "unlock", "")),
        ("clear", (2, "unlock", "")),
        ("unlock", (6, "restore", "")),
        ("restore", (6, "start", "wiring")),
        ("tell-back", (2, "start", "")),
        ("again-tell", (2, "again-shut", "")),
        ("again-isolate", (4, "", "wiring")),
        ("again-lock", (4, "", "wiring")),
        ("leave", (2, "hand-over", "")),
        ("tag", (2, "hand-over", "")),
        ("hand-over", (4, "", "")),
    ],
)
def test_each_step_of_the_lockout_bears_load(key, expected):
    assert expected in said(without(card(), key))


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("confirm", "rest", (2, "confirm", "")),
        ("rest", "tell", (2, "shut", "")),
        ("shut", "isolate", (2, "isolate", "")),
        ("isolate", "lock", (2, "lock", "")),
        ("lock", "wait", (2, "lock", "")),
        ("wait", "access", (2, "wait", "")),
        ("access", "tester-1", (2, "access", "")),
        ("tester-1", "zero", (3, "zero", "")),
        ("zero", "tester-2", (1, "loosen", "wiring")),
        ("tester-2", "try", (3, "try", "")),
        ("try", "loosen", (1, "loosen", "arm")),
        ("close", "check", (2, "close", "")),
        ("check", "clear", (2, "check", "")),
        ("clear", "unlock", (2, "unlock", "")),
        ("unlock", "restore", (6, "restore", "")),
        ("restore", "tell-back", (2, "restore", "")),
        ("tell-back", "start", (2, "start", "")),
        ("leave", "tag", (2, "leave", "")),
        ("tag", "hand-over", (2, "hand-over", "")),
    ],
)
def test_no_two_steps_of_the_lockout_change_places(first, second, expected):
    assert expected in said(exchanged(card(), first, second))


def test_a_lock_is_only_worth_something_on_the_open_break():
    spoilt = exchanged(card(), "isolate", "lock")
    assert (1, "loosen", "wiring") in said(spoilt)


@pytest.mark.parametrize(
    ("key", "facts", "expected"),
    [
        ("zero", {"energies": []}, (1, "loosen", "wiring")),
        ("zero", {"measure": "ac-voltage"}, (1, "loosen", "wiring")),
        ("try", {"energies": []}, (1, "loosen", "arm")),
        ("wait", {"energies": ["wiring"]}, (1, "loosen", "charge")),
        ("lock", {"locks": []}, (2, "lock", "")),
        ("unlock", {"locks": []}, (2, "unlock", "")),
        ("rest", {"live": []}, (1, "rest", "wiring")),
        ("rest", {"measure": "continuity"}, (5, "rest", "wiring")),
        ("ohms", {"live": ["wiring"], "measure": "dc-voltage"}, (6, "ohms", "wiring")),
        ("ohms", {"measure": "dc-voltage", "power": "on"}, (6, "ohms", "wiring")),
        ("loosen", {"live": ["wiring"]}, (6, "loosen", "wiring")),
        ("rest", {"live": ["arm", "wiring"]}, (6, "rest", "arm")),
        ("tighten", {"closes": []}, (2, "unlock", "")),
        ("halt", {"sets": {}}, (4, "", "")),
        ("close", {"sets": {"lid": "open"}}, (4, "", "")),
        ("start", {"opens": ["place:jumper"], "sets": {"key": "on", "jumper": "in-place"}}, (4, "", "")),
    ],
)
def test_what_a_step_does_is_held_against_the_machine(key, facts, expected):
    assert expected in said(changed(key, **facts))


def test_a_reading_at_fewer_points_proves_nothing():
    spoilt = card()
    step_of(spoilt, "zero")["reading"]["pairs"].pop()
    assert (1, "loosen", "wiring") in said(spoilt)


def test_low_voltage_may_be_probed():
    low = facts_with("energies", "wiring", highest=24.0)
    plain = card(facts=low)
    step_of(plain, "rest")["facts"]["live"] = []
    assert said(plain) == set()


@pytest.mark.parametrize(
    ("after", "new", "expected"),
    [
        ("rest", step("new", "loosen", "hands", parts=["box"]), (1, "new", "wiring")),
        ("rest", step("new", "clean", "hands", parts=["gear"]), (1, "new", "arm")),
        ("rest", step("new", "feel", "hands"), (1, "new", "charge")),
        ("rest", step("new", "open", "hands", sets={"lid": "open"}, opens=["open:lid"]), (1, "new", "arm")),
        ("rest", step("new", "adjust", "hands", parts=["box"], live=["wiring"]), (1, "new", "charge")),
        ("rest", step("new", "operate", "controls", sets={"key": "on"}), (1, "new", "arm")),
        ("wait", step("new", "ask", "senses"), (3, "new", "")),
        ("loosen", step("new", "operate", "controls", "restore", sets={"plug": "mated"}), (6, "new", "")),
        ("loosen", step("new", "wait", "controls", "wait", energies=["charge"]), (1, "tighten", "charge")),
        ("loosen", step("new", "look", "senses", "prove", energies=["wiring"]), (2, "new", "")),
        ("halt", step("new", "operate", "controls", "restore", sets={"plug": "parted"}), (4, "", "")),
        ("start", step("new", "operate", "controls", sets={"plug": "parted"}), (6, "new", "")),
        ("try", step("new", "ask", "senses", hold="Stop here."), (1, "loosen", "wiring")),
        ("halt", step("new", "place", "controls", "lock", locks=["plug"]), (4, "", "")),
        ("rest", step("new", "look", "senses", "confirm"), (2, "new", "")),
    ],
)
def test_a_step_too_many_is_told(after, new, expected):
    assert expected in said(put(after, new))


def test_a_way_round_the_lockout_is_found_with_its_path():
    spoilt = card()
    step_of(spoilt, "rest")["facts"]["ways"].append({"side": "above", "to": "loosen", "at_most": 0})
    doubt = next(doubt for doubt in verify_plain(spoilt) if doubt.step == "loosen" and doubt.energy == "wiring")
    assert doubt.point == 1
    assert doubt.sentence == "Hands come within reach of the 60 V wiring, which is not isolated here."
    assert doubt.path == (Passed(1, "next"), Passed(2, "above"), Passed(13, ""))
    assert doubt.text.endswith("Path: 1–2 (above), 13.")


def test_paths_are_told_shortly():
    path = [
        Passed(1, "next"),
        Passed(2, "inside"),
        Passed(3, "yes"),
        Passed(4, "next"),
        Passed(9, "next"),
        Passed(10, ""),
    ]
    assert told(tuple(path)) == "1–3 (yes), 4, 9–10"


@pytest.mark.parametrize(
    ("to", "step_key"),
    [("nowhere", "rest"), ("outcome:nothing", "rest")],
)
def test_ways_that_lead_nowhere(to, step_key):
    spoilt = card()
    step_of(spoilt, step_key)["facts"]["ways"][1]["to"] = to
    assert (4, step_key, "") in said(spoilt)


def test_a_path_that_never_ends():
    spoilt = card()
    step_of(spoilt, "halt")["facts"]["ways"] = [{"side": "next", "to": "start", "at_most": 0}]
    step_of(spoilt, "start")["facts"]["ways"] = [{"side": "next", "to": "halt", "at_most": 0}]
    assert {(4, "halt", ""), (4, "start", "")} <= said(spoilt)


def test_a_step_that_nothing_follows():
    assert (4, "ohms", "") in said(changed("ohms", ways=[]))


def test_a_proof_without_a_way_out():
    spoilt = card()
    del step_of(spoilt, "zero")["facts"]["ways"][1]
    assert (2, "zero", "") in said(spoilt)


def test_a_way_out_that_unlocks_is_none():
    spoilt = card()
    spoilt["outcomes"][3]["closing"] = "closing-2"
    assert said(spoilt) == set()
    step_of(spoilt, "left-leave")["role"] = "unlock"
    assert (2, "zero", "") in said(spoilt)


def test_a_control_isolates_nothing():
    conditions = FACTS["conditions"] | {"plug": condition(("mated", "parted"), control=True, lock=True)}
    assert (8, "", "wiring") in said(card(facts=FACTS | {"conditions": conditions}))


def test_controls_in_when_never_protect_hands():
    quiet = facts_with("energies", "wiring", when=[{"key": ["on"]}])
    spoilt = card(facts=quiet)
    step_of(spoilt, "rest")["facts"]["ways"].append({"side": "above", "to": "loosen", "at_most": 0})
    assert (1, "loosen", "wiring") in said(spoilt)


def test_written_steps_word_for_word_in_order():
    honest = card()
    written = [(each["key"], each["command"]) for each in steps_of(honest) if not each["role"]]
    assert said(honest, written) == set()
    assert (7, "loosen", "") in said(without(honest, "loosen"), written)
    assert (7, "rest", "") in said(honest, written[1:])
    assert (7, "rest", "") in said(honest, [("rest", "Do something else."), *written[1:]])
    assert (7, "tighten", "") in said(exchanged(honest, "ohms", "tighten"), written)


def test_what_goes_together_is_not_parted():
    assert (7, "rest", "") in said(changed("rest", together=True))
    assert said(changed("loosen", together=True)) == set()


BATTERY = FACTS["energies"]["charge"] | {
    "kind": "battery", "stays_live": True, "waits": False, "fed_by": [], "highest": 48.0, "chemistry": "nickel",
}  # fmt: skip
STAYS = [{"key": "stays:pack"}]


def bank(key, action, warnings=(), **facts):
    """A step with hands at the bank, which the card counts as work at what stays live."""
    return step(key, action, "hands", parts=["bank"], stays=["pack"], **facts) | {"warnings": list(warnings)}


def with_battery(*work, **changes):
    """The rig with a battery in a box of its own, and a card that locks out, looks at it, works there and goes back."""
    facts = facts_with("energies", "pack", **(BATTERY | changes))
    facts["parts"] = FACTS["parts"] | {"bank": {"in": "", "on": "", "exposes": [{"energy": "pack", "unless": {}}]}}
    look = (step("sound", "look", "senses", "inspect", energies=["pack"]), [("unsafe", "outcome:not-zero")])
    return card([*BEFORE, *LOCKOUT, look, *((each, []) for each in work), *POWER], facts)


CLEAN = bank("clean", "clean", STAYS)
POLARITY = step("plus", "measure", "probe", "polarity", energies=["pack"])


def test_batteries_are_looked_at_before_hands_come():
    assert said(with_battery(CLEAN)) == set()
    honest = with_battery(CLEAN)
    assert (2, "clean", "pack") in said(without(honest, "sound"))
    step_of(honest, "sound")["facts"]["ways"].pop()
    assert (2, "clean", "pack") in said(honest)


def test_what_stays_live_is_counted_and_warned_of():
    assert said(with_battery(CLEAN | {"warnings": []})) == {(2, "clean", "pack")}
    assert said(with_battery(CLEAN | {"warnings": [{"key": "lift:pack"}]})) == {(2, "clean", "pack")}
    uncounted = step("clean", "clean", "hands", parts=["bank"]) | {"warnings": STAYS}
    assert said(with_battery(uncounted)) == {(1, "clean", "pack")}


def test_a_whole_string_within_reach_stays_under_50_volts():
    # 50 V: 29 CFR 1910.333(a)(1).
    assert said(with_battery(CLEAN, highest=50.0)) == {(1, "clean", "pack")}
    assert said(with_battery(CLEAN, highest=49.9)) == set()
    parted = {"when": {"lid": "open"}, "into": 2}  # the lid of the rig stands open here; shut, it joins the string
    assert said(with_battery(CLEAN, highest=98.0, parted=parted)) == {(2, "close", "pack")}
    assert said(with_battery(CLEAN, highest=100.0, parted=parted)) == {(1, "clean", "pack"), (2, "close", "pack")}
    assert said(with_battery(CLEAN, highest=98.0, parted={"when": {"lid": "shut"}, "into": 2})) == {
        (1, "clean", "pack")
    }


def test_loads_and_charging_paths_are_cut_before_hands_come_to_a_battery():
    honest = with_battery(CLEAN)
    honest["facts"]["energies"]["wiring"]["fed_by"] = ["pack"]
    assert said(honest) == set()
    assert {(1, "clean", "wiring"), (1, "clean", "charge")} <= said(without(honest, "lock"))


def test_hands_stay_away_for_an_hour_after_a_charge():
    charge = step("charge", "charge", "controls", warned=["arm"])
    pause = step("pause", "wait", "controls", seconds=3600)
    short = step("pause", "wait", "controls", seconds=3599)
    assert (2, "clean", "pack") in said(with_battery(charge, CLEAN))
    assert (2, "clean", "pack") in said(with_battery(charge, short, CLEAN))
    assert (2, "clean", "pack") not in said(with_battery(charge, pause, CLEAN))
    aired = dict(CLEAN, facts=CLEAN["facts"] | {"airs": True})
    assert (2, "clean", "pack") not in said(with_battery(charge, aired))
    assert (2, "clean", "pack") not in said(with_battery(charge, CLEAN, chemistry="lithium-iron-phosphate"))


@pytest.mark.parametrize("action", ["remove", "fit", "swap", "disconnect", "connect"])
def test_polarity_is_proved_before_what_was_moved_is_joined(action):
    wired = {"fed_by": ["pack"]}

    def joined(*work):
        spoilt = with_battery(*work)
        spoilt["facts"]["energies"]["wiring"] |= wired
        for each in steps_of(spoilt):
            if each["key"] == "plus":
                each["facts"]["ways"].append({"side": "wrong", "to": "outcome:not-zero", "at_most": 0})
        return said(spoilt)

    moved = bank("moved", action, STAYS)
    assert (2, "restore", "pack") in joined(moved)
    assert joined(moved, POLARITY) == set()
    assert (2, "restore", "pack") in joined(POLARITY, moved)
    assert joined(CLEAN) == set()


def test_leads_go_back_to_volts_after_a_current():
    def after(**facts):
        current = step("amps", "measure", "probe", parts=["socket"], measure="dc-current", live=["wiring"], **facts)
        current["info"] = "Put the leads back."
        return [BEFORE[0], (current, [("above", "outcome:bad")]), BEFORE[1], *LOCKOUT, *WORK, *POWER]

    assert said(card(after(leads="back"))) == set()
    assert (5, "rest", "") in said(card(after()))
    # The card has to say it in words too.
    silent = card(after(leads="back"))
    step_of(silent, "amps")["info"] = ""
    assert (5, "rest", "") in said(silent)


@pytest.mark.parametrize(
    ("fault", "seen"),
    [
        ({"pole-1": "short", "pole-2": "short"}, True),
        ({"pole-1": "short"}, False),
        ({"pole-1": "open", "pole-2": "open"}, False),
        ({"lamp": "short"}, False),
    ],
)
def test_a_listed_fault_that_bridges_a_break_is_seen(fault, seen):
    """A break with two poles holds with one welded; with both it breaks nothing."""
    mated = [{"plug": ["mated"]}]
    circuit = {"switches": {"pole-1": mated, "pole-2": mated, "lamp": [{"key": ["on"]}]}, "faults": {"weld": fault}}
    assert said(card(facts=FACTS | {"circuit": circuit})) == ({(8, "", "wiring")} if seen else set())


def test_a_trial_of_the_tester_serves_all_readings_between():
    """Voltage of another energy between two trials breaks nothing off, whatever hangs on what."""
    facts = facts_with("energies", "charge", prove=PROVE | {"pairs": [["C", "N"]]}, when=[{"key": ["on"]}])
    second = step("zero-2", "measure", "probe", "prove", energies=["charge"], measure="dc-voltage", pairs=[("C", "N")])
    lockout = copy.deepcopy([*LOCKOUT[:8], (second, [WAY_OUT]), *LOCKOUT[8:]])
    for each, _ in lockout:
        if each["key"] in ("tester-1", "tester-2"):
            each["facts"]["energies"] = ["wiring", "charge"]
    assert said(card(BEFORE + lockout + WORK + POWER, facts)) == set()


def test_a_cover_may_be_open_under_power_only_for_a_reading_behind_it():
    opened = [(step("lid-open", "open", "hands", sets={"lid": "open"}, opens=["open:lid"]), [])]
    read = step("look-in", "measure", "probe", parts=["socket"], measure="dc-voltage", live=["wiring"])
    whole = BEFORE + LOCKOUT + opened + WORK + POWER[1:6]
    assert (2, "unlock", "") in said(card(whole + POWER[6:]))
    assert (2, "unlock", "") not in said(card([*whole, (read, [("outside", "outcome:bad")]), *POWER[6:]]))
    # What the card itself opened for a proof it shuts again.
    ours = BEFORE + LOCKOUT + WORK + POWER[1:6]
    assert (2, "unlock", "") in said(card([*ours, (read, [("outside", "outcome:bad")]), *POWER[6:]]))


def test_too_much_hangs_together():
    """More than 4,096 ways to stand are not proved, and not waited for either."""
    switches = {f"switch-{n}": condition(("off", "on"), isolates=True) for n in range(14)}
    facts = FACTS | {
        "conditions": FACTS["conditions"] | switches,
        "energies": FACTS["energies"]
        | {"arm": FACTS["energies"]["arm"] | {"when": [{name: ["on"]} for name in switches]}},
    }
    doubts = [doubt for doubt in verify_plain(card(facts=facts)) if doubt.energy == "arm"]
    assert [doubt.sentence for doubt in doubts if "So much decides" in doubt.sentence]


def test_conditions_that_decide_nothing_cost_nothing():
    """Unknown conditions multiply only where something hangs on them."""
    switches = {f"switch-{n}": condition(("off", "on")) for n in range(40)}
    assert verify_plain(card(facts=FACTS | {"conditions": FACTS["conditions"] | switches})) == ()


def test_an_empty_card_is_no_card():
    assert [doubt.point for doubt in verify_plain(card() | {"sections": []})] == [4]


def test_pairs_are_the_machines():
    assert {frozenset(pair) for pair in PAIRS} == {
        frozenset(pair) for pair in FACTS["energies"]["wiring"]["prove"]["pairs"]
    }


def test_rules_and_points_are_whole():
    assert sorted(POINTS) == list(range(1, 9))
    assert RULES == (NOT_CONFIRMED,)
    assert NOT_CONFIRMED.family in FAMILIES
