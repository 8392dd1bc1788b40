"""Torque and preload of a screwed joint, for `calc torque` and `calc preload`."""

from benchleaf.edge.calc.complaint import Misfit
from benchleaf.edge.calc.given import Answer, Given, Values
from benchleaf.trade.bolts import Strength, strength
from benchleaf.trade.threads import Thread
from benchleaf.trade.tightening import (
    Friction,
    lever_arm,
    long_lever_arm,
    mean_bearing_diameter,
    preload_of,
    tightening_torque,
)
from benchleaf.trade.unread import Unread

_LONG = "Dm = (dw + dh)/2; {} (P/2π + μt d2/(2 cos 30°) + μh Dm/2)"
_LONG_SOURCE = "VDI 2230 part 1 (Motosh)"


def torque(given: Given) -> Answer:
    """The torque for a preload, or for a share of the proof load."""
    thread, bears = _bolt(given)
    lever, formula, source = _lever(given, thread, "T = F")
    area = thread.stress_area
    proof_load = bears.proof_load(area)
    if given.has("preload"):
        preload = given.number("preload", "N")
        formulas = (formula, "share = F/(Sp A)", thread.area_formula)
    else:
        preload = given.number("share", "1") * proof_load
        formulas = (formula, "F = share · Sp A", thread.area_formula)
    values: Values = {
        "torque": tightening_torque(preload, lever),
        "preload": preload,
        "stress-area": area,
        "proof-load": proof_load,
        "proof-stress": bears.proof,
    }
    if given.has("preload"):
        values["share"] = preload / proof_load
    return Answer(values, "; ".join(formulas), f"{bears.source}; {source}")


def preload(given: Given) -> Answer:
    """The preload that a torque gives."""
    thread, bears = _bolt(given)
    lever, formula, source = _lever(given, thread, "F = T /")
    force = preload_of(given.number("torque", "N·m"), lever)
    values: Values = {
        "preload": force,
        "share": force / bears.proof_load(thread.stress_area),
    }
    return Answer(values, f"{formula}; share = F/(Sp A); {thread.area_formula}", f"{bears.source}; {source}")


def _bolt(given: Given) -> tuple[Thread, Strength]:
    thread = given.value("thread", Thread)
    bears = strength(given.word("class"), thread)
    if isinstance(bears, Unread):
        raise Misfit("class", bears.sentence, bears.mend)
    return thread, bears


def _lever(given: Given, thread: Thread, begins: str) -> tuple[float, str, str]:
    """Torque per force in mm, the formula that begins so, and its source."""
    if given.has("friction"):
        friction = given.value("friction", Friction)
        formula = f"{begins} K d" if begins.endswith("F") else f"{begins} (K d)"
        note = f" ({friction.note[0].lower()}{friction.note[1:].rstrip('.')})" if friction.note else ""
        return lever_arm(thread, friction.k), formula, f"short form with K = {friction.k:g}: {friction.source}{note}"
    try:
        bearing = mean_bearing_diameter(given.number("head-diameter", "mm"), given.number("hole", "mm"))
    except ValueError as error:
        raise Misfit("hole", f"{str(error)[0].upper()}{str(error)[1:]}.") from error
    lever = long_lever_arm(thread, given.value("thread-friction", float), given.value("head-friction", float), bearing)
    return lever, _LONG.format(begins), _LONG_SOURCE
