"""What the stated torque does to bolt and thread: shares of the proof load, what is left loose, what strips."""

from collections.abc import Iterator
from itertools import pairwise

from benchleaf.base.finding import Finding
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.passes import torque_rules as rules
from benchleaf.passes.torque_reading import Joint, plain_friction
from benchleaf.trade.bolts import Strength
from benchleaf.trade.stripping import engagement_for, stripping_load
from benchleaf.trade.terminals import terminal_torque
from benchleaf.trade.threads import Thread
from benchleaf.trade.tightening import lever_arm, preload_of, scatters, tightening_torque

# Of the proof load: what no joint may pass, what a house keeps to where it says nothing else, what holds a joint.
MOST = 0.90
USUAL_SHARE = 0.75
LEAST = 0.40
# Charts give whole N·m and lbf·ft: up to half a per cent over the share is rounding (common practice, no source).
_ROUNDING = 0.005
_METHOD = "torque"
# Words by which a source is a drawing.
_DRAWINGS = frozenset({"drawing", "drawings", "drg", "dwg"})
# A torque is surely too high where it is so even with as much friction as bare steel has.
SAFE_K = 0.20


def of_strength(joint: Joint, share: float) -> Iterator[Finding]:
    """What bolt and thread make of the torque; `share` is the part of the proof load that the house keeps to."""
    if joint.torque is None or joint.torque <= 0:
        return
    if joint.prevailing >= joint.torque:
        span = (joint.fastener.prevailing or joint.fastener.torque or joint.fastener).span
        sentence = (
            f"`{joint.key}` needs {joint.prevailing:g} N·m to turn at all and is tightened to {joint.torque:g} N·m."
        )
        yield rules.PREVAILING_TOO_HIGH.at(span, sentence)
        return
    if joint.thread is None:
        return
    if joint.bears is not None:
        yield from _of_bolt(joint, joint.thread, joint.bears, share)
    elif joint.fastener.class_ is None:
        yield from _of_terminal(joint, joint.thread)
    yield from _of_thread(joint, joint.thread)


def by_drawing(joint: Joint) -> bool:
    """Whether a drawing asks for the torque: then a light or a heavy share is its business."""
    return not _DRAWINGS.isdisjoint(_words(joint.fastener.source))


def _by_maker(joint: Joint) -> bool:
    """Whether a drawing or a data sheet asks for the torque of a terminal."""
    source = _words(joint.fastener.source)
    return by_drawing(joint) or "datasheet" in source or ("data", "sheet") in pairwise(source)


def _words(text: str) -> tuple[str, ...]:
    return tuple("".join(each if each.isalnum() else " " for each in text.casefold()).split())


def _preload(joint: Joint, thread: Thread, k: float) -> float:
    return preload_of(joint.torque or 0.0, lever_arm(thread, k), joint.prevailing)


def _of_bolt(joint: Joint, thread: Thread, bears: Strength, share: float) -> Iterator[Finding]:
    proof = bears.proof_load(thread.stress_area)
    if joint.k is None:
        yield from _unknown_friction(joint, thread, bears, proof, share)
        return
    at_least = max(SAFE_K, joint.k)
    surely, stated = _preload(joint, thread, at_least) / proof, _preload(joint, thread, joint.k) / proof
    if surely > MOST:
        yield _over(rules.OVER_PROOF, joint, thread, bears, at_least, surely, share)
    elif stated > MOST:
        yield _over(rules.NEAR_PROOF, joint, thread, bears, joint.k, stated, share)
    elif joint.fastener.angle is None and not by_drawing(joint):
        yield from _of_share(joint, thread, bears, stated, share)


def _of_share(joint: Joint, thread: Thread, bears: Strength, stated: float, share: float) -> Iterator[Finding]:
    k = joint.k or SAFE_K
    method = scatters()[joint.fastener.method.name if joint.fastener.method else _METHOD]
    spread = method.low
    if stated > share + _ROUNDING:
        yield _over(rules.OVER_SHARE, joint, thread, bears, k, stated, share)
    elif stated * (1 + spread) > 1:
        mend = _proposed(joint, thread, bears, k, share=1 / (1 + spread))
        sentence = f"{_gives(joint, bears, k, stated)}; with {method.about} it may be {_percent(spread)} above that."
        yield rules.SCATTER_OVER_PROOF.at(_span(joint), sentence, mend=mend)
    elif stated < LEAST and joint.fastener.joint is None:
        yield rules.LEFT_LOOSE.at(_span(joint), f"{_gives(joint, bears, k, stated)}.")


