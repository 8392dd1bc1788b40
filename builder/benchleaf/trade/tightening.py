"""From torque to preload and back: the short form T = K F d, and the long form with friction in thread and under head.

Both are a lever arm, the torque per preload, in mm; what differs is how it is found. Forces in N, torques in N·m.
"""

import json
import math
from difflib import get_close_matches
from functools import cache
from typing import Any, NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.trade.threads import Thread
from benchleaf.trade.unread import Unread, proposed

# The flanks of the thread stand at 30° to the plane across the axis (ISO 68-1).
HALF_ANGLE = math.pi / 6
# The part of the yield up to which VDI 2230 strains a bolt while it is tightened.
UTILISATION = 0.9
UNKNOWN_FRICTION = "plain"


class Friction(NamedTuple):
    """A nut factor K to reckon with, and its span over tests; the three are one where K is written as a number."""

    word: str
    k: float
    low: float
    high: float
    source: str
    note: str


class Scatter(NamedTuple):
    """How far the preload may lie from the one aimed at, plus or minus, as shares of it."""

    method: str
    low: float
    high: float
    source: str
    about: str


def lever_arm(thread: Thread, nut_factor: float) -> float:
    """K d in mm: the short form. ValueError for a nut factor that is not above zero."""
    if nut_factor <= 0:
        raise ValueError("the nut factor must be above zero")
    return nut_factor * thread.diameter


def long_lever_arm(thread: Thread, thread_friction: float, head_friction: float, bearing_diameter: float) -> float:
    """P/2π + μt d2/(2 cos 30°) + μh Dm/2 in mm: the long form, from coefficients and the mean bearing diameter in mm.

    Source: VDI 2230 part 1 (Motosh), which prints it as 0.16 P + 0.58 d2 μt + Dm μh/2.
    """
    if min(thread_friction, head_friction) < 0 or bearing_diameter <= 0:
        raise ValueError("friction must not be below zero, and the bearing diameter must be above it")
    turning = thread.pitch / (2 * math.pi)
    in_thread = thread_friction * thread.pitch_diameter / (2 * math.cos(HALF_ANGLE))
    return turning + in_thread + head_friction * bearing_diameter / 2


def mean_bearing_diameter(head: float, hole: float) -> float:
    """(dw + dh)/2 in mm (VDI 2230); ValueError where the hole is not smaller than the bearing face."""
    if not 0 < hole < head:
        raise ValueError("the hole must be smaller than the bearing face under the head")
    return (head + hole) / 2


def equivalent_nut_factor(thread: Thread, lever: float) -> float:
    """The K of the short form that has the same lever arm (mm)."""
    return lever / thread.diameter


def tightening_torque(preload: float, lever: float, prevailing: float = 0.0) -> float:
    """Torque in N·m for a preload in N over a lever arm in mm; a prevailing torque (N·m) comes on top."""
    return preload * lever / 1000 + prevailing


def preload_of(torque: float, lever: float, prevailing: float = 0.0) -> float:
    """Preload in N that a torque (N·m) gives over a lever arm (mm): none while it only overcomes the prevailing one."""
    return max(0.0, torque - prevailing) * 1000 / lever


def preload_at_yield(
    thread: Thread, yielding: float, thread_friction: float, utilisation: float = UTILISATION
) -> float:
    """Preload in N at which pull and twist together reach a share of the yield (MPa) while the bolt is tightened.

    F = ν R A / √(1 + 3 (3/2 · d2/d0 · (P/(π d2) + 1.155 μt))²), d0 = (d2 + d3)/2. Source: VDI 2230 part 1. It is the
    most that a bolt bears, with no safety in it; not to be mixed with shares of the proof load.
    """
    d2, d0 = thread.pitch_diameter, (thread.pitch_diameter + thread.root_diameter) / 2
    twist = 1.5 * d2 / d0 * (thread.pitch / (math.pi * d2) + thread_friction / math.cos(HALF_ANGLE))
    return utilisation * yielding * math.pi / 4 * d0**2 / math.sqrt(1 + 3 * twist**2)


@cache
def _friction_rows() -> tuple[dict[str, Any], ...]:
    return tuple(json.loads(table_text("trade", "friction.json"))["words"])


@cache
def friction_words() -> tuple[str, ...]:
    """The words of the friction table, in its order."""
    return tuple(row["word"] for row in _friction_rows())


def parse_friction(text: str) -> Friction | Unread:
    """Read a nut factor (`0.16`) or a word of the friction table (`oiled`)."""
    plain = text.strip()
    if plain and set(plain) <= set("0123456789.") and plain.count(".") <= 1 and any(map(str.isdigit, plain)):
        k = float(plain)
        if 0 < k < 1:
            return Friction(plain, k, k, k, "as stated", "")
        return Unread(f"`{text}` is no nut factor: it lies above 0 and below 1.", "Write it as in `0.16`.")
    for row in _friction_rows():
        if plain in (row["word"], *row.get("also", ())):
            source = "; ".join(dict.fromkeys(each["source"] for each in row["sources"]))
            return Friction(row["word"], row["k"], row["low"], row["high"], source, row.get("note", ""))
    known = {word: row["word"] for row in _friction_rows() for word in (row["word"], *row.get("also", ()))}
    comma = plain.replace(",", ".")
    if comma != plain and isinstance(parse_friction(comma), Friction):
        return proposed(f"`{text}` has a comma.", (comma,))
    alike = get_close_matches(plain.casefold().replace(" ", "-"), known, n=3, cutoff=0.7)
    near = tuple(dict.fromkeys(known[word] for word in alike))
    return proposed(f"`{text}` is neither a nut factor nor a word of the friction table.", near or friction_words())


@cache
def scatters() -> dict[str, Scatter]:
    """How well each way of tightening meets the preload: by-feel, impact, torque, torque-tested, angle, washer, …"""
    rows = json.loads(table_text("trade", "tightening.json"))["methods"]
    return {row["method"]: Scatter(row["method"], row["low"], row["high"], row["source"], row["about"]) for row in rows}
