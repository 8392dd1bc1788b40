"""A small rig and an honest card for it: a live reading, a lockout, work with hands, power back and a test."""

import copy

from tests.proof.drawn_cards import PAIRS, condition, step

USUAL = {
    "stays_live": False, "comes_back": False, "when": [], "isolate": {}, "fed_by": [], "held_by": [], "relieve": False,
    "waits": False, "prove": None, "highest": 60.0, "reach": "touch",
}  # fmt: skip
PROVE = {
    "measure": "dc-voltage", "pairs": [["P", "N"], ["P", "frame"]], "look": False, "try": False, "sees": ["plug"],
    "access": ["lid"],
}  # fmt: skip
FACTS = {
    "conditions": {
        "plug": condition(("mated", "parted"), isolates=True, lock=True, move_when={"key": "off"}),
        "key": condition(("off", "on"), control=True),
        "lid": condition(("shut", "open"), cover=True),
    },
    "things": {"jumper": {"sets": {}, "holds": [], "joins": [], "defeats": ""}},
    "energies": {
        "wiring": USUAL | {"kind": "dc", "isolate": {"plug": "parted"}, "prove": PROVE},
        "charge": USUAL | {"kind": "capacitor", "fed_by": ["wiring"], "waits": True},
        "arm": USUAL | {"kind": "motion", "reach": "zone", "when": [{"key": ["on"]}], "fed_by": ["wiring"]},
    },
    "parts": {
        "box": {"in": "bay", "on": "", "exposes": [{"energy": name, "unless": {}} for name in ("wiring", "charge")]},
        "gear": {"in": "", "on": "", "exposes": []},
        "socket": {"in": "", "on": "", "exposes": [{"energy": "wiring", "unless": {}}]},
    },
    "initial": {"plug": "mated", "key": "off", "lid": "shut"},
    "final": {"plug": "mated", "key": "off", "lid": "shut"},
}

WAY_OUT = ("not-zero", "outcome:not-zero")
BEFORE = [
    (step("confirm", "look", "senses", "confirm", sets=dict(FACTS["initial"])), [("otherwise", "stop")]),
    (
        step("rest", "measure", "probe", parts=["socket"], measure="dc-voltage", live=["wiring"]),
        [("below", "outcome:bad")],
    ),
]
LOCKOUT = [
    (step("tell", "operate", "senses", "tell"), []),
    (step("shut", "operate", "controls", "shut-down", sets={"key": "off"}), []),
    (step("isolate", "operate", "controls", "isolate", sets={"plug": "parted"}), []),
    (step("lock", "place", "controls", "lock", locks=["plug"]), []),
    (step("wait", "wait", "controls", "wait", energies=["charge"]), []),
    (step("access", "open", "hands", "access", sets={"lid": "open"}, opens=["open:lid"]), []),
    (step("tester-1", "read", "controls", "prove", energies=["wiring"]), [WAY_OUT]),
    (step("zero", "measure", "probe", "prove", energies=["wiring"], measure="dc-voltage", pairs=PAIRS), [WAY_OUT]),
    (step("tester-2", "read", "controls", "prove", energies=["wiring"]), [WAY_OUT]),
    (step("try", "operate", "controls", "prove", energies=["wiring", "arm"]), [WAY_OUT]),
]
WORK = [
    (step("loosen", "loosen", "hands", parts=["box"], opens=["loosen:nut"]), []),
    (step("ohms", "measure", "probe", parts=["box"], measure="resistance"), [("outside", "outcome:worn")]),
    (step("tighten", "tighten", "hands", parts=["box"], closes=["loosen:nut"]), []),
]
POWER = [
    (step("close", "close", "hands", "close", sets={"lid": "shut"}, closes=["open:lid"]), []),
    (step("check", "look", "senses", "check"), []),
    (step("clear", "look", "senses", "clear"), []),
    (step("unlock", "take", "controls", "unlock", locks=["plug"]), []),
    (step("restore", "operate", "controls", "restore", sets={"plug": "mated"}), []),
    (step("tell-back", "operate", "senses", "tell-back"), []),
    (step("start", "operate", "controls", sets={"key": "on"}, warned=["arm"]), [("otherwise", "outcome:bad")]),
    (step("halt", "operate", "controls", sets={"key": "off"}), []),
]
LEAVE = [
    (step("leave", "look", "senses", "tag"), []),
    (step("tag", "place", "controls", "tag"), []),
    (step("hand-over", "operate", "senses", "hand-over"), []),
]
AGAIN = [(dict(each, key=f"again-{each['key']}", facts=dict(each["facts"])), ways) for each, ways in LOCKOUT[:4]]


def chained(steps, last):
    """The steps with their ways: straight on to the next, the last to `last`, and what else each has."""
    made = []
    for at, (each, ways) in enumerate(steps):
        each = copy.deepcopy(each)
        onward = steps[at + 1][0]["key"] if at + 1 < len(steps) else last
        every = [("inside" if each["action"] == "measure" and not each["role"] else "next", onward), *ways]
        each["facts"]["ways"] = [{"side": side, "to": to, "at_most": 0} for side, to in every]
        made.append(each)
    return made


def card(steps=(), facts=FACTS):
    """The honest card's plain data; other main steps, as (step, other ways), may stand for its own."""
    leaving = copy.deepcopy(LEAVE)
    for each, _ in leaving:
        each["key"] = f"left-{each['key']}"
    sections = [
        {
            "key": "main",
            "kind": "work",
            "steps": chained([*(steps or BEFORE + LOCKOUT + WORK + POWER)], "outcome:done"),
        },
        {"key": "closing-1", "kind": "closing", "steps": chained(AGAIN + LEAVE, "end")},
        {"key": "closing-2", "kind": "closing", "steps": chained(leaving, "end")},
    ]
    for number, each in enumerate((each for section in sections for each in section["steps"]), 1):
        each["number"] = number
    return {
        "facts": copy.deepcopy(facts),
        "hazards": [{"key": "wiring", "name": "60 V wiring"}],
        "sections": sections,
        "outcomes": [
            {"key": "done", "leave": "as-final", "closing": ""},
            {"key": "bad", "leave": "out-of-service", "closing": "closing-1"},
            {"key": "worn", "leave": "out-of-service", "closing": "closing-2"},
            {"key": "not-zero", "leave": "out-of-service", "closing": ""},
        ],
    }
