"""How the proof reads the machine file: what reaches whom, what protects hands, and what is worth nothing."""

import pytest
from tests.proof.drawn_cards import PAIRS, condition, step
from tests.proof.rig import PROVE, USUAL, card

from benchleaf.card.proof import verify_plain

CONDITIONS = {
    "plug": condition(("mated", "parted"), isolates=True, lock=True),
    "valve": condition(("open", "shut"), isolates=True, lock=True),
    "pin": condition(("out", "in"), isolates=True),
    "key": condition(("off", "on"), control=True),
    "crate": condition(("out", "in")),
    "lid": condition(("shut", "open"), cover=True),
    "wheels": condition(("down", "raised")),
}
THINGS = {
    "chocks": {"sets": {}, "holds": [], "joins": [], "defeats": ""},
    "stands": {"sets": {"wheels": "raised"}, "holds": [], "joins": [], "defeats": ""},
}
PLACES = {
    "box": {"in": "bay", "on": "", "exposes": [{"energy": "e", "unless": {}}]},
    "lamp": {"in": "bay", "on": "", "exposes": []},
    "far": {"in": "", "on": "", "exposes": []},
    "strut": {"in": "", "on": "carrier", "exposes": []},
    "carrier": {"in": "", "on": "", "exposes": []},
}
LOOK = {"measure": "", "pairs": [], "look": True, "try": False, "sees": [], "access": []}
HANDS = step("hands", "clean", "hands", parts=["box"])
PROBE = step("hands", "measure", "probe", parts=["box"], measure="dc-voltage")
OHMS = step("hands", "measure", "probe", parts=["box"], measure="resistance")


def cut(name="plug", value="parted"):
    return [
        step(f"cut-{name}", "operate", "controls", "isolate", sets={name: value}),
        step(f"lock-{name}", "place", "controls", "lock", locks=[name]),
    ]


def let_go(*energies, role="relieve"):
    return step(f"{role}-{'-'.join(energies)}", "operate", "controls", role, energies=[*energies])


def look(*energies, key="look"):
    return step(f"{key}-{'-'.join(energies)}", "look", "senses", "prove", energies=[*energies])


def zero(*energies, pairs=PAIRS, key=""):
    named = {"energies": [*energies]}
    return [
        step(f"before{key}", "read", "controls", "prove", **named),
        step(f"zero{key}", "measure", "probe", "prove", measure="dc-voltage", pairs=pairs, **named),
        step(f"after{key}", "read", "controls", "prove", **named),
    ]


def attempt(*energies):
    return step("try", "operate", "controls", "prove", energies=[*energies])


def sure(**sets):
    return step("sure", "look", "senses", "confirm", sets=sets)


def met(steps, more=None, parts=None, conditions=None, **energy):
    """Whom the energies meet on this straight card: (step, energy) of points 1 and 5. `energy` describes `e`."""
    facts = {
        "conditions": CONDITIONS | (conditions or {}),
        "things": THINGS,
        "energies": {"e": USUAL | {"kind": "dc"} | energy} | {n: USUAL | each for n, each in (more or {}).items()},
        "parts": PLACES | (parts or {}),
        "initial": {},
        "final": {},
    }
    doubts = verify_plain(card([(each, []) for each in steps], facts))
    return {(doubt.step, doubt.energy) for doubt in doubts if doubt.point in (1, 5)}


MET = {("hands", "e")}
SAFE: set[tuple[str, str]] = set()
BY_PLUG = {"isolate": {"plug": "parted"}, "prove": LOOK}
ZERO = PROVE | {"sees": [], "access": []}


