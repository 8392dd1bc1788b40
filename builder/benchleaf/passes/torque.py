"""Screwed joints: the order in which their bolts are tightened."""

from benchleaf.base.finding import Finding
from benchleaf.passes.base import Common, Pass
from benchleaf.passes.torque_rules import ORDER_INCOMPLETE, RULES
from benchleaf.trade.patterns import bolt_order


def common(common: Common) -> tuple[Finding, ...]:
    """What is wrong with the joints of one machine file."""
    if common.machine is None:
        return ()
    found = []
    for name, fastener in common.machine.fasteners.items():
        try:
            bolt_order(tuple(ref.name for ref in fastener.sequence), fastener.count)
        except ValueError as fault:
            span = fastener.sequence[0].span.to(fastener.sequence[-1].span)
            found.append(ORDER_INCOMPLETE.at(span, f"The order of `{name}` won't do: {fault}."))
    return tuple(found)


TORQUE = Pass("torque", RULES, common=common)
