"""Points 1 and 3: what an inserted step says it proves or lets go is what the machine asks, and warnings come first.

A proof that names nothing, reads elsewhere or lets more pass than the machine file does is a lie on the card, whether
hands follow it or not; so is a wait that is shorter than the charge takes to bleed away.
"""

import math
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import Energy, Sheet, Step, words
from benchleaf.card.proof_flow import VOLTAGES, closure
from benchleaf.card.proof_walk import explore, path_to

# A charge counts as gone at 60 V or less: IEC 60204-1:2016, 6.2.4.
RESIDUAL_VOLTS = 60.0
MOVERS = frozenset({"isolate", "restore", "shut-down", "safe", "access", "close"})
# What forgets a warning: the energy was away in between, and comes back as new.
FORGETS = {"isolate": ("live:",), "unlock": ("relieving:",)}


def said_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Inserted steps that say what the machine does not bear out, and exposed steps that nothing has warned of."""
    for step in sheet.steps:
        said = _said(sheet, step) if step.role else ()
        for sentence in said:
            yield at_step(sheet, 3 if step.role == "prove" else 2, step.at, sentence)
            break
        for key, number in step.warned_for:
            if number and number != step.number:
                yield at_step(sheet, 1, step.at, f"The warning `{key}` stands here and was made for step {number}.")
    yield from _unwarned(sheet)


def _said(sheet: Sheet, step: Step) -> Iterator[str]:
    named = [sheet.energies[key] for key in step.energies if key in sheet.energies]
    if step.role in ("prove", "inspect", "polarity", "relieve", "wait") and not named:
        yield f"This step ({step.role}) does not say of which energy it speaks."
    if step.role in MOVERS and not step.assigns:
        yield f"This step ({step.role}) moves nothing."
    for energy in named:
        lacking = _lacking(sheet, step, energy)
        if lacking:
            yield f"{lacking} the {energy.name}."
    if step.role == "prove" and step.action == "operate" and named and not any(_tried(energy) for energy in named):
        yield "Nothing that this step speaks of can be tried."


def _lacking(sheet: Sheet, step: Step, energy: Energy) -> str:
    """What the machine file does not bear out, as the head of a sentence that the energy's name ends."""
    if step.role == "prove":
        return _proof(step, energy)
    if step.role == "wait":
        return _wait(sheet, step, energy)
    return _relief(step, energy) if step.role == "relieve" else _battery(step, energy)


def _proof(step: Step, energy: Energy) -> str:
    prove = energy.prove
    if step.action == "operate":
        return ""
    if prove is None:
        return "The machine file knows no such proof of"
    if step.tester:
        return "" if prove.measure in VOLTAGES else "The voltage tester is tried for what is no voltage:"
    if step.action == "look":
        return "" if prove.look else "The machine file knows no such look at"
    if step.measure != prove.measure or not step.pairs >= prove.pairs:
        return "The reading is not, or not at all points, the one that the machine file asks for to prove"
    if any(len(pair) < 2 for pair in step.pairs):
        return "Both probes touch one point in the proof of"
    return _laxer(step, energy)


def _laxer(step: Step, energy: Energy) -> str:
    prove = energy.prove
    if prove is None or not prove.below or step.high is None:
        return ""
    value, unit = step.high
    try:
        laxer = unit != prove.unit or Decimal(value) > Decimal(prove.below)
    except InvalidOperation:
        laxer = True
    return f"More than {prove.below} {prove.unit} would pass as zero in the proof of" if laxer else ""


def _tried(energy: Energy) -> bool:
    return energy.kind == "motion" or (energy.prove is not None and energy.prove.try_) or energy.prove is None


def _wait(sheet: Sheet, step: Step, energy: Energy) -> str:
    if not energy.waits:
        return "The machine file knows no waiting for"
    return "The wait is too short for" if step.waited + 1e-6 < needed(sheet, energy.key) else ""


def needed(sheet: Sheet, key: str) -> float:
    """How many seconds an energy takes to be gone: as stated, or t = R C ln(V0 / V) at the worst tolerances.

    It ends where its own proof or that of what feeds it would pass.
    """
    energy = sheet.energies[key]
    lasts = energy.lasts
    if energy.bleeds is not None:
        bleeds, end = energy.bleeds, RESIDUAL_VOLTS
        for name in closure(sheet, key):
            prove = sheet.energies[name].prove
            if prove is not None and prove.unit == "V" and prove.below:
                end = min(end, float(prove.below))
        constant = bleeds.ohms * (1 + bleeds.bleed_within) * bleeds.farads * (1 + bleeds.within)
        lasts = max(lasts, constant * math.log(bleeds.volts / end) if bleeds.volts > end else 0.0)
    return lasts


def _relief(step: Step, energy: Energy) -> str:
    if not energy.relieve:
        return "The machine file knows no letting go of"
    moved = all(step.assigns.get(name) == value for name, value in energy.lets_go)
    return "" if moved else "The step does not move what lets go of"


def _battery(step: Step, energy: Energy) -> str:
    wrong = step.role in ("inspect", "polarity") and energy.kind != "battery"
    return "This is no battery to be looked at or tested:" if wrong else ""


def _unwarned(sheet: Sheet) -> Iterator[Doubt]:
    """Steps that expose people to what no warning has told of on some path, or told of before it was locked away."""
    for key in dict.fromkeys(key for step in sheet.steps for key in step.exposed):

        def onward(index: int, warned: bool, key: str = key) -> Iterator[tuple[str, int, bool]]:
            if index < len(sheet.steps):
                step = sheet.steps[index]
                after = (warned or key in step.told) and not key.startswith(FORGETS.get(step.role, ("\0",)))
                for way in step.ways:
                    yield way.side, way.target, after

        seen = explore(sheet.total, [False], onward)
        for step in sheet.steps:
            if key in step.exposed and key not in step.told and False in seen[step.at]:
                occasion, _, name = key.partition(":")
                called = sheet.energies[name].name if name in sheet.energies else words(name)
                sentence = f"Nothing has warned of the {called} before this step ({words(occasion)})."
                path = path_to(seen, step.at, False)
                yield at_step(sheet, 1, step.at, sentence, path, name if name in sheet.energies else "")