@pytest.mark.parametrize(
    ("reach", "work", "expected"),
    [
        ("touch", HANDS, MET),
        ("touch", step("hands", "clean", "hands", parts=["lamp"]), MET),
        ("touch", step("hands", "clean", "hands", parts=["far"]), SAFE),
        ("near", step("hands", "clean", "hands", parts=["far"]), MET),
        ("zone", step("hands", "clean", "hands", parts=["far"]), MET),
        ("touch", step("hands", "feel", "hands"), MET),
        ("touch", step("hands", "open", "hands", sets={"lid": "open"}), SAFE),
        ("near", step("hands", "open", "hands", sets={"lid": "open"}), MET),
        ("touch", step("hands", "open", "hands", sets={"valve": "open"}), MET),
        ("touch", step("hands", "place", "hands", sets={"chocks": "in-place"}), SAFE),
        ("zone", step("hands", "take", "hands", sets={"chocks": "out"}), MET),
        ("touch", step("hands", "take", "hands"), MET),
        ("zone", step("hands", "place", "hands", "safe", sets={"chocks": "in-place"}), SAFE),
        ("touch", PROBE, MET),
        ("touch", step("hands", "measure", "probe", parts=["lamp"], measure="dc-voltage"), SAFE),
        ("near", PROBE, SAFE),
        ("touch", step("hands", "measure", "probe", parts=["box"], measure="dc-voltage", live=["e"]), SAFE),
        ("touch", step("hands", "adjust", "hands", parts=["box"], live=["e"]), SAFE),
        ("touch", step("hands", "clean", "hands", parts=["box"], live=["e"]), MET),
        ("touch", step("hands", "look", "senses", parts=["box"]), SAFE),
        ("touch", step("hands", "measure", "near", parts=["box"], measure="dc-current"), SAFE),
    ],
)
def test_whom_a_reach_covers(reach, work, expected):
    assert met([work], reach=reach) == expected


def test_what_stays_live_is_worked_on_as_it_is():
    assert met([dict(HANDS, facts=HANDS["facts"] | {"stays": ["e"]})], stays_live=True) == SAFE
    assert met([HANDS], stays_live=True) == MET
    assert met([OHMS], stays_live=True) == MET


def test_a_cover_counts_when_surely_on_and_a_control_never():
    def over(unless):
        return {"box": {"in": "bay", "on": "", "exposes": [{"energy": "e", "unless": unless}]}}

    assert met([sure(lid="shut"), HANDS], parts=over({"lid": "shut"})) == SAFE
    assert met([HANDS], parts=over({"lid": "shut"})) == MET
    assert met([sure(key="off"), HANDS], parts=over({"key": "off"})) == MET
    bare = {"lamp": {"in": "bay", "on": "", "exposes": [{"energy": "e", "unless": {}}]}}
    assert met([sure(lid="shut"), HANDS], parts=over({"lid": "shut"}) | bare) == MET


@pytest.mark.parametrize(
    ("test", "sets", "expected"),
    [
        ({"key": ["on"]}, {"key": "off"}, MET),
        ({"crate": ["in"]}, {"crate": "out"}, MET),
        ({"lid": ["open"]}, {"lid": "shut"}, SAFE),
        ({"lid": ["open"]}, {}, MET),
        ({"pin": ["out"]}, {"pin": "in"}, SAFE),
        ({"wheels": ["raised"]}, {"wheels": "down"}, SAFE),
        ({"chocks": ["out"]}, {"chocks": "in-place"}, SAFE),
        ({"valve": ["open"]}, {"valve": "shut"}, MET),
        ({"plug": ["mated"]}, {"plug": "parted"}, MET),
    ],
)
def test_what_hands_may_trust_in_when(test, sets, expected):
    """The plug is its own break: there it must be locked and proved. The valve takes a lock that is not on."""
    assert met([sure(**sets), HANDS], when=[test], kind="motion", reach="near", **BY_PLUG) == expected


def test_a_locked_break_in_when_is_trusted():
    valve = {"other": {"kind": "motion", "isolate": {"valve": "shut"}}}
    assert met([*cut("valve", "shut"), HANDS], more=valve, when=[{"valve": ["open"]}]) == SAFE
    assert met([*cut("plug"), HANDS], when=[{"plug": ["mated"]}], **BY_PLUG) == MET


