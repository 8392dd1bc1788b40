"""Rules about numbers that other numbers of the machine contradict."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

BEYOND_SOURCE = Rule(
    "quantity.beyond-source",
    Severity.ERROR,
    why="No direct voltage of a machine stands so far above its highest source: prefix, unit or digits are wrong.",
    mend="Write the voltage that the drawing gives, or describe the source that is missing under `energy`.",
    bad="pack-at-rest: {measure: dc-voltage, low: 502 V, high: 516 V}      # the bank gives 63.6 V at most",
    good="pack-at-rest: {measure: dc-voltage, low: 50.2 V, high: 51.6 V}",
)
POWER_OF_TEN = Rule(
    "quantity.power-of-ten",
    Severity.ADVICE,
    why="Limits of one place that agree, but for one that is ten or a thousand times another, point to a slip of the "
    "decimal point or the prefix.",
    mend="Compare with the drawing.",
    bad="bank-1: {measure: dc-voltage, low: 5.02 V, high: 5.16 V}          # bank-2, bank-3, bank-4: 50.2 V to 51.6 V",
    good="bank-1: {measure: dc-voltage, low: 50.2 V, high: 51.6 V}",
)
LIMITS_DISAGREE = Rule(
    "quantity.limits-disagree",
    Severity.ADVICE,
    why="A number that is written twice is corrected once, and after that two cards say different things.",
    mend="Keep one limit and let all steps refer to it, or say in the names what makes them differ.",
    bad="pack-at-rest: {measure: dc-voltage, low: 50.2 V, high: 51.6 V}\n"
    "pack-rested:  {measure: dc-voltage, low: 50.0 V, high: 51.6 V}        # at the same points",
    good="pack-at-rest: {measure: dc-voltage, low: 50.2 V, high: 51.6 V}",
)

SLIP_RULES: tuple[Rule, ...] = (BEYOND_SOURCE, POWER_OF_TEN, LIMITS_DISAGREE)
