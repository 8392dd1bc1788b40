"""Rules about numbers: limits that can be met, units of the right kind, meters that reach the reading."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule
from benchleaf.passes.quantities_meter_rules import METER_RULES
from benchleaf.passes.quantities_slip_rules import SLIP_RULES

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE

OUT_OF_ORDER = Rule(
    "quantity.limit-out-of-order",
    ERROR,
    why="No reading lies inside such a limit, so every good part would be condemned.",
    mend="Write the smallest value as `low` and the largest as `high`.",
    bad="coil: {measure: resistance, low: 150 ohm, nominal: 140 ohm, high: 160 ohm}",
    good="coil: {measure: resistance, low: 130 ohm, nominal: 140 ohm, high: 150 ohm}",
)
EMPTY_BAND = Rule(
    "quantity.empty-band",
    ERROR,
    why="A band without width asks for one exact value, which no reading ever is.",
    mend="Give the band the width that the drawing allows.",
    bad="gap: {measure: gap, low: 0.3 mm, high: 0.3 mm}",
    good="gap: {measure: gap, low: 0.2 mm, high: 0.4 mm}",
)
TOLERANCE_TOO_WIDE = Rule(
    "quantity.tolerance-too-wide",
    ERROR,
    why="A tolerance of the whole value lets everything pass, down to nothing at all.",
    mend="Write a tolerance under 100 %, or `low` and `high`.",
    bad="coil: {measure: resistance, nominal: 140 ohm, tolerance: 150 %}",
    good="coil: {measure: resistance, nominal: 140 ohm, tolerance: 15 %}",
)
PROCESS_OUTSIDE = Rule(
    "quantity.process-outside-limit",
    WARNING,
    why="More than half of what is made would then lie outside: the limit or the process is written wrongly.",
    mend="Compare both with the drawing, the unit and the prefix too.",
    bad="centre: {measure: resistance, nominal: 1.00 kohm, tolerance: 4 %, "
    "process: {mean: 10.0 kohm, standard_deviation: 8 ohm}}",
    good="centre: {measure: resistance, nominal: 1.00 kohm, tolerance: 4 %, "
    "process: {mean: 1.00 kohm, standard_deviation: 8 ohm}}",
    source="JCGM 106:2012, 9.5",
)
WITHOUT_SOURCE = Rule(
    "quantity.limit-without-source",
    WARNING,
    why="A number that nobody can trace cannot be corrected when the drawing changes.",
    mend="Name the drawing, data sheet or trial it comes from under `source`.",
    bad="pack-at-rest: {measure: dc-voltage, low: 50.2 V}",
    good="pack-at-rest: {measure: dc-voltage, low: 50.2 V, source: drawing MW-0031}",
    source="ISO 9001:2015, 7.5.3.2 (documents of external origin)",
)
IMPOSSIBLE = Rule(
    "quantity.impossible",
    ERROR,
    why="Nothing has that size; the sign, the unit or the number is wrong.",
    mend="Write the size that the part, the stay or the reading really has.",
    bad="pack: {kind: battery, highest: 0 V}",
    good="pack: {kind: battery, highest: 63.6 V}",
)
RANGE_OUT_OF_ORDER = Rule(
    "quantity.range-out-of-order",
    ERROR,
    why="A range that ends before it begins holds no value.",
    mend="Write the smaller value first.",
    bad="wrench-2: {name: click wrench, from: 100 N·m, to: 20 N·m, accuracy: 4 %}",
    good="wrench-2: {name: click wrench, from: 20 N·m, to: 100 N·m, accuracy: 4 %}",
)
UNKNOWN_DIMENSION = Rule(
    "quantity.unknown-dimension",
    ERROR,
    why="Units chosen for something that is never measured change nothing on any card.",
    mend="Use the name of a dimension, such as `torque`, `length`, `pressure` or `temperature`.",
    bad="units: {torqe: [N·m, lbf·ft]}",
    good="units: {torque: [N·m, lbf·ft]}",
)
UNIT_OF_ANOTHER = Rule(
    "quantity.unit-of-another-dimension",
    ERROR,
    why="Values cannot be shown in a unit of something else.",
    mend="List units of what the line is about.",
    bad="units: {torque: [N·m, bar]}",
    good="units: {torque: [N·m, lbf·ft]}",
    source="SI Brochure, 9th edition, 2.3.4",
)
NO_METER = Rule(
    "quantity.no-meter",
    WARNING,
    why="Whether a limit can be decided depends on range and accuracy of the instrument that is used.",
    mend="Name the instrument with `meter`, or say `installed: true` for a gauge or display of the machine.",
    bad="- measure: pack-at-rest\n  between: [B1, N0]",
    good="- measure: pack-at-rest\n  between: [B1, N0]\n  meter: meter-1",
    source="ISO 9001:2015, 7.1.5 (from memory)",
)
METER_LACKS_KIND = Rule(
    "quantity.meter-lacks-kind",
    ERROR,
    why="The instrument cannot take this reading at all.",
    mend="Name an instrument that has a range for it, or add the range to the instrument in `shop.yaml`.",
    bad="- measure: coil-current      # dc-current\n  meter: meter-1             # has dc-voltage and resistance",
    good="- measure: coil-current\n  meter: clamp-1",
)
METER_RANGE_SHORT = Rule(
    "quantity.meter-range-short",
    ERROR,
    why="Beyond its range an instrument shows nothing, or shows something else, or breaks.",
    mend="Name an instrument whose ranges cover the whole limit.",
    bad="- measure: tank-pressure     # high: 25 bar\n  meter: gauge-10            # to: 10 bar",
    good="- measure: tank-pressure\n  meter: gauge-40",
)

RULES: tuple[Rule, ...] = (
    OUT_OF_ORDER,
    EMPTY_BAND,
    TOLERANCE_TOO_WIDE,
    PROCESS_OUTSIDE,
    WITHOUT_SOURCE,
    IMPOSSIBLE,
    RANGE_OUT_OF_ORDER,
    UNKNOWN_DIMENSION,
    UNIT_OF_ANOTHER,
    NO_METER,
    METER_LACKS_KIND,
    METER_RANGE_SHORT,
    *METER_RULES,
    *SLIP_RULES,
)