def test_any_of_the_cases_lets_it_be():
    when = [{"lid": ["open"], "pin": ["out"]}, {"wheels": ["raised"]}]
    assert met([sure(lid="shut", wheels="down"), HANDS], when=when) == SAFE
    assert met([sure(lid="shut", wheels="raised"), HANDS], when=when) == MET
    assert met([sure(lid="shut"), HANDS], when=when) == MET


def test_isolated_is_open_locked_and_proved_in_this_order():
    assert met([*cut(), look("e"), HANDS], **BY_PLUG) == SAFE
    assert met([*cut()[:1], look("e"), HANDS], **BY_PLUG) == MET
    assert met([*cut(), HANDS], **BY_PLUG) == MET
    assert met([look("e"), *cut(), HANDS], **BY_PLUG) == MET
    assert met([*cut()[::-1], look("e"), HANDS], **BY_PLUG) == MET
    unlock = step("unlock", "take", "controls", "unlock", locks=["plug"])
    again = step("lock-again", "place", "controls", "lock", locks=["plug"])
    assert met([*cut(), look("e"), unlock, HANDS], **BY_PLUG) == MET
    assert met([*cut(), look("e"), unlock, again, HANDS], **BY_PLUG) == MET
    assert met([*cut(), look("e"), unlock, again, look("e", key="again"), HANDS], **BY_PLUG) == SAFE


def test_a_break_without_a_lock_needs_none_but_its_proof():
    by_pin = {"isolate": {"pin": "in"}, "prove": LOOK}
    assert met([sure(pin="in"), look("e"), HANDS], **by_pin) == SAFE
    assert met([sure(pin="in"), HANDS], **by_pin) == MET


def test_a_thing_that_isolates_needs_neither_lock_nor_proof():
    by_chocks = {"kind": "motion", "reach": "zone", "isolate": {"chocks": "in-place"}}
    place = step("place", "place", "hands", sets={"chocks": "in-place"})
    take = step("take", "take", "hands", sets={"chocks": "out"})
    assert met([place, HANDS], **by_chocks) == SAFE
    assert met([sure(chocks="out"), place, HANDS, take], **by_chocks) == SAFE
    assert met([place, take, HANDS], **by_chocks) == MET


def test_a_thing_in_place_holds_and_a_part_alone_does_not():
    weight = {"kind": "height", "reach": "zone", "when": [{"wheels": ["raised"]}]}
    raised = step("place", "place", "hands", sets={"stands": "in-place"})
    assert met([sure(wheels="down"), HANDS], held_by=["stands"], **weight) == SAFE
    assert met([sure(wheels="down", stands="out"), raised, HANDS], held_by=["stands"], **weight) == SAFE
    assert met([sure(wheels="raised", stands="out"), HANDS], held_by=["stands"], **weight) == MET
    assert met([sure(wheels="raised"), HANDS], held_by=["strut"], **weight) == MET


def test_taking_a_thing_leaves_what_it_raised_anyhow():
    weight = {"kind": "height", "reach": "zone", "when": [{"wheels": ["raised"]}], "held_by": ["stands"]}
    placed, taken = ({"stands": "in-place"}, {"stands": "out"})
    steps = [sure(**placed), step("take", "take", "hands", sets=taken)]
    assert met([*steps, HANDS], **weight) == MET
    steps[1]["facts"]["sets"] = taken | {"wheels": "down"}
    assert met([*steps, HANDS], **weight) == SAFE


def test_a_break_holds_nothing_when_what_should_hold_is_off():
    prop = {"kind": "height", "isolate": {"pin": "in"}, "held_by": ["strut"], "prove": LOOK}
    off = step("off", "remove", "hands", parts=["far"], opens=["remove:strut"])
    on = step("on", "fit", "hands", parts=["far"], closes=["remove:strut"])
    with_carrier = step("off", "remove", "hands", parts=["far"], opens=["remove:carrier"])
    assert met([sure(pin="in"), look("e"), HANDS], **prop) == SAFE
    assert met([sure(pin="in"), look("e"), off, HANDS], **prop) == MET
    assert met([sure(pin="in"), look("e"), with_carrier, HANDS], **prop) == MET
    assert met([sure(pin="in"), look("e"), off, on, HANDS], **prop) == SAFE
    swap = step("hands", "remove", "hands", parts=["box"], opens=["remove:strut"])
    assert met([sure(pin="in"), look("e"), swap], **prop) == MET


