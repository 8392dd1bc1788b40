"""Rules about quantities that cannot be read or do not fit their field."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

UNREADABLE = Rule(
    "quantity.unreadable",
    Severity.ERROR,
    why="A number that two people can read in two ways will be read the wrong way at the bench.",
    mend="Write digits with a decimal point, a space and a unit, as in `10.5 V`.",
    bad="low: 10,5 V",
    good="low: 10.5 V",
    source="SI Brochure, 9th edition, 5.4",
)
BARE_NUMBER = Rule(
    "quantity.bare-number",
    Severity.ERROR,
    why="A number without a unit leaves the reader to guess, and the guess may be the other system.",
    mend="Write the unit behind the number, as in `42 N·m`.",
    bad="torque: 42",
    good="torque: 42 N·m",
)
UNKNOWN_UNIT = Rule(
    "quantity.unknown-unit",
    Severity.ERROR,
    why="Letters of a unit mean something else in the other case: `mV` and `MV` are nine powers of ten apart.",
    mend="Use one of the units that the table knows; the nearest are named in the finding.",
    bad="high: 24 v",
    good="high: 24 V",
    source="SI Brochure, 9th edition, 5.2",
)
WRONG_DIMENSION = Rule(
    "quantity.wrong-dimension",
    Severity.ERROR,
    why="A limit in a unit of something else can never be compared with the reading.",
    mend="Give the quantity in a unit of what the field holds.",
    bad="mass: 31 N·m",
    good="mass: 31 kg",
)
NO_SPACE = Rule(
    "quantity.no-space",
    Severity.ADVICE,
    why="A space between number and unit is how everybody else writes and searches for it.",
    mend="Put a space between the number and its unit.",
    bad="high: 24V",
    good="high: 24 V",
    source="SI Brochure, 9th edition, 5.4.3",
)

RULES: tuple[Rule, ...] = (UNREADABLE, BARE_NUMBER, UNKNOWN_UNIT, WRONG_DIMENSION, NO_SPACE)

_RULE_OF_FAULT = {
    "bare-number": BARE_NUMBER,
    "unknown-unit": UNKNOWN_UNIT,
    "wrong-dimension": WRONG_DIMENSION,
    "no-space": NO_SPACE,
}


def rule_of(code: str) -> Rule:
    """The rule that a fault of a quantity breaks, by the fault's code."""
    return _RULE_OF_FAULT.get(code, UNREADABLE)
