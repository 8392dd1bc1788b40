"""Screwed joints: whether bolt and thread take the torque, the wrench reaches it, and each bolt has its turn."""

from collections.abc import Iterable, Iterator
from itertools import chain

from benchleaf.base.finding import Finding, Related
from benchleaf.model.basics import Amount
from benchleaf.model.fastener import Fastener
from benchleaf.model.machine import Machine
from benchleaf.passes import torque_rules as rules
from benchleaf.passes import torque_wrenches
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.torque_reading import read
from benchleaf.passes.torque_strength import USUAL_SHARE, of_strength
from benchleaf.trade.patterns import bolt_order
from benchleaf.trade.torque_tools import stages_fault

TIGHTEN = "tighten"


def run(case: Case, facts: Facts) -> Result:
    """The wrenches of one procedure."""
    if facts.flow is None:
        return Result(facts)
    found: list[Finding] = []
    for station in facts.flow.stations:
        step = station.step
        fastener = case.machine.fasteners.get(step.object.text) if step.action.name == TIGHTEN else None
        if fastener is not None:
            found += torque_wrenches.of_step(step, fastener, case.shop)
    return Result(facts, tuple(found))


def common(common: Common) -> tuple[Finding, ...]:
    """The joints of a machine file; or the wrenches of the shop, and joints of several machines side by side."""
    if common.machine is None:
        return tuple(chain(torque_wrenches.of_shop(common.shop.wrenches), _of_machines(common.machines)))
    share = common.shop.torque.share_of_proof if common.shop.torque else None
    kept = share.quantity.number() if share else USUAL_SHARE
    return tuple(chain.from_iterable(_of_joint(*joint, kept) for joint in common.machine.fasteners.items()))


def _of_joint(key: str, fastener: Fastener, share: float) -> Iterator[Finding]:
    joint, unread = read(key, fastener)
    yield from unread
    yield from of_strength(joint, share)
    yield from _order(key, fastener)
    yield from _stages(fastener.stages, key)


def _order(key: str, fastener: Fastener) -> Iterator[Finding]:
    pattern = fastener.pattern.name if fastener.pattern else "circle"
    try:
        bolt_order(tuple(ref.name for ref in fastener.sequence), fastener.count, pattern)
    except ValueError as fault:
        span = fastener.sequence[0].span.to(fastener.sequence[-1].span)
        yield rules.ORDER_INCOMPLETE.at(span, f"The order of `{key}` won't do: {fault}.")


def _stages(stages: tuple[Amount, ...], key: str) -> Iterator[Finding]:
    fault = stages_fault(tuple(stage.quantity.number() for stage in stages))
    if fault:
        yield rules.STAGES_WRONG.at(stages[0].span.to(stages[-1].span), f"`{key}`: {fault}")


def _of_machines(machines: Iterable[Machine]) -> Iterator[Finding]:
    """Joints of one part, by its number, that machines tighten to different torques."""
    seen: dict[tuple[str, str], Fastener] = {}
    for machine in machines:
        own: dict[tuple[str, str], Fastener] = {}
        for fastener in machine.fasteners.values():
            part = machine.parts.get(fastener.holds.name)
            key = (part.number if part else "", fastener.thread.text)
            first = seen.get(key)
            if key[0] and fastener.torque:
                own[key] = fastener
            if first is None or first.torque is None or fastener.torque is None or not key[0]:
                continue
            if not first.torque.quantity.same(fastener.torque.quantity):
                torques = f"{fastener.torque} here, at {first.torque} on another machine"
                sentence = f"Part {key[0]} is held by {key[1]} at {torques}."
                related = (Related(first.torque.span, "The other torque stands here."),)
                yield rules.JOINTS_DISAGREE.at(fastener.torque.span, sentence, related=related)
        seen = own | seen


TORQUE = Pass("torque", rules.RULES, run=run, common=common, needs=("flow",))
