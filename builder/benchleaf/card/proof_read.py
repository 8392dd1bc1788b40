"""Plain card data (maps, lists, text, numbers) turned into what the proof knows; nothing here decides anything."""

from collections.abc import Mapping, Sequence
from typing import Any

from benchleaf.card.proof_facts import (
    IN,
    LOST,
    OUT,
    STOP,
    Bleeding,
    Condition,
    End,
    Energy,
    Part,
    Prove,
    Sheet,
    Step,
    Way,
    When,
    words,
)

Plain = Mapping[str, Any]

# Tolerance of capacitor and bleed resistor where none is stated. Common practice, no source.
USUAL_TOLERANCE = 0.2


def read_sheet(card: Plain) -> Sheet:
    """The facts, steps and ends of a card's plain data."""
    facts = card["facts"]
    circuit = facts.get("circuit", {})
    conditions = _conditions(facts)
    names = {line["key"]: line["name"] for line in card.get("hazards", ())}
    leaves = {outcome["key"]: outcome["leave"] for outcome in card["outcomes"]}
    closings = {outcome["key"]: outcome["closing"] for outcome in card["outcomes"]}
    steps, ends = _graph(card, conditions, leaves, closings)
    return Sheet(
        conditions=conditions,
        energies={key: _energy(key, each, names.get(key, words(key))) for key, each in facts["energies"].items()},
        parts={key: _part(each) for key, each in facts["parts"].items()},
        initial=facts["initial"],
        final=facts["final"],
        steps=steps,
        ends=ends,
        leaves=leaves,
        closings=closings,
        switches={name: _when(cases) for name, cases in circuit.get("switches", {}).items()},
        faults=circuit.get("faults", {}),
    )


def _conditions(facts: Plain) -> dict[str, Condition]:
    things, final = facts["things"], facts["final"]
    by_thing = {name for thing in things.values() for name in thing["sets"]}
    found = {
        name: Condition(
            name=name,
            values=tuple(each["values"]),
            closed=each["initial"] or final.get(name, "") or each["values"][0],
            isolates=each["isolates"],
            control=each["control"],
            cover=each["cover"],
            lock=each["lock"],
            moved_by_thing=name in by_thing,
            springs_back=each["springs_back"],
            may_change=each["may_change"],
            move_when=tuple(each["move_when"].items()),
            follows=tuple((clause["is"], _when(clause["when"])) for clause in each["follows"]),
        )
        for name, each in facts["conditions"].items()
    }
    for name, thing in things.items():
        found[name] = Condition(name, (OUT, IN), OUT, thing=True, sets=tuple(thing["sets"].items()))
    return found


def _when(cases: Sequence[Plain]) -> When:
    return tuple(tuple((name, frozenset(values)) for name, values in case.items()) for case in cases)


def _energy(key: str, each: Plain, name: str) -> Energy:
    prove, parted = each["prove"], each.get("parted")
    return Energy(
        key=key,
        name=name,
        kind=each["kind"],
        reach=each["reach"],
        stays_live=each["stays_live"],
        comes_back=each["comes_back"],
        highest=float(each["highest"]),
        when=_when(each["when"]),
        isolate=tuple(each["isolate"].items()),
        fed_by=tuple(each["fed_by"]),
        held_by=tuple(each["held_by"]),
        relieve=each["relieve"],
        waits=each["waits"],
        prove=_prove(prove) if prove else None,
        chemistry=each.get("chemistry", ""),
        parted=tuple(parted["when"].items()) if parted else (),
        lengths=parted["into"] if parted else 1,
        lets_go=tuple(each.get("lets_go", {}).items()),
        lasts=float(each.get("lasts", 0)),
        bleeds=_bleeding(each.get("bleeds")),
    )


def _bleeding(bleeds: Plain | None) -> Bleeding | None:
    if not bleeds:
        return None
    within, bleed_within = (
        USUAL_TOLERANCE if bleeds[name] is None else float(bleeds[name]) for name in ("within", "bleed_within")
    )
    return Bleeding(float(bleeds["farads"]), within, float(bleeds["ohms"]), bleed_within, float(bleeds["volts"]))


def _prove(prove: Plain) -> Prove:
    return Prove(
        measure=prove["measure"],
        pairs=_pairs(prove["pairs"]),
        look=prove["look"],
        try_=prove["try"],
        sees=tuple(prove["sees"]),
        access=tuple(prove["access"]),
        below=prove.get("below", ""),
        unit=prove.get("unit", ""),
    )


