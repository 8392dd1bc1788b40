"""Small machines and cards drawn at random: mostly an honest lockout with something left out or put in."""

from hypothesis import strategies as st

ISOLATORS = {"plug": ("mated", "parted"), "valve": ("open", "shut")}
CONTROLS = {"key": ("off", "on"), "button": ("released", "pressed")}
COVERS = {"lid": ("fitted", "removed")}
OTHERS = {"wheels": ("down", "raised"), "arm": ("in", "out")}
EVERY = ISOLATORS | CONTROLS | COVERS | OTHERS
THINGS = {"block": {"wheels": "raised"}, "wedge": {}}
PARTS = ("box", "shaft", "holder")
KINDS = ("mains", "dc", "capacitor", "motion", "height", "spring", "pneumatic", "hydraulic", "heat")
NAMES = ("e1", "e2", "e3")


def condition(values, **changes):
    usual = {"values": list(values), "initial": values[0], "isolates": False, "control": False, "cover": False,
             "lock": False, "move_when": {}, "springs_back": "", "may_change": False, "follows": []}  # fmt: skip
    return usual | changes


@st.composite
def conditions(draw):
    found = {name: condition(values, isolates=True, lock=draw(st.sampled_from([True, True, False])))
             for name, values in ISOLATORS.items()}  # fmt: skip
    found |= {name: condition(values, control=True) for name, values in CONTROLS.items()}
    found |= {name: condition(values, cover=True) for name, values in COVERS.items()}
    found |= {name: condition(values) for name, values in OTHERS.items()}
    if draw(st.booleans()):
        found["button"]["springs_back"] = "released"
    if draw(st.booleans()):
        found["plug"]["move_when"] = {"key": "off"}
    if draw(st.integers(0, 3)) == 0:
        found["arm"]["may_change"] = True
    elif draw(st.integers(0, 2)) == 0:
        last = [{"is": "in", "when": []}] if draw(st.booleans()) else []
        found["arm"]["follows"] = [{"is": "out", "when": [draw(tests(("key", "plug", "block")))]}, *last]
    if draw(st.integers(0, 3)) == 0:
        found["arm"]["isolates"] = True
    return found


@st.composite
def tests(draw, names=(*EVERY, *THINGS)):
    found = {}
    for name in draw(st.lists(st.sampled_from(names), max_size=2, unique=True)):
        values = EVERY.get(name, ("out", "in-place"))
        found[name] = draw(st.lists(st.sampled_from(values), min_size=1, max_size=2, unique=True))
    return found


@st.composite
def energies(draw):
    found = {}
    for name in NAMES[: draw(st.integers(1, 3))]:
        kind = draw(st.sampled_from(KINDS))
        isolate = {}
        if draw(st.integers(0, 3)):
            for by in draw(st.lists(st.sampled_from(["plug", "valve", "wedge"]), max_size=2, unique=True)):
                isolate[by] = "in-place" if by == "wedge" else ISOLATORS[by][1]
        others = [other for other in NAMES if other != name]
        found[name] = {
            "kind": kind,
            "reach": draw(st.sampled_from(["touch", "touch", "near", "zone"])),
            "stays_live": draw(st.integers(0, 9)) == 0,
            "comes_back": draw(st.integers(0, 9)) == 0,
            "highest": draw(st.sampled_from([24.0, 230.0])),
            "when": draw(st.lists(tests(), max_size=2)) if draw(st.booleans()) else [],
            "isolate": isolate,
            "fed_by": draw(st.lists(st.sampled_from(others), max_size=draw(st.sampled_from([0, 2])), unique=True)),
            "held_by": draw(st.lists(st.sampled_from(["block", "holder"]), max_size=2, unique=True)),
            "relieve": draw(st.booleans()),
            "waits": draw(st.booleans()),
            "prove": draw(proves()) if draw(st.integers(0, 3)) else None,
        }
    for each in found.values():
        each["fed_by"] = [other for other in each["fed_by"] if other in found]
    return found


@st.composite
def proves(draw):
    measure = draw(st.sampled_from(["", "dc-voltage", "dc-voltage", "temperature"]))
    return {
        "measure": measure,
        "pairs": [["P", "N"], ["P", "frame"]] if measure == "dc-voltage" else [],
        "look": draw(st.integers(0, 2)) == 0,
        "try": draw(st.integers(0, 2)) == 0,
        "sees": [],
        "access": [],
    }


