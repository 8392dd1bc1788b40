"""Rules about going on with another card."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

NEXT_UNREADY = Rule(
    "energy.next-card-unready",
    Severity.ERROR,
    why="The next card begins with a machine that stands as its `initial` says; left otherwise, its steps mislead.",
    mend="Leave the machine so (`leave: as-final`, with what is open put back), or let the next card begin with what "
    "this one leaves (`initial`, `locked`).",
    bad="coil-open: {then: {procedure: contactor-replace}, leave: out-of-service}   # initial: {battery-plug: mated}",
    good="coil-open: {then: {procedure: contactor-replace}, leave: as-final}",
    source="29 CFR 1910.147(f)(4): locks and machine states are handed over in an orderly way",
)

RULES: tuple[Rule, ...] = (NEXT_UNREADY,)
