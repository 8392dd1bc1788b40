"""What the words of a step give away: hands where its action has none, and moves of which `sets` says nothing."""

import json
import re
from collections import Counter
from collections.abc import Iterator, Mapping
from functools import cache

from benchleaf.base.finding import Finding
from benchleaf.base.resources import table_text
from benchleaf.model.actions import actions
from benchleaf.model.flow import Station
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure
from benchleaf.passes import hazards_rules as rules
from benchleaf.safety.effects import moves
from benchleaf.safety.naming import condition_name, energy_name, part_name, spoken
from benchleaf.safety.reach import nearness
from benchleaf.safety.valuation import Values

MOVING = frozenset({"operate", "raise", "lower", "drive", "charge"})
LIFTING = frozenset({"raise", "lower"})


def of_words(machine: Machine, procedure: Procedure, station: Station, before: Values) -> Iterator[Finding]:
    """What is wrong between the words of one step and what the compiler makes of it."""
    yield from _hands(machine, station)
    if station.step.action.name in MOVING:
        yield from _unsaid(machine, procedure, station, before)


def _hands(machine: Machine, station: Station) -> Iterator[Finding]:
    step = station.step
    words = _hand_words().get(nearness(machine, step), ())
    text = f" {' '.join(_words(step.object.text))} "
    said = next((word for word in words if f" {word} " in text), "")
    if said:
        sentence = f"'{said}' brings hands to the machine, but `{step.action.name}` is done from a distance."
        yield rules.HANDS_IN_WORDS.at(step.object.span, sentence)
    elif words and (named := _handled(machine, step.object.text)):
        sentence = f"Hands come to the {named} by these words, but `{step.action.name}` is done from a distance."
        yield rules.HANDS_IN_WORDS.at(step.object.span, sentence)


def _handled(machine: Machine, text: str) -> str:
    """The part or cover to which a sentence of the words sends hands; empty where none does."""
    covers = [key for key, each in machine.conditions.items() if each.cover]
    names = [name for key in machine.parts for name in (part_name(machine, key), spoken(key))]
    names += [name for key in covers for name in (condition_name(machine, key), spoken(key))]
    for sentence in re.split(r"[.;:?!]", text):
        spoken_words = _words(sentence)
        moved = [condition_name(machine, key) for key, each in machine.conditions.items() if not each.cover]
        longer = [name for name in moved if _spoken_of(spoken_words, name)]
        if spoken_words and actions().get(spoken_words[0]) == "hands" and spoken_words[0] != "turn":
            for name in names:
                if _spoken_of(spoken_words, name) and not any(name in other for other in longer):
                    return name
    return ""


def _words(text: str) -> list[str]:
    return re.findall(r"[\w-]+", text.lower())


@cache
def _hand_words() -> Mapping[str, tuple[str, ...]]:
    table = json.loads(table_text("passes", "hands_words.json"))
    return {close: tuple(table[close]) for close in ("senses", "controls")}


def _unsaid(machine: Machine, procedure: Procedure, station: Station, before: Values) -> Iterator[Finding]:
    """A condition and a value of it stand in the words, and the step neither moves it nor finds it so already."""
    step = station.step
    moved = {setting.condition.name for setting in moves(machine, procedure, step)}
    moved |= {setting.condition.name for setting in step.while_.sets} if step.while_ is not None else set()
    if not moved and step.action.name in LIFTING:
        yield from _load(machine, station)
    text = _words(step.object.text)
    short = _short_names(machine)
    for name, condition in machine.conditions.items():
        # Covers have actions of their own; told in passing they are opened by a rod and fall shut.
        if name in moved or condition.follows or condition.cover:
            continue
        if not (_spoken_of(text, condition_name(machine, name)) or short.get(name) in text):
            continue
        for value in condition.values:
            if _done(text, value.name) and before.get(name) != frozenset((value.name,)):
                called = condition_name(machine, name)
                sentence = f"The words move the {called} to '{spoken(value.name)}', and `sets` does not say so."
                yield rules.MOVE_UNSAID.at(step.object.span, sentence)
                break


def _short_names(machine: Machine) -> dict[str, str]:
    """The last word of a condition's name where nothing else of the machine is called so: 'lever' for a tip lever."""
    called = {name: condition_name(machine, name) for name in (*machine.conditions, *machine.things)}
    called |= {f"part {name}": part_name(machine, name) for name in machine.parts}
    last = {name: _words(words)[-1] for name, words in called.items() if _words(words)}
    count = Counter(last.values())
    return {name: word for name, word in last.items() if name in machine.conditions and count[word] == 1}


def _load(machine: Machine, station: Station) -> Iterator[Finding]:
    """A load goes up or down, and nothing tells the compiler which."""
    loads = [key for key, energy in machine.energy.items() if energy.kind.name == "height" and energy.when]
    if loads:
        sentence = f"Something is moved by `{station.step.action.name}` and `sets` does not say what: is it the "
        sentence += f"{energy_name(machine, loads[0])}?"
        yield rules.MOVE_UNSAID.at(station.step.span, sentence)


def _spoken_of(text: list[str], name: str) -> bool:
    """Whether all words of a name stand behind each other."""
    wanted = _words(name)
    return any(text[at : at + len(wanted)] == wanted for at in range(len(text) - len(wanted) + 1))


def _done(text: list[str], value: str) -> bool:
    """Whether the words bring about a value: they name it, or the verb that does (`pressed`: press)."""
    called = spoken(value).lower()
    verbs = {called[:-2], called[:-1]} if called.endswith("ed") else set()
    return called in text or bool(verbs & set(text))