@st.composite
def parts(draw, names):
    found = {}
    for name in PARTS:
        exposes = [
            {"energy": energy, "unless": draw(st.sampled_from([{}, {}, {"lid": "fitted"}, {"key": "off"}]))}
            for energy in draw(st.lists(st.sampled_from(names), max_size=2))
        ]
        found[name] = {"in": draw(st.sampled_from(["bay", ""])), "on": "", "exposes": exposes}
    found["holder"]["on"] = draw(st.sampled_from(["", "shaft"]))
    return found


def step(key, action, nearness, role="", **facts):
    pairs = facts.pop("pairs", [])
    warned = facts.pop("warned", ())
    usual: dict = {name: [] for name in ("ways", "opens", "closes", "parts", "live", "energies", "locks")}
    usual |= {"sets": {}, "meanwhile": {}, "measure": "", "power": "", "helper": "", "access": False, "together": False}
    return {
        "key": key, "number": 0, "action": action, "nearness": nearness, "command": "Do it.", "role": role,
        "hold": facts.pop("hold", ""), "together": False,
        "warnings": [{"key": "+".join(f"moving:{name}" for name in warned)}] if warned else [],
        "reading": {"pairs": [[{"key": a}, {"key": b}] for a, b in pairs]} if pairs else None,
        "facts": usual | facts,
    }  # fmt: skip


PAIRS = [("P", "N"), ("P", "frame")]


@st.composite
def single(draw, names, key):
    """Any one step."""
    some = draw(st.lists(st.sampled_from(names), min_size=1, max_size=3, unique=True))
    isolator = draw(st.sampled_from(sorted(ISOLATORS)))
    name, values = draw(st.sampled_from(sorted(EVERY.items())))
    value, part = draw(st.sampled_from(values)), draw(st.sampled_from(PARTS))
    thing = draw(st.sampled_from(sorted(THINGS)))
    free = draw(st.sampled_from(["off", "on", "either", ""]))
    return draw(
        st.sampled_from(
            [
                step(key, "operate", "controls", "isolate", sets={isolator: ISOLATORS[isolator][1]}),
                step(key, "place", "controls", "lock", locks=[isolator]),
                step(key, "take", "controls", "unlock", locks=[isolator]),
                step(key, "operate", "controls", "restore", sets={isolator: ISOLATORS[isolator][0]}),
                step(key, "operate", "controls", "relieve", energies=some),
                step(key, "wait", "controls", "wait", energies=some),
                step(key, "read", "controls", "prove", energies=some),
                step(key, "measure", "probe", "prove", energies=some, measure="dc-voltage", pairs=PAIRS),
                step(key, "measure", "probe", "prove", energies=some, measure="dc-voltage", pairs=PAIRS[:1]),
                step(key, "look", "senses", "prove", energies=some),
                step(key, "operate", "controls", "prove", energies=some),
                step(key, "open", "hands", "access", sets={"lid": "removed"}, opens=["open:lid"]),
                step(key, "operate", "controls", sets={name: value}, warned=some[:1]),
                step(key, "operate", "controls", sets={"key": "on"}, meanwhile={name: value}),
                step(key, "place", "hands", sets={thing: "in-place"}, opens=[f"place:{thing}"]),
                step(key, "take", "hands", sets={thing: "out"}, closes=[f"place:{thing}"]),
                step(key, "remove", "hands", parts=[part], opens=[f"remove:{part}"]),
                step(key, "fit", "hands", parts=[part], closes=[f"remove:{part}"]),
                step(key, "clean", "hands", parts=[part], hold=draw(st.sampled_from(["", "", "Stop."]))),
                step(key, "feel", "hands", access=draw(st.booleans())),
                step(key, "close", "hands", sets={"lid": "fitted"}, closes=["open:lid"]),
                step(key, "measure", "probe", parts=[part], measure="dc-voltage", live=some[:1]),
                step(key, "measure", "probe", parts=[part], measure="dc-voltage", meanwhile={name: value}),
                step(key, "measure", "probe", parts=[part], measure="resistance", power=free),
                step(key, "ask", "senses"),
            ]
        )
    )


