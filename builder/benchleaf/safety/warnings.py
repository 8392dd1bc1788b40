"""Warnings: which step exposes a person to what, and where each must stand to come first on every path."""

from collections.abc import Callable, Mapping, Sequence
from typing import NamedTuple

from benchleaf.base.said import fill, row
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Gear, Inserted, Warned, Why
from benchleaf.model.procedure import Step
from benchleaf.model.quantity import Quantity
from benchleaf.safety.naming import energy_name, part_name
from benchleaf.safety.paths import on_every_path
from benchleaf.safety.presence import may_be_there
from benchleaf.safety.reach import exposed, met, nearness, neighbours, parts_of, reach_of
from benchleaf.safety.sentences import say
from benchleaf.safety.sizes import blanks, size_in
from benchleaf.safety.valuation import Values
from benchleaf.safety.weave import Woven
from benchleaf.trade.hazards import Equip, WarningText, hazard, hazard_words, signal_word

LIFTING = frozenset({"remove", "fit", "swap", "lift"})


class Exposure(NamedTuple):
    """A step that exposes a person to an energy on an occasion; `key` tells when two are the same."""

    key: str
    energy: str
    occasion: str
    part: str = ""


class Context(NamedTuple):
    """What placing warnings needs: the machine, how to print a size, the values during each step.

    `gone` are stored energies let go before each step, on every path and for good; `limits` are those of the tables as
    they count in this shop.
    """

    machine: Machine
    print_quantity: Callable[[Quantity], str]
    during: Mapping[str, Values]
    gone: Mapping[str, frozenset[str]]
    limits: Mapping[str, Quantity]


def exposures(context: Context, woven: Woven) -> tuple[Exposure, ...]:
    """Everything that a step exposes people to, in the machine file's order."""
    if woven.station is not None:
        key = woven.station.key
        found = _written(
            context.machine, context.during.get(key, {}), context.gone.get(key, frozenset()), woven.station.step
        )
    else:
        found = _relieving(woven.step)
    return tuple(each for each in found if severity(context, each))


def _relieving(step: Inserted | None) -> list[Exposure]:
    relieves = step is not None and step.role == "relieve"
    return [Exposure(f"relieving:{key}", key, "relieving") for key in step.energies] if step and relieves else []


def standing_exposures(
    machine: Machine, limits: Mapping[str, Quantity], written: Step | None, inserted: Inserted | None
) -> tuple[str, ...]:
    """The keys of the warnings that a step needs however the machine stands: all but those of what may move or fall."""
    if inserted is not None:
        found = _relieving(inserted)
        words: tuple[str, ...] = ()
    elif written is not None:
        found = [
            each for each in _written(machine, {}, frozenset(), written) if each.occasion not in ("moving", "hands")
        ]
        words = words_of(machine, written)
    else:
        return ()
    grave = (each.key for each in found if _severity(machine, limits, each))
    return (*grave, *(f"word:{word}" for word in words))


def severity(context: Context, exposure: Exposure) -> str:
    """How bad it may become, by the table of its kind and the energy's size; empty where nobody needs a warning.

    A size that nobody knows counts as large.
    """
    return _severity(context.machine, context.limits, exposure)


def _severity(machine: Machine, limits: Mapping[str, Quantity], exposure: Exposure) -> str:
    energy = machine.energy[exposure.energy]
    text = hazard(energy.kind.name).warnings.get(exposure.occasion)
    if text is None:
        return ""
    limit = limits.get(text.threshold)
    size = size_in(energy, limit.dimension) if limit is not None else None
    return text.below if limit is not None and size is not None and size < limit.number() else text.severity


