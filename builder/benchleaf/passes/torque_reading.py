"""A screwed joint as its texts are read: thread, class, friction and material, or what is wrong with them."""

from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.rules import Rule
from benchleaf.model.basics import Amount, Ref, Words
from benchleaf.model.fastener import Fastener
from benchleaf.passes import torque_rules as rules
from benchleaf.trade.bolts import Strength, hexagon_bearing, parse_class, strength
from benchleaf.trade.stripping import NutMaterial, nut_material, nut_materials
from benchleaf.trade.threads import Thread, is_pipe_thread, parse_thread
from benchleaf.trade.tightening import (
    UNKNOWN_FRICTION,
    Friction,
    equivalent_nut_factor,
    long_lever_arm,
    mean_bearing_diameter,
    parse_friction,
)
from benchleaf.trade.unread import Unread


class Joint(NamedTuple):
    """A joint with what its texts mean; None for what is not stated or not read.

    `k` is the nut factor, that of the long form with the same lever arm included; `misread` tells that friction is
    stated in a way that nobody reads; `torque` and `prevailing` are in N·m, `engagement` in mm.
    """

    key: str
    fastener: Fastener
    thread: Thread | None
    bears: Strength | None
    k: float | None
    misread: bool
    torque: float | None
    prevailing: float
    into: NutMaterial | None
    engagement: float | None


def read(key: str, fastener: Fastener) -> tuple[Joint, tuple[Finding, ...]]:
    """The joint, and a finding for each text that is not read."""
    found: list[Finding] = []
    thread = _thread(fastener, found)
    bears = _strength(fastener, thread, found)
    before = len(found)
    k = _nut_factor(fastener, thread, found)
    joint = Joint(
        key,
        fastener,
        thread,
        bears,
        k,
        len(found) > before,
        _number(fastener.torque, "N·m"),
        _number(fastener.prevailing, "N·m") or 0.0,
        _material(fastener, found),
        _number(fastener.engagement, "mm"),
    )
    return joint, tuple(found)


def plain_friction() -> Friction:
    """The span that friction may have where nothing is stated of it."""
    friction = parse_friction(UNKNOWN_FRICTION)
    assert isinstance(friction, Friction)
    return friction


def _number(amount: Amount | None, unit: str) -> float | None:
    return amount.quantity.number(unit) if amount else None


def _told(rule: Rule, text: Words | Ref, unread: Unread) -> Finding:
    return rule.at(text.span, unread.sentence, mend=unread.mend, change=unread.change)


def _thread(fastener: Fastener, found: list[Finding]) -> Thread | None:
    thread = parse_thread(fastener.thread.text)
    if isinstance(thread, Thread):
        return thread
    # A pipe thread is tightened until it seals: without a class nobody asks what it bears.
    if fastener.class_ or not is_pipe_thread(fastener.thread.text):
        found.append(_told(rules.UNKNOWN_THREAD, fastener.thread, thread))
    return None


def _strength(fastener: Fastener, thread: Thread | None, found: list[Finding]) -> Strength | None:
    if fastener.class_ is None:
        return None
    name = parse_class(fastener.class_.name)
    if isinstance(name, Unread):
        found.append(_told(rules.UNKNOWN_CLASS, fastener.class_, name))
        return None
    bears = strength(name, thread) if thread else None
    if isinstance(bears, Unread):
        found.append(_told(rules.CLASS_OF_OTHERS, fastener.class_, bears))
        return None
    return bears


def _nut_factor(fastener: Fastener, thread: Thread | None, found: list[Finding]) -> float | None:
    """The nut factor: by the long form where both coefficients stand, else as stated."""
    coefficients = [_coefficient(text, found) for text in (fastener.thread_friction, fastener.head_friction)]
    in_thread, under_head = coefficients
    short = None
    if fastener.friction:
        read_as = parse_friction(fastener.friction.name)
        if isinstance(read_as, Unread):
            found.append(_told(rules.UNKNOWN_FRICTION, fastener.friction, read_as))
        else:
            short = read_as.k
    if thread is None or in_thread is None or under_head is None:
        return short
    bearing = _bearing(fastener, thread, found)
    if bearing is None:
        return short
    return equivalent_nut_factor(thread, long_lever_arm(thread, in_thread, under_head, bearing))


def _coefficient(text: Ref | None, found: list[Finding]) -> float | None:
    if text is None:
        return None
    read_as = parse_friction(text.name)
    if isinstance(read_as, Friction) and read_as.source == "as stated":
        return read_as.k
    sentence = f"`{text.name}` is no coefficient of friction: it is a number above 0 and below 1."
    found.append(rules.UNKNOWN_FRICTION.at(text.span, sentence, mend="Write it as in `0.12`."))
    return None


def _bearing(fastener: Fastener, thread: Thread, found: list[Finding]) -> float | None:
    """The mean diameter of the bearing face in mm; that of a hexagon head where none is given."""
    head, hole = _number(fastener.head_diameter, "mm"), _number(fastener.hole, "mm")
    usual = hexagon_bearing(thread)
    head = head if head is not None else usual.head if usual else None
    hole = hole if hole is not None else usual.hole if usual else None
    if head is None or hole is None:
        return None
    try:
        return mean_bearing_diameter(head, hole)
    except ValueError:
        given = fastener.head_diameter or fastener.hole
        sentence = f"A head of {head:g} mm over a hole of {hole:g} mm has no bearing face."
        found.append(rules.IMPOSSIBLE_BEARING.at(given.span if given else fastener.span, sentence))
        return None


def _material(fastener: Fastener, found: list[Finding]) -> NutMaterial | None:
    if fastener.into is None:
        return None
    material = nut_material(fastener.into.text)
    if material is None:
        sentence = f"`{fastener.into}` is no material of the table; it has {', '.join(nut_materials())}."
        found.append(rules.UNKNOWN_MATERIAL.at(fastener.into.span, sentence))
    return material