def honest(names, facts):
    """A lockout of everything, then work."""
    confirmed = {name: each["initial"] for name, each in facts["conditions"].items() if name != "arm"}
    return [
        step("", "look", "senses", "confirm", sets=confirmed | dict.fromkeys(THINGS, "out")),
        step("", "place", "hands", "safe", sets={"wedge": "in-place"}),
        *(step("", "operate", "controls", "isolate", sets={name: values[1]}) for name, values in ISOLATORS.items()),
        *(step("", "place", "controls", "lock", locks=[name]) for name in ISOLATORS),
        step("", "operate", "controls", "relieve", energies=list(names)),
        step("", "wait", "controls", "wait", energies=list(names)),
        step("", "read", "controls", "prove", energies=list(names)),
        step("", "measure", "probe", "prove", energies=list(names), measure="dc-voltage", pairs=PAIRS),
        step("", "read", "controls", "prove", energies=list(names)),
        step("", "measure", "controls", "prove", energies=list(names), measure="temperature"),
        step("", "look", "senses", "prove", energies=list(names)),
        step("", "operate", "controls", "prove", energies=list(names)),
        step("", "clean", "hands", parts=["box"]),
    ]


def named(facts, steps):
    """All conditions that anything but the confirmation names."""
    found = set(facts["final"]).union(*(sets for sets in THINGS.values()))
    for energy in facts["energies"].values():
        found.update(energy["isolate"], *energy["when"])
    for part in facts["parts"].values():
        found.update(*(each["unless"] for each in part["exposes"]))
    for each in facts["conditions"].values():
        found.update(each["move_when"], *(case for clause in each["follows"] for case in clause["when"]))
    for each in steps:
        if each["role"] != "confirm":
            found.update(each["facts"]["sets"], each["facts"]["meanwhile"], each["facts"]["locks"])
    return found


def forget_unused(facts, steps):
    """Takes out conditions that nothing asks for, so that walking every way takes less time."""
    for name in sorted(set(facts["conditions"]) - named(facts, steps)):
        del facts["conditions"][name]
        for each in steps:
            each["facts"]["sets"].pop(name, None)


@st.composite
def drawn_cards(draw):
    """A card's plain data as far as the proof reads it."""
    machine_energies = draw(energies())
    names = tuple(machine_energies)
    facts = {
        "conditions": draw(conditions()),
        "things": {name: {"sets": sets, "holds": [], "joins": [], "defeats": ""} for name, sets in THINGS.items()},
        "energies": machine_energies,
        "parts": draw(parts(names)),
        "initial": {},
        "final": draw(st.sampled_from([{}, {"key": "off"}, {"plug": "mated", "wheels": "down"}])),
    }
    steps = honest(names, facts) if draw(st.integers(0, 3)) else []
    for _ in range(draw(st.integers(0, 3)) if steps else 0):
        del steps[draw(st.integers(0, len(steps) - 1))]
    for _ in range(draw(st.integers(0 if steps else 2, 6))):
        steps.insert(draw(st.integers(max(0, len(steps) - 4), len(steps))), draw(single(names, "")))
    if not steps:
        steps = [step("", "ask", "senses")]
    for at, each in enumerate(steps):
        each["key"], each["number"] = f"s{at + 1}", at + 1
    steps = [dict(each, facts=dict(each["facts"])) for each in steps]
    for at, each in enumerate(steps):
        onward = steps[at + 1]["key"] if at + 1 < len(steps) else "outcome:done"
        each["facts"]["ways"] = [{"side": "next", "to": onward, "at_most": 0}]
        if not each["role"] and draw(st.integers(0, 3)) == 0:
            to = draw(st.sampled_from([*(other["key"] for other in steps), "outcome:left", "stop"]))
            side = "otherwise" if each["action"] == "operate" else "no"
            each["facts"]["ways"].append({"side": side, "to": to, "at_most": 0})
    closing = step("c1", "operate", "senses", "hand-over")
    closing["number"] = len(steps) + 1
    closing["facts"]["ways"] = [{"side": "next", "to": "end", "at_most": 0}]
    forget_unused(facts, steps)
    return {
        "facts": facts,
        "hazards": [],
        "sections": [
            {"key": "part-1", "kind": "work", "steps": steps},
            {"key": "closing-1", "kind": "closing", "steps": [closing]},
        ],
        "outcomes": [
            {"key": "done", "leave": "as-final", "closing": ""},
            {"key": "left", "leave": "out-of-service", "closing": "closing-1"},
        ],
    }
