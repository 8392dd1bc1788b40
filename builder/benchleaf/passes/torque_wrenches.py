"""Torque wrenches: whether the one named at a step can set the torque and its stages, and how far it may be off."""

from collections.abc import Iterator, Mapping

from benchleaf.base.finding import Finding, Related
from benchleaf.model.fastener import Fastener
from benchleaf.model.procedure import Step
from benchleaf.model.shop import Shop, Wrench
from benchleaf.passes import torque_rules as rules
from benchleaf.trade.torque_tools import WrenchFit, lowest_share, permissible_deviation, wrench_fit

_CLICK, _WIDEST = "II A", "I A"
_NM = "N·m"


def of_step(step: Step, fastener: Fastener, shop: Shop) -> Iterator[Finding]:
    """Whether a step that tightens names a wrench, and whether that one can do it."""
    if fastener.torque is None:
        return
    # A wrench may also stand among the tools of the step.
    named = step.wrench or next((ref for ref in step.uses if ref.name in shop.wrenches), None)
    if named is None:
        sentence = f"`{step.object}` is tightened to {fastener.torque}, and this step names no torque wrench."
        yield rules.NO_WRENCH.at(step.object.span, sentence)
        return
    wrench = shop.wrenches.get(named.name)
    if wrench is None:
        return
    related = (
        Related(fastener.torque.span, "The torque stands here."),
        Related(wrench.span, "The wrench is described here."),
    )
    torque = fastener.torque.quantity.number(_NM)
    lowest, highest = wrench.from_.quantity.number(_NM), wrench.to.quantity.number(_NM)
    fit = wrench_fit(torque, lowest, highest)
    scale = f"`{named}` goes from {wrench.from_} to {wrench.to}"
    if fit in (WrenchFit.BELOW_MARKED, WrenchFit.ABOVE_MARKED):
        sentence = f"{scale}; `{step.object}` is tightened to {fastener.torque}."
        yield rules.WRENCH_OUT_OF_RANGE.at(named.span, sentence, related=related)
        return
    if fit is WrenchFit.BELOW_FIFTH:
        sentence = f"{scale}; {fastener.torque} lies in the lowest {lowest_share() * 100:.0f} % of its scale."
        yield rules.WRENCH_LOW_ON_SCALE.at(named.span, sentence, related=related)
    low = next((stage for stage in fastener.stages if stage.quantity.number() * torque < lowest), None)
    if low is not None:
        sentence = f"{scale}; the stage of {low} is {low.quantity.number() * torque:.3g} N·m."
        yield rules.STAGE_BELOW_WRENCH.at(named.span, sentence, related=(Related(low.span, "The stage stands here."),))
    allowed = fastener.tolerance
    if allowed is not None and wrench.accuracy.quantity > allowed.quantity:
        sentence = f"`{named}` may be off by {wrench.accuracy}; `{step.object}` allows {allowed}."
        yield rules.WRENCH_TOO_COARSE.at(named.span, sentence, related=related)


def of_shop(wrenches: Mapping[str, Wrench]) -> Iterator[Finding]:
    """Wrenches that are off by more than their standard allows."""
    for name, wrench in wrenches.items():
        kind = _CLICK if "click" in wrench.name.text.casefold() else _WIDEST
        most = permissible_deviation(kind, wrench.to.quantity.number(_NM))
        if wrench.accuracy.quantity.number() > most + 1e-9:
            sentence = f"`{name}` may be off by {wrench.accuracy}; ISO 6789 allows {most * 100:g} %."
            yield rules.WRENCH_BEYOND_STANDARD.at(wrench.accuracy.span, sentence)
