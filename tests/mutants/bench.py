"""Mutated procedures and machine files held against the true machine: caught, made safe, harmless, named, or missed.

What a mutant hides from the compiler the judge knows: it takes the card that was made for the mutant, puts the true
machine and the true work of each written step into it, and has the walker without wits walk every path.
"""

import copy
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from tests.proof.walks import dangers

from benchleaf.base.finding import Severity
from benchleaf.build import classes
from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence
from benchleaf.card.compile import compile_card
from benchleaf.card.model import plain
from benchleaf.card.proof import verify_plain
from benchleaf.passes.base import Case, Common

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-01"
# What a mutant may lie about in a written step, and what it does not: its ways, and where power is wanted.
TRUE_WORK = ("sets", "meanwhile", "opens", "closes", "parts", "measure")
PARTS = ("facts", "hazards", "sections", "outcomes")


class Verdict(NamedTuple):
    """What became of a mutant: caught | insertion | harmless | named | missed; and by what."""

    outcome: str
    why: str


class True_(NamedTuple):
    """An unmutated case with its card, and its written steps by the place in which they are written."""

    name: str
    case: Case
    card: Any
    work: dict[Any, Any]


@cache
def cases() -> tuple[True_, ...]:
    """Every procedure of the demo and of the trial machines, for its first class of machines."""
    found = []
    for root in (ROOT, ROOT / "tests" / "trials"):
        for one in judge(gather(Request(root, TODAY)), silence).judged:
            held = one.classes[0]
            card = compile_card(held.case, held.facts)
            data = {part: plain(getattr(card, part)) for part in PARTS} | {"rests_on": list(card.rests_on)}
            assert made(held.case, file=True)[0] == "", one.key
            found.append(True_(" ".join(one.key), held.case, data, _work(held, data)))
    return tuple(found)


def _work(held: Any, data: Any) -> dict[Any, Any]:
    """The written steps of a card by file, line and how often that line came before (blocks are put in twice)."""
    steps = {step["key"]: step for section in data["sections"] for step in section["steps"]}
    return {place: steps[key] for place, key in places(held.facts.flow) if key in steps}


def places(flow: Any) -> Iterator[tuple[Any, str]]:
    """Each station's place in the source, and its key."""
    seen: dict[Any, int] = {}
    for station in flow.stations:
        place = (station.step.span.file, station.step.span.line, station.step.span.column)
        seen[place] = seen.get(place, 0) + 1
        yield (*place, seen[place]), station.key


def made(case: Case, *, file: bool = False) -> tuple[str, Any, Any]:
    """(what stops it, the held class, the card's data) for a case; the first is empty where a card is built.

    With `file` the machine file is judged as well.
    """
    held, found = classes.hold(case)
    if file:
        found = [*found, *classes.common(_common(case))]
    errors = [each for each in found if each.severity is Severity.ERROR]
    if errors or not held or held[0].facts.plan is None:
        return (errors[0].slug if errors else "no plan"), None, None
    card = compile_card(held[0].case, held[0].facts)
    data = {part: plain(getattr(card, part)) for part in PARTS} | {"rests_on": list(card.rests_on)}
    doubts = verify_plain(data)
    return ("energy.not-confirmed" if doubts else ""), held[0], data


def _common(case: Case) -> Common:
    return Common(case.shop, case.machine, case.blocks, (case.procedure,), case.assets)


def of_procedure(true: True_, case: Case) -> Verdict:
    """What becomes of a mutated procedure, judged against the unmutated machine and the true work."""
    stopped, held, data = made(case)
    if stopped:
        return Verdict("caught", stopped)
    met = dangers(truly(true, held, data))
    if met:
        return Verdict("missed", str(sorted(map(str, met))[:3]))
    same = put_in(data) == put_in(true.card)
    return Verdict("harmless" if same else "insertion", "every path walked")


def of_machine(true: True_, case: Case) -> Verdict:
    """What becomes of a mutated machine file: caught, or told under what the card rests on, or harmless."""
    stopped, held, data = made(case, file=True)
    if stopped:
        return Verdict("caught", stopped)
    told = [line for line in data["rests_on"] if line not in true.card["rests_on"]]
    lost = [line for line in true.card["rests_on"] if line not in data["rests_on"]]
    if told or lost:
        return Verdict("named", (told or lost)[0])
    met = dangers(truly(true, held, data))
    if met:
        return Verdict("missed", str(sorted(map(str, met))[:3]))
    return Verdict("harmless" if put_in(data) == put_in(true.card) else "insertion", "every path walked")


def truly(true: True_, held: Any, data: Any) -> Any:
    """A mutant's card with the true machine, and the true work of each step that the true procedure has."""
    card = copy.deepcopy({part: data[part] for part in PARTS})
    card["facts"] = copy.deepcopy(true.card["facts"])
    place_of = {key: place for place, key in places(held.facts.flow)}
    for section in card["sections"]:
        for step in section["steps"]:
            real = true.work.get(place_of.get(step["key"]))
            if not step["role"] and real is not None:
                step["nearness"], step["action"] = real["nearness"], real["action"]
                step["facts"].update({name: copy.deepcopy(real["facts"][name]) for name in TRUE_WORK})
    return card


def put_in(data: Any) -> list[Any]:
    """What the compiler has put in, in order."""
    steps = (step for section in data["sections"] for step in section["steps"] if step["role"])
    return [(step["role"], step["command"]) for step in steps]