def _unknown_friction(joint: Joint, thread: Thread, bears: Strength, proof: float, share: float) -> Iterator[Finding]:
    """Without friction there is no verdict, but where even that of bare steel does not make the torque right."""
    if joint.misread:
        return
    plain = plain_friction()
    surely = _preload(joint, thread, SAFE_K) / proof
    if surely > MOST:
        yield _over(rules.OVER_PROOF, joint, thread, bears, SAFE_K, surely, share)
        return
    least, most = (_preload(joint, thread, k) / proof for k in (plain.high, plain.low))
    if joint.fastener.joint is not None and most <= share:
        return
    span = f"between {_percent(least)} and {_percent(most)} of the proof load"
    sentence = (
        f"`{joint.key}` does not state its friction: {_torque(joint)} gives {span} (K {plain.high} to {plain.low})."
    )
    yield rules.NO_FRICTION.at(_span(joint), sentence)


def _over(rule: Rule, joint: Joint, thread: Thread, bears: Strength, k: float, found: float, share: float) -> Finding:
    mend = _proposed(joint, thread, bears, k, share)
    return rule.at(_span(joint), f"{_gives(joint, bears, k, found)}.", mend=mend)


def _proposed(joint: Joint, thread: Thread, bears: Strength, k: float, share: float) -> str:
    """What the torque would be at a share of the proof load, for the friction that is stated."""
    lever = lever_arm(thread, joint.k or k)
    torque = tightening_torque(share * bears.proof_load(thread.stress_area), lever, joint.prevailing)
    unstated = "" if joint.k else " If its friction is higher, state it."
    return f"At {_percent(share)} of the proof load and K {joint.k or k:.2g} it would be {torque:.2g} N·m.{unstated}"


def _gives(joint: Joint, bears: Strength, k: float, found: float) -> str:
    what = f"{joint.thread.designation if joint.thread else joint.fastener.thread}, {bears.name}"
    return f"`{joint.key}`: {_torque(joint)} strains {what} to {_percent(found)} of its proof load at K {k:.2g}"


def _of_thread(joint: Joint, thread: Thread) -> Iterator[Finding]:
    """Whether the thread in a softer part holds the preload over the depth that is given."""
    if joint.into is None or joint.engagement is None or joint.engagement <= 0:
        return
    holds = stripping_load(thread, joint.engagement, joint.into.tensile, joint.bears.tensile if joint.bears else None)
    safe = max(SAFE_K, joint.k) if joint.k is not None else plain_friction().high
    surely = _preload(joint, thread, safe)
    stated = _preload(joint, thread, joint.k) if joint.k is not None else surely
    if stated <= holds:
        return
    rule, force, k = (rules.STRIPS_THREAD, surely, safe) if surely > holds else (rules.NEAR_STRIPPING, stated, joint.k)
    depth = engagement_for(thread, stated, joint.into.tensile)
    sentence = (
        f"`{joint.key}` pulls with {force / 1000:.2g} kN at K {k:.2g}; its thread in {joint.into.name} holds "
        f"{holds / 1000:.2g} kN over {joint.engagement:g} mm."
    )
    fastener = joint.fastener
    span = fastener.engagement.span if fastener.engagement else fastener.span
    yield rule.at(span, sentence, mend=f"It takes {depth:.2g} mm of engagement, a threaded insert, or a lower torque.")


def _of_terminal(joint: Joint, thread: Thread) -> Iterator[Finding]:
    kind = joint.fastener.joint
    most = terminal_torque(thread) if kind is not None and kind.name == "terminal" else None
    if most is not None and (joint.torque or 0) > most and not _by_maker(joint):
        sentence = f"`{joint.key}`: {_torque(joint)} on {thread.designation}; terminals are tested at {most:g} N·m."
        yield rules.OVER_TERMINAL.at(_span(joint), sentence)


def _span(joint: Joint) -> Span:
    return joint.fastener.torque.span if joint.fastener.torque else joint.fastener.span


def _torque(joint: Joint) -> str:
    return str(joint.fastener.torque or "")


def _percent(share: float) -> str:
    return f"{share * 100:.0f} %"
