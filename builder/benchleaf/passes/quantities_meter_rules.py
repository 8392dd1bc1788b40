"""Rules about instruments: whether they decide a limit, and whether they may be connected where they are used."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE
_RATIO = "JCGM 106:2012; ILAC-G8:09/2019; ratio of 4 by ANSI/NCSL Z540.3 (from memory)"

CANNOT_DECIDE = Rule(
    "quantity.meter-cannot-decide",
    ERROR,
    why="The reading is less certain than the limits are apart, so that neither good nor bad can be told from it.",
    mend="Name a meter that is finer in this range, or ask whether the limits must lie so close.",
    bad="# 2 V apart, read to ±1.7 V\n- measure: supply\n  meter: panel-meter      # accuracy: 5 % + 3 digits",
    good="- measure: supply\n  meter: meter-1          # accuracy: 0.1 % + 2 digits",
    source=_RATIO,
)
TOO_COARSE = Rule(
    "quantity.meter-too-coarse",
    WARNING,
    why="The uncertainty takes so much of the limit that many readings end in 'too close to tell', or good parts go.",
    mend="Name a meter that is finer in this range.",
    bad="- measure: fuse-path      # high: 1.0 ohm\n  meter: meter-1          # resolution: 1 ohm",
    good="- measure: fuse-path\n  meter: meter-1          # with a range {to: 60 ohm, …, resolution: 10 mohm}",
    source=_RATIO,
)
RATHER_COARSE = Rule(
    "quantity.meter-rather-coarse",
    ADVICE,
    why="Below a ratio of 4 the meter's uncertainty takes more than a quarter of the room between the limits.",
    mend="A finer meter leaves more room; where there is none, the card prints what the meter can still tell.",
    bad="# 1.4 V apart, read to ±0.23 V: a ratio of 3\n- measure: pack-at-rest\n  meter: meter-2",
    good="- measure: pack-at-rest\n  meter: meter-1",
    source=_RATIO,
)
CLAMP_WITHOUT_CURRENT = Rule(
    "quantity.clamp-without-current",
    ERROR,
    why="A clamp goes round a lead and reads the current in it; it reads nothing else.",
    mend="Leave `clamp` away, or measure a current.",
    bad="- measure: pack-at-rest    # dc-voltage\n  clamp: true",
    good="- measure: heater-current  # ac-current\n  clamp: true\n  meter: clamp-1",
)
NO_SUCH_TEST_VOLTAGE = Rule(
    "quantity.no-such-test-voltage",
    ERROR,
    why="Insulation holds at one voltage and breaks down at another: the reading says nothing about the limit.",
    mend="Name a tester that gives this test voltage, or write the voltage that the drawing asks for.",
    bad="motor-insulation: {measure: insulation-resistance, low: 1.00 Mohm, test_voltage: 1000 V}  # tester: 500 V",
    good="motor-insulation: {measure: insulation-resistance, low: 1.00 Mohm, test_voltage: 500 V}",
    source="EN 60204-1:2018, 18.3 (500 V, from memory)",
)
TEST_VOLTAGE_UNSAID = Rule(
    "quantity.test-voltage-unsaid",
    WARNING,
    why="The tester gives several voltages, and the reading depends on the one that is set.",
    mend="Write `test_voltage` with the limit.",
    bad="motor-insulation: {measure: insulation-resistance, low: 1.00 Mohm}",
    good="motor-insulation: {measure: insulation-resistance, low: 1.00 Mohm, test_voltage: 500 V}",
)
CATEGORY_TOO_LOW = Rule(
    "quantity.meter-category-too-low",
    ERROR,
    why="A meter on a voltage that it is not built for can flash over in the hand.",
    mend="Name a meter of a category and voltage that cover the circuit.",
    bad="- measure: supply-at-l1     # 230 V mains\n  meter: meter-2           # category: CAT II 150 V",
    good="- measure: supply-at-l1\n  meter: meter-1           # category: CAT III 600 V",
    source="IEC 61010-2-030; 29 CFR 1910.334(c)(3)",
)
PROOF_WITHOUT_METER = Rule(
    "quantity.proof-without-meter",
    ERROR,
    why="Whoever proves zero holds the meter to what may be live; one that is not built for it can flash over.",
    mend="Give the shop a meter for this kind of voltage, of a category and voltage that cover the circuit, and "
    "name it as `meter` of the proving unit.",
    bad="proving_unit: {name: voltage proving unit, range: 12 V to 690 V, meter: meter-2}   # meter-2: CAT II 150 V",
    good="proving_unit: {name: voltage proving unit, range: 12 V to 690 V, meter: tester-1}  # tester-1: CAT IV 600 V",
    source="29 CFR 1910.333(b)(2)(iv)(B) and 1910.334(c)(3); IEC 61010-2-030",
)
NO_POLARITY = Rule(
    "quantity.no-polarity",
    WARNING,
    why="Leads the wrong way round show as a minus sign, which only a direct quantity has, and only where no reading "
    "below zero is good.",
    mend="Leave `reversed` away, or measure a direct voltage or current with limits on one side of zero.",
    bad="- measure: main-winding    # resistance\n  reversed: stop",
    good="- measure: pack-at-rest\n  reversed: stop",
)
DIGITS_WITHOUT_RESOLUTION = Rule(
    "quantity.digits-without-resolution",
    WARNING,
    why="Digits count in steps of the last place: without its size nobody can say how far the reading may be off.",
    mend="Add `resolution` to the range, as in `resolution: 10 mV`.",
    bad="dc-voltage: [{to: 60 V, accuracy: 0.1 % + 2 digits}]",
    good="dc-voltage: [{to: 60 V, accuracy: 0.1 % + 2 digits, resolution: 10 mV}]",
)

METER_RULES: tuple[Rule, ...] = (
    CANNOT_DECIDE,
    TOO_COARSE,
    RATHER_COARSE,
    CLAMP_WITHOUT_CURRENT,
    NO_SUCH_TEST_VOLTAGE,
    TEST_VOLTAGE_UNSAID,
    CATEGORY_TOO_LOW,
    PROOF_WITHOUT_METER,
    NO_POLARITY,
    DIGITS_WITHOUT_RESOLUTION,
)