def _written(machine: Machine, values: Values, gone: frozenset[str], step: Step) -> list[Exposure]:
    close = nearness(machine, step)
    parts = parts_of(machine, step)
    around = exposed(machine, neighbours(machine, parts)) if close == "hands" else exposed(machine, parts)
    live = {ref.name for ref in step.live.energies} if step.live is not None else set()
    found = []
    for name, energy in machine.energy.items():
        there = may_be_there(machine, name, values, controls_count=True)
        kind = energy.kind.name
        if name in live and "live" in hazard(kind).warnings:
            found.append(Exposure(f"live:{name}", name, "live"))
        elif energy.stays_live and name in around and close in ("hands", "probe"):
            found.append(Exposure(f"stays:{name}", name, "stays", _exposing(machine, parts, name)))
        elif kind in ("motion", "height") and there and close in ("controls", "senses"):
            if close == "controls" and reach_of(energy) in ("zone", "near") and step.action.name != "wait":
                found.append(Exposure(f"moving:{name}", name, "moving"))
        elif kind in ("height", "heat") and there and close == "hands" and name in met(machine, step):
            if kind == "heat" and name in gone:
                continue
            found.append(Exposure(f"hands:{name}", name, "hands"))
        if step.action.name == "charge" and kind == "battery":
            occasion = "charge-lithium" if "lithium" in str(energy.chemistry) else "charge"
            found.append(Exposure(f"{occasion}:{name}", name, occasion))
        if kind == "battery" and step.action.name in LIFTING and name in exposed(machine, parts):
            if "lithium" in str(energy.chemistry):
                found.append(Exposure(f"handle-lithium:{name}", name, "handle-lithium"))
            found.append(Exposure(f"lift:{name}", name, "lift"))
    return found


def _exposing(machine: Machine, parts: Sequence[str], energy: str) -> str:
    for key in neighbours(machine, tuple(parts)):
        if any(each.energy.name == energy for each in machine.parts[key].exposes):
            return key
    return ""


def words_of(machine: Machine, step: Step) -> tuple[str, ...]:
    """The hazard words that a step names itself or meets at its own parts with hands."""
    own = [ref.name for ref in step.hazards]
    if nearness(machine, step) == "hands":
        own += [ref.name for key in parts_of(machine, step) for ref in machine.parts[key].hazards]
    return tuple(dict.fromkeys(word for word in own if word in hazard_words()))


def place_warnings(context: Context, steps: Sequence[Woven]) -> dict[str, tuple[Warned, ...]]:
    """Warnings by step key: before the first exposed step on every path, again only after the energy was locked away.

    An exposure needs no second warning where every path to it has already met one and nothing has changed since.
    """
    steps_of = {each.key: each for each in steps}
    exposed_to = {each.key: exposures(context, each) for each in steps}
    named = {each.key: words_of(context.machine, each.station.step) for each in steps if each.station is not None}
    shown = {
        key: frozenset((*(each.key for each in found), *(f"word:{word}" for word in named.get(key, ()))))
        for key, found in exposed_to.items()
    }
    already = _already_shown(steps, shown)
    placed: dict[str, tuple[Warned, ...]] = {}
    for key, found in exposed_to.items():
        close = _nearness(context.machine, steps_of[key])
        made = [_warned(context, key, each, close) for each in found if each.key not in already[key]]
        made += [_word_warned(key, word, close) for word in named.get(key, ()) if f"word:{word}" not in already[key]]
        if made:
            placed[key] = tuple(_merged(made))
    return placed


def _nearness(machine: Machine, woven: Woven) -> str:
    if woven.station is not None:
        return nearness(machine, woven.station.step)
    return woven.step.nearness if woven.step is not None else "senses"


def _already_shown(steps: Sequence[Woven], shown: Mapping[str, frozenset[str]]) -> dict[str, frozenset[str]]:
    roles = {each.key: each.step.role for each in steps if each.step is not None}
    forgotten = {"isolate": ("moving:", "live:"), "unlock": ("relieving:",)}

    def after(key: str, before: frozenset[str]) -> frozenset[str]:
        told = before | shown[key]
        lost = forgotten.get(roles.get(key, ""), ())
        return frozenset(each for each in told if not each.startswith(lost)) if lost else told

    graph = {each.key: each.ways for each in steps}
    return on_every_path(graph, next(iter(graph), ""), frozenset().union(*shown.values()), after)