def test_live_dead_live_at_all_points_without_a_break():
    by = {"isolate": {"plug": "parted"}, "prove": ZERO}
    before, reading, after = zero("e")
    between = step("between", "ask", "senses")
    assert met([*cut(), before, reading, after, HANDS], **by) == SAFE
    for broken in (
        [before, reading],
        [reading, after],
        [before, after],
        [before, between, reading, after],
        [before, reading, between, after],
        [before, reading, look("e"), after],
        [after, reading],
        zero("e", pairs=PAIRS[:1]),
        zero("other"),
    ):
        assert met([*cut(), *broken, HANDS], **by) == MET
    assert met([*cut(), before, reading, after, between, HANDS], **by) == SAFE


def test_two_energies_may_be_proved_around_one_another():
    more = {"f": {"kind": "dc", "isolate": {"plug": "parted"}, "prove": ZERO}}
    before, reading, after = zero("e", "f")
    reading["facts"]["energies"] = ["e"]
    second = zero("f", key="-2")[1]
    parts = {"lamp": {"in": "bay", "on": "", "exposes": [{"energy": "f", "unless": {}}]}}
    by = {"isolate": {"plug": "parted"}, "prove": ZERO, "more": more, "parts": parts}
    assert met([*cut(), before, reading, second, after, HANDS], **by) == SAFE
    assert met([*cut(), before, reading, after, HANDS], **by) == {("hands", "f")}


def test_each_stated_way_of_proving_is_asked_for():
    prove = LOOK | {"try": True, "measure": "temperature"}
    by = {"isolate": {"plug": "parted"}, "prove": prove}
    reading = step("reading", "measure", "controls", "prove", energies=["e"], measure="temperature")
    every = [look("e"), attempt("e"), reading]
    assert met([*cut(), *every, HANDS], **by) == SAFE
    for at in range(3):
        assert met([*cut(), *every[:at], *every[at + 1 :], HANDS], **by) == MET


def test_a_gauge_alone_is_proved_by_any_step_that_names_it():
    by = {"isolate": {"plug": "parted"}, "prove": LOOK | {"look": False}}
    assert met([*cut(), attempt("e"), HANDS], **by) == SAFE
    assert met([*cut(), attempt("x"), HANDS], **by) == MET


def test_proofs_go_stale():
    proved = [*cut(), look("e")]
    stop = step("hold", "ask", "senses", hold="Stop here.")
    assert met([*proved, stop, HANDS], **BY_PLUG) == MET
    assert met([*proved, stop, look("e", key="again"), HANDS], **BY_PLUG) == SAFE
    ask = step("ask", "ask", "senses")
    assert met([*proved, ask, HANDS], **BY_PLUG) == SAFE
    assert met([*proved, ask, HANDS], comes_back=True, **BY_PLUG) == MET
    assert met([*proved, HANDS], comes_back=True, **BY_PLUG) == SAFE
    back = [step(f"move-{v}", "operate", "controls", sets={"plug": v}) for v in ("mated", "parted")]
    assert met([*proved, *back, step("l", "place", "controls", "lock", locks=["plug"]), HANDS], **BY_PLUG) == MET
    opening = step("hands", "clean", "hands", parts=["box"], sets={"plug": "mated"})
    assert met([*proved, opening], **BY_PLUG) == MET


FED = {"fed_by": ["source"]}
SOURCE = {"source": {"kind": "dc", "isolate": {"plug": "parted"}, "prove": LOOK}}


