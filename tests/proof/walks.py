"""Every walk through a card by the walker without wits, and what goes wrong on any of them."""

from itertools import product

from tests.proof.walker import ELECTRICAL, VOLTAGES, Machine

OHMIC = {"resistance", "continuity", "diode", "insulation-resistance"}
DRIVING = {"operate", "charge", "raise", "lower", "drive"}


def dangers(card):
    """(point, step or outcome, energy or condition) of all that goes wrong, as the proof's points count."""
    walker = Walker(card)
    walker.walk()
    return walker.found


class Walker:
    def __init__(self, card):
        self.machine = Machine(card["facts"])
        self.final = card["facts"]["final"]
        self.steps = [step for section in card["sections"] for step in section["steps"]]
        self.at = {step["key"]: step for step in self.steps}
        self.outcomes = {outcome["key"]: outcome for outcome in card["outcomes"]}
        self.sections = {section["key"]: section["steps"] for section in card["sections"]}
        self.closing_of = {step["key"]: section["key"] for section in card["sections"] for step in section["steps"]}
        self.moved = {name for step in self.steps for name in self.sets(step)}
        self.found = set()

    def walk(self):
        machine = self.machine
        todo = []
        # What the first step confirms stands so before anything else is done.
        first = self.steps[0]
        sure = first["facts"]["sets"] if first["role"] == "confirm" else {}
        values = ([sure[name]] if name in sure else machine.conditions[name]["values"] for name in machine.kept)
        for picked in product(*values):
            todo.append(
                (
                    self.steps[0]["key"],
                    {
                        "values": dict(zip(machine.kept, picked, strict=True)),
                        "locks": frozenset(),
                        "stored": {key: frozenset(machine.pending(key)) for key in machine.energies},
                        "proofs": {},
                        "removed": dict.fromkeys(machine.parts, False),
                        "warned": frozenset(),
                        "owing": frozenset(),
                        "loose": frozenset(),
                    },
                )
            )
        seen = set()
        while todo:
            key, state = todo.pop()
            mark = (key, *(frozenset(part.items()) if isinstance(part, dict) else part for part in state.values()))
            if mark in seen:
                continue
            seen.add(mark)
            step = self.at[key]
            self.look_round(step, state)
            for after in self.done(step, state):
                for way in step["facts"]["ways"]:
                    after_or_before = [after]
                    if way["side"] == "otherwise":
                        after_or_before.append(state | {"values": self.sprung(state["values"])})
                    for then in after_or_before:
                        todo += self.onward(step, way, then)

    def onward(self, step, way, state):
        to = way["to"]
        if to == "stop":
            return []
        if to == "end":
            self.leave_out(state, [o for o in self.outcomes.values() if o["closing"] == self.closing_of[step["key"]]])
            return []
        if not to.startswith("outcome:"):
            return [(to, state)]
        outcome = self.outcomes[to.removeprefix("outcome:")]
        if outcome["closing"]:
            return [(self.sections[outcome["closing"]][0]["key"], state)]
        if outcome["leave"] == "as-final":
            self.leave_ready(state)
        return []

    def sets(self, step):
        """What stands how after the step; None for what a thing leaves standing anyhow."""
        found = {}
        for name, value in step["facts"]["sets"].items():
            for other, to in self.machine.things.get(name, {"sets": {}})["sets"].items():
                found[other] = to if value == "in-place" else None
        return found | step["facts"]["sets"]

    def assigned(self, values, sets):
        """All values that may stand once these are set."""
        worlds = [dict(values)]
        for name, value in sets.items():
            if name in self.machine.kept:
                each = [value] if value is not None else self.machine.conditions[name]["values"]
                worlds = [world | {name: to} for world in worlds for to in each]
        return worlds

    def sprung(self, values):
        back = {name: self.machine.conditions[name]["springs_back"] for name in values}
        return {name: back[name] or value for name, value in values.items()}

    def now(self, state, values, **changes):
        for world in self.machine.pictures(values):
            yield {part: state[part] for part in ("locks", "stored", "proofs", "removed")} | changes | {"world": world}

    def done(self, step, state):
        sets = self.sets(step)
        for before_back in self.assigned(state["values"], sets):
            after = self.sprung(before_back)
            for during in self.assigned(before_back, step["facts"]["meanwhile"]):
                yield from self.finished(step, state, during, after)

    def finished(self, step, state, during, after):
        machine, facts, role = self.machine, step["facts"], step["role"]
        locks = state["locks"]
        if role == "lock":
            locks |= {
                name for name in facts["locks"] if machine.conditions[name]["lock"] and self.isolates(name, after)
            }
        elif role == "unlock":
            locks -= set(facts["locks"])
        removed = self.parts_off(step, state["removed"])
        stored = dict(state["stored"])
        for key in facts["energies"] if role in ("relieve", "wait") else ():
            stored[key] -= {role}
        if not role:
            stored |= {key: frozenset(machine.pending(key)) for key in stored if machine.energies[key]["comes_back"]}
        then = state | {"locks": locks, "removed": removed}
        for filled in self.refilled(then, stored, (during, after)):
            proofs = self.fresh(step, state, after, locks)
            for shown in self.shown(step, then | {"stored": filled}, after, proofs):
                owing = frozenset() if not role and not self.access(step) else state["owing"]
                yield then | {
                    "values": after,
                    "stored": filled,
                    "proofs": shown,
                    "warned": state["warned"] | self.warned(step),
                    "owing": owing | self.trusted(step),
                    "loose": self.loose(step, state["loose"]),
                }

    def isolates(self, name, values):
        every = [energy["isolate"] for energy in self.machine.energies.values()]
        return any(isolate.get(name) == values[name] for isolate in every)

    def parts_off(self, step, removed):
        removed = dict(removed)
        for ends, off in ((step["facts"]["closes"], False), (step["facts"]["opens"], True)):
            names = {end.removeprefix("remove:") for end in ends if end.startswith("remove:")}
            removed |= {part: off for part in removed if self.machine.taken_with(part) & names}
        return removed

    def loose(self, step, loose):
        ends = loose - set(step["facts"]["closes"]) | set(step["facts"]["opens"])
        names = {f"lock:{name}" for name in step["facts"]["locks"]}
        return ends | names if step["role"] == "lock" else ends - names if step["role"] == "unlock" else ends

    def refilled(self, state, stored, both):
        """What may be stored again when anything fills it while or after the step is done; each way that it may go."""
        found = []
        for one in self.now(state, both[0], stored=stored):
            half = self.filled(one, stored)
            found += [self.filled(two, half) for two in self.now(state, both[1], stored=half)]
        return [dict(each) for each in {frozenset(each.items()) for each in found}]

    def filled(self, now, stored):
        machine = self.machine
        full = {key for key in stored if machine.pending(key) and machine.feeding(key, now)}
        return {key: frozenset(machine.pending(key)) if key in full else left for key, left in stored.items()}

    def fresh(self, step, state, after, locks):
        """The proofs that the step does not make stale."""
        machine, facts = self.machine, step["facts"]
        if step["hold"]:
            return {}
        let_go = set(facts["energies"]) if step["role"] in ("relieve", "wait") else set()
        kept = {}
        for key, shown in state["proofs"].items():
            names = machine.isolators(key)
            moved = any(state["values"][name] != after[name] for name in names if name in after)
            freed = (state["locks"] - locks) & names
            stands_on = {
                n for n in machine.energies if machine.energies[n]["prove"] is None and key in machine.family(n)
            }
            worn = not step["role"] and any(machine.energies[name]["comes_back"] for name in machine.family(key))
            if not (moved or freed or let_go & (stands_on | {key}) or worn):
                kept[key] = shown
        return kept

    def shown(self, step, state, after, proofs):
        """The proofs once the step has shown what it shows; what is broken off is lost."""
        machine, facts = self.machine, step["facts"]
        within = step["role"] == "prove" and (step["action"] == "read" or facts["measure"] in VOLTAGES)
        if not within:
            proofs = {key: shown - {"tried", "measured"} for key, shown in proofs.items()}
        if step["role"] != "prove":
            return [proofs]
        found = []
        for now in self.now(state, after):
            each = dict(proofs)
            for key, energy in machine.energies.items():
                if energy["prove"] is not None:
                    speaks = key in facts["energies"]
                else:
                    speaks = energy["kind"] == "motion" and bool(machine.tried_by(key) & set(facts["energies"]))
                if speaks and machine.isolated(key, now):
                    each[key] = self.spoken(step, energy["prove"], each.get(key, frozenset()))
            found.append(each)
        return [dict(each) for each in {frozenset(each.items()) for each in found}]

    @staticmethod
    def spoken(step, prove, shown):
        measure = step["facts"]["measure"]
        points = {frozenset(point["key"] for point in pair) for pair in (step["reading"] or {"pairs": []})["pairs"]}
        whole = prove is not None and measure == prove["measure"] and points >= {frozenset(p) for p in prove["pairs"]}
        if prove is None:
            return shown | ({"operate"} if step["action"] == "operate" else set())
        if step["action"] == "read":
            if "measured" in shown:
                return shown - {"tried", "measured"} | {"voltage", "any"}
            return shown | {"any"} | (set() if "voltage" in shown else {"tried"})
        if measure in VOLTAGES:
            if "voltage" in shown:
                return shown | {"any"}
            if whole and shown & {"tried", "measured"}:
                return shown | {"measured", "any"}
            return shown - {"tried", "measured"} | {"any"}
        if measure:
            return shown | {"any"} | ({"reading"} if whole else set())
        return shown | {"any", step["action"]}

    def warned(self, step):
        return frozenset(key.removeprefix("moving:") for warn in step["warnings"] for key in warn["key"].split("+"))

    @staticmethod
    def access(step):
        return step["facts"]["access"] or step["role"] == "access"

    # Who meets what.

    def bare(self, key, step, parts):
        """How each part that exposes the energy is covered."""
        machine = self.machine
        if machine.energies[key]["reach"] != "touch":
            return []
        return [each["unless"] for part in parts for each in machine.parts[part]["exposes"] if each["energy"] == key]

    def bare_to_hands(self, key, step):
        if self.machine.energies[key]["reach"] in ("near", "zone"):
            return [{}]
        parts = step["facts"]["parts"]
        moved = set(self.sets(step))
        if not parts:
            covers = step["action"] in ("open", "close") and any(self.machine.conditions[n]["cover"] for n in moved)
            things = step["action"] in ("place", "take") and moved & set(self.machine.things)
            return [] if covers or things else [{}]
        places = {self.machine.parts[part]["in"] for part in parts} - {""}
        around = [part for part, each in self.machine.parts.items() if each["in"] in places]
        return self.bare(key, step, {*parts, *around})

    def covered(self, bare, world):
        return all(
            unless and all(self.machine.protects(n) and world[n] == v for n, v in unless.items()) for unless in bare
        )

    def allowed(self, key, step):
        energy = self.machine.energies[key]
        listed = key in step["facts"]["live"] and energy["kind"] in ELECTRICAL
        return energy["stays_live"] or (listed and step["action"] in ("measure", "adjust"))

    def trusted(self, step):
        if step["nearness"] != "hands" or not self.access(step):
            return frozenset()
        every = self.machine.energies
        return frozenset(key for key in every if self.bare_to_hands(key, step) and not self.allowed(key, step))

    def moments(self, key, step, state):
        """All that may stand before and while the step is done; but for who places or takes what holds the energy."""
        sets = self.sets(step)
        every = [self.machine.energies[name] for name in self.machine.family(key)]
        holding = {name for each in every for name in (*each["isolate"], *each["held_by"])}
        own = holding & set(sets) and step["nearness"] == "hands"
        if not (own and step["action"] == "place"):
            yield from self.now(state, state["values"])
        if own and step["action"] == "take":
            return
        removed = dict(state["removed"])
        names = {end.removeprefix("remove:") for end in step["facts"]["opens"] if end.startswith("remove:")}
        removed |= {part: True for part in removed if self.machine.taken_with(part) & names}
        for settled in self.assigned(state["values"], sets):
            for during in self.assigned(settled, step["facts"]["meanwhile"]):
                proofs = {
                    of: shown
                    for of, shown in state["proofs"].items()
                    if all(state["values"].get(n) == during.get(n) for n in self.machine.isolators(of))
                }
                for now in self.now(state, during, proofs=proofs, removed=removed):
                    yield now | {"stored": self.filled(now, state["stored"])}

    def look_round(self, step, state):
        for key in self.machine.energies:
            for point in self.meets(key, step, state):
                self.found.add((point, step["key"], key))

    def meets(self, key, step, state):
        machine, facts, energy = self.machine, step["facts"], self.machine.energies[key]
        hands = self.bare_to_hands(key, step) if step["nearness"] == "hands" and step["role"] != "safe" else []
        probes = self.bare(key, step, facts["parts"]) if step["nearness"] == "probe" and not step["role"] else []
        for now in self.moments(key, step, state):
            world = now["world"]
            exposed = bool(hands) and not self.allowed(key, step) and not self.covered(hands, world)
            if exposed and not machine.safe(key, now, proof=not self.access(step)):
                yield 1
            if not step["role"] and not self.access(step) and key in state["owing"] and not machine.safe(key, now):
                yield 1
            if step["nearness"] == "probe" and not step["role"]:
                yield from self.probed(key, step, now, probes)
            if key in facts["live"] and not (energy["kind"] in ELECTRICAL and step["action"] in ("measure", "adjust")):
                yield 6
            moving = energy["reach"] == "zone" and energy["kind"] in ("motion", "height")
            unwarned = key not in state["warned"] | self.warned(step)
            if step["action"] in DRIVING and not step["role"] and moving and unwarned and machine.alive(key, now):
                yield 1

    def probed(self, key, step, now, probes):
        machine, energy = self.machine, self.machine.energies[key]
        if step["facts"]["measure"] in OHMIC and energy["kind"] in ELECTRICAL:
            bare = probes or ([{}] if self.in_circuit(key, step) else [])
            if bare and not self.covered(bare, now["world"]) and (energy["stays_live"] or not machine.safe(key, now)):
                yield 5
        elif probes and not self.allowed(key, step) and not self.covered(probes, now["world"]):
            bites = energy["kind"] in ELECTRICAL and energy["highest"] >= 50
            if bites and machine.alive(key, now) and not machine.safe(key, now):
                yield 1

    def in_circuit(self, key, step):
        machine = self.machine
        exposed = {each["energy"] for part in step["facts"]["parts"] for each in machine.parts[part]["exposes"]}
        there = {name for name in exposed if machine.energies[name]["kind"] in ELECTRICAL}
        if machine.energies[key]["stays_live"] or step["facts"]["power"] in ("on", "either"):
            return False
        return not there or any(name in machine.family(key) or key in machine.family(name) for name in there)

    # How the machine is left.

    def leave_out(self, state, outcomes):
        machine = self.machine
        for key, energy in machine.energies.items():
            if energy["stays_live"] or not machine.isolators(key) or outcomes[0]["leave"] != "out-of-service":
                continue
            for now in self.now(state, state["values"]):
                kept_up = "relieve" in now["stored"][key] or not machine.isolated(key, now)
                if not machine.safe(key, now, proof=False) and kept_up:
                    self.found.add((4, "", key))

    def leave_ready(self, state):
        machine = self.machine
        self.found |= {(4, "ready", end) for end in state["loose"]}
        usual = {name: "out" for name in self.moved if name in machine.things}
        covers = {name for name in self.moved if machine.conditions[name]["cover"]}
        usual |= {name: machine.conditions[name]["initial"] for name in covers}
        for name, value in (usual | self.final).items():
            for world in machine.pictures(state["values"]):
                if world[name] != value:
                    self.found.add((4, "ready", name))