def _warned(context: Context, step: str, exposure: Exposure, close: str) -> Warned:
    machine = context.machine
    energy = machine.energy[exposure.energy]
    text = hazard(energy.kind.name).warnings[exposure.occasion]
    name = energy_name(machine, exposure.energy)
    filled = blanks(energy, name, context.print_quantity)
    filled["part"] = part_name(machine, exposure.part) if exposure.part else name
    why = Why(
        f"energy.{_RULE[exposure.occasion]}", say(f"why-{exposure.occasion}"), step, exposure.part, exposure.energy
    )
    filled["limit"] = context.print_quantity(context.limits[text.threshold]) if text.threshold else ""
    return _made(exposure.key, signal_word(severity(context, exposure), text.likelihood[close]), text, filled, why)


_RULE = {
    "stays": "stays-live",
    "live": "live-work",
    "charge": "battery-charging",
    "charge-lithium": "battery-charging",
    "handle-lithium": "battery-handling",
    "lift": "battery-mass",
    "moving": "may-move",
    "hands": "hands-near",
    "relieving": "relieve",
}


def _word_warned(step: str, word: str, close: str) -> Warned:
    text, _ = hazard_words()[word]
    called = signal_word(text.severity, text.likelihood[close])
    return _made(f"word:{word}", called, text, {}, Why("energy.hazard-word", say("why-word"), step))


def _made(key: str, called: str, text: WarningText, filled: Mapping[str, str], why: Why) -> Warned:
    return Warned(
        key,
        called,
        fill(text.hazard, **filled),
        fill(text.consequence, **filled),
        fill(text.avoidance, **filled),
        text.signs,
        why,
    )


def _merged(made: list[Warned]) -> list[Warned]:
    """Warnings that say the same consequence and avoidance become one; the gravest come first."""
    groups: dict[tuple[str, str, str], list[Warned]] = {}
    for each in made:
        groups.setdefault((each.word, each.consequence, each.avoidance), []).append(each)
    merged = []
    for same in groups.values():
        first = same[0]
        hazards = list(dict.fromkeys(each.hazard for each in same))
        merged.append(first._replace(hazard=row(hazards), key="+".join(each.key for each in same)))
    return sorted(merged, key=lambda each: ("danger", "warning", "caution", "notice").index(each.word))


def gear_for(machine: Machine, warned: Mapping[str, tuple[Warned, ...]], locked: Sequence[str]) -> tuple[Gear, ...]:
    """Protective equipment for the warnings and for proving zero; each piece once, with its first reason."""
    found: dict[tuple[str, str], Gear] = {}

    def add(items: Sequence[Equip], why: Why) -> None:
        for item in items:
            found.setdefault((item.sign, item.name), Gear(item.sign, fill(item.name), why))

    for warnings in warned.values():
        for each in warnings:
            for key in each.key.split("+"):
                _add_for(machine, key, each.why, add)
    for key in locked:
        table = hazard(machine.energy[key].kind.name)
        add(table.gear, Why("energy.lockout", say("why-gear"), energy=key))
    return tuple(found.values())


def _add_for(machine: Machine, key: str, why: Why, add: Callable[[Sequence[Equip], Why], None]) -> None:
    occasion, _, name = key.partition(":")
    if occasion == "word":
        equip = hazard_words()[name][1]
        if equip is not None:
            add([equip], why)
        return
    energy = machine.energy[name]
    table = hazard(energy.kind.name)
    if (
        energy.chemistry is not None
        and energy.chemistry.name in table.chemistry
        and occasion in ("stays", "charge", "charge-lithium", "handle-lithium", "lift")
    ):
        add(table.chemistry[energy.chemistry.name][0], why)
    if occasion == "live":
        add(table.gear_live, why)
    if occasion != "moving" or energy.kind.name == "height":
        add(table.gear, why)


def emergency_lines(machine: Machine, energies: Sequence[str]) -> tuple[str, ...]:
    """First aid and flight for the energies that the card names, each line once."""
    lines: list[str] = []
    for key in energies:
        energy = machine.energy[key]
        table = hazard(energy.kind.name)
        if energy.chemistry is not None and energy.chemistry.name in table.chemistry:
            lines.extend(map(fill, table.chemistry[energy.chemistry.name][1]))
        lines.extend(map(fill, table.emergency))
    return tuple(dict.fromkeys(lines))