def test_what_is_fed_is_gone_with_its_feeders():
    assert met([*cut(), look("source"), HANDS], more=SOURCE, **FED) == SAFE
    assert met([*cut(), HANDS], more=SOURCE, **FED) == MET
    both = SOURCE | {"second": {"kind": "dc", "isolate": {"valve": "shut"}, "prove": LOOK}}
    two = {"fed_by": ["source", "second"]}
    assert met([*cut(), look("source"), HANDS], more=both, **two) == MET
    assert met([*cut(), *cut("valve", "shut"), look("source"), HANDS], more=both, **two) == MET
    assert met([*cut(), *cut("valve", "shut"), look("source", "second"), HANDS], more=both, **two) == SAFE
    absent = SOURCE | {"second": {"kind": "dc", "when": [{"lid": ["open"]}]}}
    assert met([sure(lid="shut"), *cut(), look("source"), HANDS], more=absent, **two) == SAFE


def test_its_own_break_comes_before_those_of_its_feeders():
    own = {"isolate": {"valve": "shut"}, "prove": LOOK, **FED}
    assert met([*cut("valve", "shut"), look("e"), HANDS], more=SOURCE, **own) == SAFE
    assert met([*cut(), look("e", "source"), HANDS], more=SOURCE, **own) == MET


def test_energies_that_feed_each_other_are_one():
    ring = {"other": {"kind": "dc", "fed_by": ["e", "source"]}} | SOURCE
    assert met([*cut(), look("source"), HANDS], more=ring, fed_by=["other"]) == SAFE
    assert met([*cut(), HANDS], more=ring, fed_by=["other"]) == MET
    assert met([*cut(), look("e"), HANDS], more={"other": {"kind": "dc", "fed_by": ["e"]}}, fed_by=["other"]) == MET


def test_a_fed_motion_is_tried():
    motion = {"kind": "motion", "reach": "near", **FED}
    proved = [*cut(), look("source")]
    assert met([*proved, HANDS], more=SOURCE, **motion) == MET
    for named in ("e", "source", "sister"):
        sister = {"sister": {"kind": "dc", "fed_by": ["source"]}}
        assert met([*proved, attempt(named), HANDS], more=SOURCE | sister, **motion) == SAFE
    stranger = {"stranger": {"kind": "dc"}}
    assert met([*proved, attempt("stranger"), HANDS], more=SOURCE | stranger, **motion) == MET


def test_stored_energy_outlives_its_isolation():
    charge = {"kind": "capacitor", **FED}
    both = [*cut(), let_go("e"), let_go("e", role="wait"), look("source")]
    assert met([*cut(), look("source"), HANDS], more=SOURCE, relieve=True, **charge) == MET
    assert met([*both, HANDS], more=SOURCE, relieve=True, waits=True, **charge) == SAFE
    assert met([both[0], both[1], both[3], both[4], HANDS], more=SOURCE, relieve=True, waits=True, **charge) == MET
    assert met([both[0], both[1], both[2], both[4], HANDS], more=SOURCE, relieve=True, waits=True, **charge) == MET
    assert met([*both, HANDS], more=SOURCE, **charge) == MET
    assert met([let_go("e"), *cut(), look("source"), HANDS], more=SOURCE, relieve=True, **charge) == MET
    assert met([*cut(), look("source"), let_go("e"), HANDS], more=SOURCE, relieve=True, **charge) == MET
    other = [let_go("other"), HANDS]
    more = SOURCE | {"other": {"kind": "spring", "relieve": True}}
    assert met([*both, *other], more=more, relieve=True, waits=True, **charge) == SAFE


def test_what_is_stored_upstream_counts_downstream():
    tank = {"tank": {"kind": "pneumatic", "isolate": {"plug": "parted"}, "relieve": True, "prove": LOOK}}
    cylinder = {"kind": "motion", "reach": "near", "fed_by": ["tank"]}
    assert met([*cut(), let_go("tank"), look("tank"), attempt("tank"), HANDS], more=tank, **cylinder) == SAFE
    assert met([*cut(), look("tank"), attempt("tank"), HANDS], more=tank, **cylinder) == MET


