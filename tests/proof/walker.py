"""A walker without wits: every way in which the machine may stand, every walk, one after the other.

It holds the whole machine, not the part about one energy; it knows every value, never 'unknown'; and it keeps a record
of what was done rather than of what that is worth. Where the proof must be clever to be quick, this need not.
"""

from itertools import product

KEPT = {"capacitor", "hydraulic", "pneumatic", "heat"}
RESTING = {"height", "spring"}
ELECTRICAL = {"battery", "mains", "dc", "capacitor"}
VOLTAGES = {"dc-voltage", "ac-voltage"}


class Machine:
    """Questions about the machine as it stands in one world: a dict of values, and sets of facts."""

    def __init__(self, facts):
        self.energies, self.parts, self.things = facts["energies"], facts["parts"], facts["things"]
        self.conditions = dict(facts["conditions"])
        for name in self.things:
            self.conditions[name] = {"values": ["out", "in-place"], "isolates": False, "control": False, "cover": False,
                                     "lock": False, "springs_back": "", "may_change": False, "follows": [],
                                     "move_when": {}}  # fmt: skip
        self.by_thing = {name for thing in self.things.values() for name in thing["sets"]}
        self.free = [name for name, each in self.conditions.items() if each["may_change"]]
        self.following = [name for name, each in self.conditions.items() if each["follows"] and not each["may_change"]]
        self.kept = [name for name in self.conditions if name not in self.free and name not in self.following]

    def protects(self, name):
        each = self.conditions[name]
        trusted = each["isolates"] or each["cover"] or name in self.things or name in self.by_thing
        return trusted and not each["control"]

    def lockable(self, name):
        return self.conditions[name]["isolates"] and self.conditions[name]["lock"]

    def pictures(self, values):
        """All values, with those that change by themselves or follow from others."""
        for picked in product(*(self.conditions[name]["values"] for name in self.free)):
            worlds = [dict(values) | dict(zip(self.free, picked, strict=True))]
            for name in self.following:
                worlds = [world | {name: value} for world in worlds for value in self.follow(name, world)]
            yield from worlds

    def follow(self, name, world):
        for clause in self.conditions[name]["follows"]:
            if self.met(clause["when"], world):
                return [clause["is"]]
        return self.conditions[name]["values"]

    @staticmethod
    def met(cases, world):
        return not cases or any(all(world[name] in values for name, values in case.items()) for case in cases)

    def feeders(self, key):
        return self.energies[key]["fed_by"]

    def family(self, key):
        found = [key]
        for name in found:
            found += [feeder for feeder in self.feeders(name) if feeder not in found]
        return found

    def isolators(self, key):
        found, entered = [], [key]
        for name in entered:
            own = self.energies[name]["isolate"]
            found += own
            entered += [] if own else [feeder for feeder in self.feeders(name) if feeder not in entered]
        return set(found)

    def rootless(self, key):
        """Energies that only feed each other, with nothing to cut anywhere."""
        every = [self.energies[name] for name in self.family(key)]
        return all(each["fed_by"] and not each["isolate"] for each in every)

    def pending(self, key):
        """What an energy that stays stored wants done before it is gone."""
        each = self.energies[key]
        wants = {name for name, asked in (("relieve", each["relieve"]), ("wait", each["waits"])) if asked}
        if each["kind"] in KEPT or (each["kind"] in RESTING and (wants or not each["isolate"])):
            return wants or {"never"}
        return set()

    def room(self, key, world, locks):
        """Whether `when` leaves room for it, trusting only what hands may trust."""
        cases, own = self.energies[key]["when"], self.isolators(key)

        def keeps_away(name, values):
            if world[name] in values or not self.protects(name) or name in own:
                return False
            return name in locks or not self.lockable(name)

        return not cases or any(not any(keeps_away(name, v) for name, v in case.items()) for case in cases)

    def held(self, key, world):
        return any(world.get(name) == "in-place" for name in self.energies[key]["held_by"] if name in self.things)

    def taken_with(self, part):
        """The part and its carriers: whichever comes off takes it along."""
        chain = [part]
        while self.parts[chain[-1]]["on"]:
            chain.append(self.parts[chain[-1]]["on"])
        return set(chain)

    def open_breaks(self, key, world):
        own = self.energies[key]["isolate"]
        return bool(own) and all(world[name] == value for name, value in own.items())

    def void(self, key, world, removed):
        """A break holds nothing when all that should hold is gone."""
        holders = [name for name in self.energies[key]["held_by"] if name in self.parts]
        return bool(holders) and all(removed[name] for name in holders) and not self.held(key, world)

    def alive(self, key, now, trusting=True, entered=()):
        each = self.energies[key]
        if each["kind"] in KEPT:
            return bool(now["stored"][key]) or self.feeding(key, now, entered)
        possible = self.met(each["when"], now["world"]) if trusting else self.room(key, now["world"], now["locks"])
        if not possible or self.held(key, now["world"]):
            return False
        if self.open_breaks(key, now["world"]) and not self.void(key, now["world"], now["removed"]):
            return False
        if each["kind"] in RESTING:
            return not self.pending(key) or bool(now["stored"][key])
        if not each["fed_by"] or self.rootless(key):
            return True
        return any(self.alive(f, now, trusting, (*entered, key)) for f in each["fed_by"] if f not in (*entered, key))

    def feeding(self, key, now, entered=()):
        each = self.energies[key]
        if not self.room(key, now["world"], now["locks"]):
            return False
        cut = self.open_breaks(key, now["world"])
        if not each["fed_by"]:
            return bool(each["isolate"]) and not cut
        feeders = [f for f in each["fed_by"] if f not in (*entered, key)]
        pressing = [f for f in feeders if not cut or self.energies[f]["kind"] in RESTING]
        return any(self.alive(f, now, False, (*entered, key)) for f in pressing)

    def away(self, key, now):
        if self.held(key, now["world"]):
            return True
        return self.energies[key]["kind"] not in KEPT and not self.room(key, now["world"], now["locks"])

    def isolated(self, key, now, entered=()):
        each = self.energies[key]
        if each["isolate"]:
            locked = all(name in now["locks"] or not self.lockable(name) for name in each["isolate"])
            return self.open_breaks(key, now["world"]) and locked and not self.void(key, now["world"], now["removed"])
        if not each["fed_by"] or self.rootless(key):
            return False
        ahead = [f for f in each["fed_by"] if f not in (*entered, key)]
        return all(self.away(f, now) or self.isolated(f, now, (*entered, key)) for f in ahead)

    def relieved(self, key, now, entered=()):
        if self.pending(key):
            return not now["stored"][key]
        if self.energies[key]["isolate"]:
            return True
        ahead = [f for f in self.feeders(key) if f not in (*entered, key)]
        return all(self.away(f, now) or self.relieved(f, now, (*entered, key)) for f in ahead)

    def only_things(self, key):
        names = self.isolators(key)
        return bool(names) and all(name in self.things for name in names)

    def proved(self, key, now, entered=()):
        if self.only_things(key):
            return True
        if self.energies[key]["prove"] is not None:
            return self.asked(key) <= now["proofs"].get(key, frozenset())
        if not self.feeders(key):
            return False
        ahead = [f for f in self.feeders(key) if f not in (*entered, key)]
        return all(self.away(f, now) or self.proved(f, now, (*entered, key)) for f in ahead)

    def asked(self, key):
        prove = self.energies[key]["prove"]
        found = {"voltage"} if prove["measure"] in VOLTAGES else {"reading"} if prove["measure"] else set()
        found |= {way for way, stated in (("look", prove["look"]), ("operate", prove["try"])) if stated}
        return found or {"any"}

    def tried_by(self, key):
        feeders = set(self.feeders(key))
        siblings = {name for name in self.energies if feeders and feeders <= set(self.family(name))}
        return set(self.family(key)) | siblings

    def safe(self, key, now, proof=True):
        """Whether hands can't meet it."""
        if self.away(key, now):
            return True
        if not self.isolated(key, now) or not self.relieved(key, now):
            return False
        if not proof:
            return True
        each = self.energies[key]
        if not self.proved(key, now):
            return False
        must_try = each["kind"] == "motion" and each["prove"] is None and not self.only_things(key)
        return not must_try or "operate" in now["proofs"].get(key, frozenset())