def _pairs(pairs: Sequence[Sequence[str]]) -> frozenset[frozenset[str]]:
    return frozenset(frozenset(pair) for pair in pairs)


def _part(each: Plain) -> Part:
    exposes = tuple((exposed["energy"], tuple(exposed["unless"].items())) for exposed in each["exposes"])
    return Part(each["in"], each["on"], exposes)


def _graph(
    card: Plain, conditions: Mapping[str, Condition], leaves: Mapping[str, str], closings: Mapping[str, str]
) -> tuple[tuple[Step, ...], tuple[End, ...]]:
    """Steps in printing order, each way resolved. An end stands for a closing section, or a finding without one."""
    sections = [(section, step) for section in card["sections"] for step in section["steps"]]
    at = {step["key"]: index for index, (_, step) in enumerate(sections)}
    first: dict[str, int] = {}
    for index, (section, _) in enumerate(sections):
        first.setdefault(section["key"], index)
    ends: dict[str, End] = {}

    def end(name: str, outcomes: tuple[str, ...], leave: str, closed_off: bool) -> int:
        return ends.setdefault(name, End(len(sections) + len(ends), outcomes, leave, closed_off)).at

    def resolve(section: Plain, to: str) -> int:
        if to == "stop":
            return STOP
        if to == "end":
            meant = tuple(key for key, closing in closings.items() if closing == section["key"])
            return end(f"end:{section['key']}", meant, leaves[meant[0]] if meant else "as-final", True)
        if not to.startswith("outcome:"):
            return at.get(to, LOST)
        key = to.removeprefix("outcome:")
        if key not in closings:
            return LOST
        return first.get(closings[key], LOST) if closings[key] else end(to, (key,), leaves[key], False)

    steps = tuple(
        _step(
            index,
            section,
            step,
            conditions,
            tuple(Way(way["side"], resolve(section, way["to"]), way["to"]) for way in step["facts"]["ways"]),
        )
        for index, (section, step) in enumerate(sections)
    )
    return steps, tuple(ends.values())


def _step(index: int, section: Plain, step: Plain, conditions: Mapping[str, Condition], ways: tuple[Way, ...]) -> Step:
    facts, reading = step["facts"], step["reading"]
    sets: Mapping[str, str] = facts["sets"]
    assigns: dict[str, str | None] = {}
    for name, value in sets.items():
        if name in conditions:
            assigns |= {moved: to if value == IN else None for moved, to in conditions[name].sets}
    return Step(
        at=index,
        key=step["key"],
        number=step["number"],
        section=section["key"],
        kind=section["kind"],
        role=step["role"],
        action=step["action"],
        nearness=step["nearness"],
        command=step["command"],
        hold=bool(step["hold"]),
        together=facts["together"],
        warned=frozenset(part.partition(":")[2] for warn in step["warnings"] for part in warn["key"].split("+")),
        ways=ways,
        assigns=assigns | dict(sets),
        meanwhile=facts["meanwhile"],
        opens=tuple(facts["opens"]),
        closes=tuple(facts["closes"]),
        parts=tuple(facts["parts"]),
        live=tuple(facts["live"]),
        energies=tuple(facts["energies"]),
        measure=facts["measure"],
        pairs=_pairs([(red["key"], black["key"]) for red, black in reading["pairs"]]) if reading else frozenset(),
        power=facts["power"],
        access=facts["access"] or step["role"] == "access",
        locks=tuple(facts.get("locks", ())),
        told=frozenset(part for warn in step["warnings"] for part in warn["key"].split("+")),
        stays=frozenset(facts.get("stays", ())),
        leads=facts.get("leads", "") == "back" and bool(step.get("info", "")),
        airs=facts.get("airs", False),
        seconds=facts.get("seconds", 0),
        waited=float(step["wait"]["value"]) if step.get("wait") else 0.0,
        high=_high(reading) if reading else None,
        exposed=tuple(facts.get("exposed", ())),
        warned_for=tuple(_made_for(warn) for warn in step["warnings"]),
    )


def _high(reading: Plain) -> tuple[str, str] | None:
    """Up to which number, in which unit, a reading is good."""
    high = (reading.get("band") or {}).get("high")
    return (high["value"], high["unit"]) if high else None


def _made_for(warn: Plain) -> tuple[str, int]:
    """A warning's key and the number of the step that its reason names, 0 for none."""
    number = warn.get("reason", {}).get("step", "").removeprefix("step ")
    return warn["key"], int(number) if number.isdecimal() else 0