def test_a_weight_presses_behind_any_break():
    load = {"load": {"kind": "height", "when": [{"wheels": ["raised"]}]}}
    oil = {"kind": "hydraulic", "isolate": {"plug": "parted"}, "fed_by": ["load"], "relieve": True, "prove": LOOK}
    work = [*cut(), let_go("e"), look("e"), HANDS]
    assert met([sure(wheels="down"), *work], more=load, **oil) == SAFE
    assert met([sure(wheels="raised"), *work], more=load, **oil) == MET
    pump = {"pump": {"kind": "motion"}}
    assert met(work, more=pump, **(oil | {"fed_by": ["pump"]})) == SAFE


def test_a_feeder_held_by_a_control_may_fill_again():
    supply = {"supply": {"kind": "dc", "when": [{"key": ["on"]}]}}
    charge = {"kind": "capacitor", "isolate": {}, "fed_by": ["supply"], "relieve": True, "prove": LOOK}
    assert met([sure(key="off"), let_go("e"), look("e"), HANDS], more=supply, **charge) == MET


def test_a_weight_is_gone_with_its_when_and_a_charge_is_not():
    away = {"when": [{"lid": ["open"]}], "prove": LOOK, "isolate": {"plug": "parted"}}
    assert met([sure(lid="shut"), HANDS], kind="height", **away) == SAFE
    assert met([sure(lid="shut"), HANDS], kind="capacitor", **away) == MET
    steps = [sure(lid="shut"), *cut(), let_go("e"), look("e"), HANDS]
    assert met(steps, kind="capacitor", relieve=True, **away) == SAFE


def test_a_spring_with_its_own_pin_is_blocked_by_it():
    by_pin = {"kind": "spring", "isolate": {"pin": "in"}, "prove": LOOK}
    assert met([sure(pin="in"), look("e"), HANDS], **by_pin) == SAFE
    assert met([sure(pin="in"), look("e"), HANDS], relieve=True, **by_pin) == MET
    assert met([sure(pin="in"), let_go("e"), look("e"), HANDS], relieve=True, **by_pin) == SAFE


def test_without_any_proof_nothing_is_trusted():
    assert met([*cut(), look("e"), HANDS], isolate={"plug": "parted"}) == MET


def test_hands_that_make_way_for_a_proof():
    way = step("way", "open", "hands", parts=["box"], sets={"lid": "open"}, access=True)
    assert met([*cut(), way, look("e"), HANDS], **BY_PLUG) == SAFE
    assert met([*cut()[:1], way, HANDS], **BY_PLUG) == {("way", "e"), ("hands", "e")}
    away = step("later", "ask", "senses")
    assert met([*cut(), way, away], **BY_PLUG) == {("later", "e")}
    assert met([*cut(), way, look("e"), away], **BY_PLUG) == SAFE


def test_probes_count_controls_and_low_voltage_is_left_alone():
    by_key = {"when": [{"key": ["on"]}], **BY_PLUG}
    assert met([sure(key="off"), PROBE], **by_key) == SAFE
    assert met([sure(key="on"), PROBE], **by_key) == MET
    assert met([PROBE], **by_key) == MET
    pressed = step("hands", "measure", "probe", parts=["box"], measure="dc-voltage", meanwhile={"key": "on"})
    assert met([sure(key="off"), pressed], **by_key) == MET
    assert met([PROBE], highest=49.0, **by_key) == SAFE
    assert met([PROBE], kind="heat", **by_key) == SAFE
    assert met([*cut(), PROBE], **BY_PLUG) == SAFE


def test_resistance_is_read_on_nothing_live():
    assert met([OHMS], **BY_PLUG) == MET
    assert met([OHMS], highest=12.0, **BY_PLUG) == MET
    assert met([OHMS], kind="heat", **BY_PLUG) == SAFE
    assert met([*cut(), OHMS], **BY_PLUG) == MET
    assert met([*cut(), look("e"), OHMS], **BY_PLUG) == SAFE
    elsewhere = step("hands", "measure", "probe", parts=["far"], measure="resistance")
    assert met([elsewhere], **BY_PLUG) == MET
    for power in ("on", "either"):
        free = step("hands", "measure", "probe", parts=["far"], measure="resistance", power=power)
        assert met([free], **BY_PLUG) == SAFE
    fed = {"f": {"kind": "capacitor", "fed_by": ["e"], "waits": True}}
    assert met([*cut(), look("e"), OHMS], more=fed, **BY_PLUG) == {("hands", "f")}
    apart = {"f": {"kind": "dc"}}
    assert met([*cut(), look("e"), OHMS], more=apart, **BY_PLUG) == SAFE


def test_moving_things_are_warned_of_where_they_may_start():
    zone = {"kind": "motion", "reach": "zone", "when": [{"key": ["on"]}]}
    start = step("hands", "operate", "controls", sets={"key": "on"})
    warned = step("hands", "operate", "controls", sets={"key": "on"}, warned=["e"])
    earlier = step("earlier", "look", "senses", warned=["e"])
    assert met([sure(key="off"), start], **zone) == MET
    assert met([sure(key="off"), warned], **zone) == SAFE
    assert met([sure(key="off"), earlier, start], **zone) == SAFE
    assert met([sure(key="off"), step("hands", "operate", "controls")], **zone) == SAFE
    assert met([sure(key="off"), step("hands", "operate", "controls", "isolate", sets={"key": "on"})], **zone) == SAFE
    assert met([start], **(zone | {"reach": "near"})) == SAFE


def test_what_springs_back_is_back_and_what_may_change_may_have():
    sprung = {"lid": condition(("shut", "open"), cover=True, springs_back="shut")}
    by_lid = {"when": [{"lid": ["open"]}]}
    opened = step("open", "operate", "controls", sets={"lid": "open"})
    assert met([opened, HANDS], conditions=sprung, **by_lid) == SAFE
    assert met([opened, HANDS], **by_lid) == MET
    during = step("hands", "clean", "hands", parts=["box"], sets={"lid": "open"})
    assert met([sure(lid="shut"), during], conditions=sprung, **by_lid) == MET
    restless = {"lid": condition(("shut", "open"), cover=True, may_change=True)}
    assert met([sure(lid="shut"), HANDS], conditions=restless, **by_lid) == MET


def test_what_follows_from_others_is_worked_out():
    def shutter(*clauses):
        return {"pin": condition(("out", "in"), isolates=True, follows=[*clauses])}

    by_pin = {"when": [{"pin": ["out"]}]}
    by_lid = {"is": "in", "when": [{"lid": ["shut"]}]}
    last = {"is": "out", "when": []}
    assert met([sure(lid="shut"), HANDS], conditions=shutter(by_lid, last), **by_pin) == SAFE
    assert met([sure(lid="open"), HANDS], conditions=shutter(by_lid, last), **by_pin) == MET
    assert met([HANDS], conditions=shutter(by_lid, last), **by_pin) == MET
    assert met([sure(lid="open", pin="in"), HANDS], conditions=shutter(by_lid), **by_pin) == MET
    assert met([sure(lid="shut", pin="out"), HANDS], conditions=shutter(by_lid), **by_pin) == SAFE
    round_ = {"crate": condition(("out", "in"), follows=[{"is": "in", "when": [{"pin": ["in"]}]}])}
    circle = shutter({"is": "in", "when": [{"crate": ["in"]}]}, last) | round_
    assert met([sure(pin="in", crate="in"), HANDS], conditions=circle, **by_pin) == MET


def test_paths_stay_true_to_what_nobody_set():
    """What nobody set is one thing on one path: where the lid is open it fills and is covered, elsewhere neither."""
    supply = {"supply": {"kind": "dc", "when": [{"lid": ["open"]}]}}
    charge = {"kind": "hydraulic", "isolate": {}, "fed_by": ["supply"], "relieve": True}
    over = {"box": {"in": "bay", "on": "", "exposes": [{"energy": "e", "unless": {"lid": "open"}}]}}
    assert met([let_go("e"), HANDS], more=supply, parts=over, **charge) == SAFE
    assert met([let_go("e"), HANDS], more=supply, **charge) == MET
    absent = charge | {"prove": LOOK, "when": [{"lid": ["open"]}], "kind": "spring", "fed_by": []}
    assert met([let_go("e"), HANDS], parts=over, **absent) == SAFE
