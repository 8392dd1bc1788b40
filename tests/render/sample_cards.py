"""Cards made by hand for the render tests: invented machines of the invented maker Marram Works."""

from benchleaf.card.model import (
    FORMAT,
    Card,
    CardOutcome,
    CardStep,
    Equipment,
    HazardLine,
    MachineHead,
    PartLine,
    Person,
    ReferenceLine,
    Section,
    ToolLine,
)
from benchleaf.card.records import (
    Band,
    BoltPlace,
    Callout,
    Choice,
    Entry,
    Figure,
    Point,
    Reading,
    Reason,
    Tightening,
    Value,
    Warn,
)

NOTICE = (
    "Local codes, the site's own energy-control programme and licensed or authorised people come first. "
    "This card does not replace training."
)

# A drawing of a throttle plug: small, with two numbered call-outs.
PLUG_SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 420 150" width="420" height="150">
<rect x="20" y="45" width="150" height="60" fill="#fff" stroke="#000" stroke-width="3"/>
<path d="M45 62h100M45 75h100M45 88h100M170 60h60v30h-60M230 75h60" fill="none" stroke="#000" stroke-width="2"/>
<rect x="290" y="40" width="110" height="70" rx="8" fill="#ddd" stroke="#000" stroke-width="3"/>
<path d="M95 45V25M345 40V25" stroke="#000"/>
<circle cx="95" cy="15" r="12"/><circle cx="345" cy="15" r="12"/>
<text x="95" y="21" font-size="16" fill="#fff" text-anchor="middle">1</text>
<text x="345" y="21" font-size="16" fill="#fff" text-anchor="middle">2</text></svg>"""

FIGURES = {"figures/throttle-plug.svg": PLUG_SVG}


def volts(value: str) -> Value:
    return Value(value, "V", f"{value} V")


def newton_metres(value: str, foot_pounds: str) -> Value:
    return Value(value, "N·m", f"{value} N·m ({foot_pounds} lbf·ft)")


def put_in(rule: str, sentence: str, **where: str) -> Reason:
    return Reason(rule, sentence, **where)


B1 = Point("B1", "B1 pack plus", "battery bay, front left stud")
N0 = Point("N0", "N0 pack minus", "battery bay, rear right stud")
P1 = Point("P1", "P1 plug plus, machine side", "contactor tray")
N1 = Point("N1", "N1 plug minus, machine side", "contactor tray")
C1 = Point("C1", "C1 contactor output", "contactor tray")
T1 = Point("T1", "T1 throttle end", "handle plug, pin 1")
T2 = Point("T2", "T2 throttle wiper", "handle plug, pin 2")
FRAME = Point("frame", "frame", "bare screw beside the tray")

SHORT_CIRCUIT = Warn(
    "pack-short",
    "danger",
    "The battery terminals stay live. A tool across them carries up to 5.8 kA.",
    "The arc burns skin and eyes and throws molten metal.",
    "Use insulated tools. Take off rings and watch. Cover the terminals that you do not work on.",
    ("W012", "W002"),
    Reason("energy.battery-arc", "Step 1 brings your hands and leads to the pack", step="rest", energy="pack"),
)
HYDROGEN = Warn(
    "hydrogen",
    "warning",
    "A charging bank gives off hydrogen.",
    "A spark can set it off and burst a block.",
    "Open the deck, keep flames and sparks away, and let the bay air for 10 min before you connect anything.",
    ("W026", "P003"),
    Reason("energy.hydrogen", "Step 18 charges the bank", step="charge-first", energy="pack"),
)
WHEELS = Warn(
    "wheels-turn",
    "warning",
    "The raised wheels turn without warning when the throttle moves.",
    "They can draw in hands and sleeves.",
    "Stand clear of the wheels. Only the helper holds the throttle.",
    ("W025", "W018"),
    Reason("energy.motion", "Step 11 lets the drive run", step="sag", energy="wheels-turn"),
)
STANDS = Warn(
    "tip",
    "caution",
    "The carrier can slip from badly placed stands.",
    "It can pinch hands and feet.",
    "Place both stands on firm ground before you let the weight down.",
    ("W024",),
    Reason("energy.height", "Step 10 raises the drive wheels", step="stands", energy="on-stands"),
)
CODES = Warn(
    "codes",
    "notice",
    "Parting the battery plug clears the stored fault codes.",
    "",
    "Write the codes down first.",
    (),
    Reason("energy.evidence-lost", "Step 4 parts the plug, which clears the codes", step="isolate"),
)

REST = Band(
    "pack-at-rest",
    "pack at rest",
    "band",
    "50.2 V to 51.6 V",
    volts("50.2"),
    volts("50.9"),
    volts("51.6"),
    source="drawing MW-0031, sheet 2",
)
ZERO = Band("bus", "bus proved dead", "proof", "below 5 V", high=volts("5"))
SAG = Band(
    "pack-sag",
    "sag under load",
    "drop",
    "at most 2.4 V below the reading of step 2",
    high=volts("2.4"),
    of="rest",
    of_number=2,
    source="drawing MW-0031",
)
CENTRE = Band(
    "throttle-centre",
    "throttle at its centre",
    "tolerance",
    "0.96 kΩ to 1.04 kΩ",
    Value("0.96", "kohm", "0.96 kΩ"),
    Value("1.00", "kohm", "1.00 kΩ"),
    Value("1.04", "kohm", "1.04 kΩ"),
    source="drawing MW-0044",
)

BEFORE = Section(
    "before",
    "before",
    "Before you start",
    (
        CardStep(
            "confirm",
            1,
            "look",
            "senses",
            "Check that the key is off, the battery plug is mated, the charger is unplugged and the wheels stand down.",
            "confirm",
            put_in("energy.initial", "What the card takes for granted is looked at before anyone relies on it"),
            info="Put right whatever stands otherwise before you go on.",
        ),
        CardStep(
            "rest",
            2,
            "measure",
            "probe",
            "Measure the voltage of the pack *at rest*.",
            warnings=(SHORT_CIRCUIT,),
            info="The pack must have rested for at least 1 h. Press the probes on the studs, not on the nuts.",
            place="battery bay",
            who="technician",
            live="Energized work: battery pack. It can't be done dead: The rest voltage shows only on a whole string.",
            reading=Reading(
                "dc-voltage",
                "Pack at rest",
                "V",
                REST,
                ((B1, N0),),
                "bench multimeter, 60 V dc range",
                "meter-1",
                blanks=("",),
            ),
            choices=(
                Choice("inside", "50.2 V to 51.6 V", "next"),
                Choice("below", "Below 50.2 V", "step", "charge-first", 18, "Charge the bank", 1),
                Choice("above", "Above 51.6 V", "outcome", "wrong-charger", 4, "Wrong charger"),
                Choice("too_close", "Within 0.3 V of either limit", "next"),
            ),
        ),
        CardStep(
            "key-on",
            3,
            "operate",
            "controls",
            "Turn the key on and wait for the display.",
            expect="The display lights within 3 s and shows a code or `--`.",
            part="key switch",
            place="handle",
            entries=(Entry("code", "Fault code as found"),),
        ),
        CardStep(
            "click",
            4,
            "ask",
            "senses",
            "Does the contactor pull in with one clear click?",
            choices=(
                Choice("yes", "Yes, one clear click", "next"),
                Choice("no", "No click, or more than one", "outcome", "coil-open", 1, "Contactor coil open"),
            ),
        ),
    ),
)

ISOLATION = Section(
    "isolate",
    "isolation",
    "Isolate the machine and prove it dead",
    (
        CardStep(
            "tell",
            5,
            "ask",
            "senses",
            "Tell everybody nearby that the carrier is being locked off.",
            "tell",
            put_in("energy.order", "People who use the machine hear of it first (29 CFR 1910.147(c)(9))"),
        ),
        CardStep(
            "off",
            6,
            "operate",
            "controls",
            "Turn the key off and let go of the throttle.",
            "shut-down",
            put_in("energy.order", "The battery plug parts without load only", part="battery-plug"),
        ),
        CardStep(
            "isolate",
            7,
            "disconnect",
            "hands",
            "Part the battery plug and lay the charger plug where you see it.",
            "isolate",
            put_in(
                "energy.isolation",
                "Step 12 brings hands to the throttle, where the bus may be live",
                step="throttle",
                energy="bus",
            ),
            warnings=(CODES,),
            place="under the deck, left",
        ),
        CardStep(
            "lock",
            8,
            "place",
            "hands",
            "Lock the cover over the battery plug and hang your tag.",
            "lock",
            put_in("energy.isolation", "Nobody else can mate the plug while you work"),
            entries=(Entry("lock", "Lock number"),),
            tools=("plug cover", "padlock"),
        ),
        CardStep(
            "wait",
            9,
            "wait",
            "controls",
            "Wait until the bus capacitors are empty.",
            "wait",
            put_in(
                "energy.stored",
                "4700 µF through 2.2 kΩ fall from 63.6 V to 5 V in 32 s at the worst tolerance",
                energy="bus-charge",
            ),
            wait=Value("32", "s", "32 s"),
        ),
        CardStep(
            "prove",
            10,
            "measure",
            "probe",
            "Measure the bus at every pair of points: each must read below 5 V.",
            "prove",
            put_in("energy.proof", "No hand goes near the bus before zero is seen", energy="bus"),
            reading=Reading(
                "dc-voltage",
                "Bus",
                "V",
                ZERO,
                ((P1, N1), (C1, N1), (P1, FRAME), (N1, FRAME)),
                "bench multimeter, 60 V dc range",
                "meter-1",
                "live, dead, live",
                ("P1–N1", "C1–N1", "P1–frame", "N1–frame"),
            ),
            choices=(
                Choice("next", "All below 5 V", "next"),
                Choice("not-zero", "5 V or more on any pair", "outcome", "not-zero", 6, "Not proved dead"),
            ),
        ),
    ),
    "before step 11; 6 steps put in",
)

WORK = Section(
    "work",
    "work",
    "Throttle and drive",
    (
        CardStep(
            "plug",
            11,
            "disconnect",
            "hands",
            "Pull the throttle plug apart.",
            part="throttle potentiometer",
            place="handle, behind the cover",
            figure=Figure(
                "figures/throttle-plug.svg",
                "0" * 64,
                "Throttle plug with its latch at the left and the potentiometer at the right.",
                (Callout("1", "latch: press before you pull"), Callout("2", "throttle potentiometer")),
            ),
        ),
        CardStep(
            "throttle",
            12,
            "measure",
            "probe",
            "Measure the resistance from T1 to T2 with the throttle at its centre.",
            info="Hold the probes still. Do not touch the pins:\n\n- skin reads as about 1 MΩ\n- the display drifts",
            reading=Reading(
                "resistance",
                "Throttle at its centre",
                "kΩ",
                CENTRE,
                ((T1, T2),),
                "bench multimeter, 6 kΩ range",
                "meter-1",
                blanks=("",),
                repeat="3 readings, the last counts",
            ),
            choices=(
                Choice("inside", "0.96 kΩ to 1.04 kΩ", "next"),
                Choice("outside", "Below 0.96 kΩ or above 1.04 kΩ", "outcome", "throttle-worn", 2, "Throttle worn"),
                Choice("cant_reach", "Pins out of reach", "stop"),
            ),
        ),
        CardStep(
            "plug-in", 13, "connect", "hands", "Push the throttle plug together until the latch clicks.", time="1 min"
        ),
        CardStep(
            "stands",
            14,
            "place",
            "hands",
            "Raise the drive wheels onto the axle stands.",
            warnings=(STANDS,),
            tools=("pair of axle stands",),
            who="technician and helper",
            together=True,
            time="4 min",
        ),
        CardStep(
            "sag",
            15,
            "measure",
            "probe",
            "Measure the pack voltage while the helper holds the throttle fully forward.",
            warnings=(WHEELS,),
            live="Energized work: battery pack. It can't be done dead: Sag shows only under load.",
            meanwhile="Meanwhile helper, for 10 s: Hold the throttle fully forward.",
            reading=Reading(
                "dc-voltage",
                "Sag under load",
                "V",
                SAG,
                ((B1, N0),),
                "bench multimeter, 60 V dc range",
                "meter-1",
                blanks=("",),
                repeat="3 readings, the lowest counts",
            ),
            choices=(
                Choice("inside", "At most 2.4 V below step 2", "next"),
                Choice("above", "More than 2.4 V below step 2", "outcome", "weak-pack", 3, "Weak pack"),
            ),
            hold="Stop here: supervisor confirms before work goes on.",
        ),
        CardStep(
            "down", 16, "take", "hands", "Lower the wheels and take the stands away.", tools=("pair of axle stands",)
        ),
        CardStep(
            "moves",
            17,
            "ask",
            "senses",
            "Does the carrier move now?",
            choices=(
                Choice("yes", "Yes", "outcome", "loose-lead", 5, "Loose lead"),
                Choice("no", "No", "outcome", "unknown", 7, "Not found by this card"),
            ),
        ),
        CardStep(
            "charge-first",
            18,
            "charge",
            "controls",
            "Charge the bank to full.",
            warnings=(HYDROGEN,),
            wait=Value("8", "h", "8 h"),
            choices=(Choice("next", "Charged", "step", "rest", 2, "Pack at rest", 1),),
        ),
    ),
)

CLOSING = Section(
    "close-final",
    "closing",
    "Give the machine back",
    (
        CardStep(
            "clear",
            19,
            "look",
            "senses",
            "Check that tools, people and covers are where they belong.",
            "clear",
            put_in("energy.restore", "Nothing is switched on while an item is open"),
        ),
        CardStep(
            "unlock",
            20,
            "take",
            "hands",
            "Take your lock and tag off yourself.",
            "unlock",
            put_in("energy.restore", "A lock comes off by the hand that put it on (29 CFR 1910.147(e)(3))"),
        ),
        CardStep(
            "restore",
            21,
            "connect",
            "hands",
            "Mate the battery plug.",
            "restore",
            put_in("energy.restore", "The final state asks for it", part="battery-plug"),
            choices=(Choice("next", "Closed", "outcome", "loose-lead", 5, "Loose lead"),),
        ),
    ),
    "for finding 5 only",
)

OUT = "Out of service: leave the locks on, hang a danger tag and hand over in writing."
FAULT_FINDING = Card(
    FORMAT,
    "benchleaf 0.1",
    "en",
    "no-drive",
    "Powers up but will not drive",
    "fault-finding",
    "C",
    "draft",
    "2026-05-04",
    "technical",
    "Throttle limits follow drawing MW-0044 issue 3",
    "Marram Works service",
    "A4",
    "60 min",
    "H. Quill",
    MachineHead("rc-48", "RC-48 row carrier", "Marram Works", "RC48-400 and later", "410 kg (904 lb)"),
    "Find why a carrier with a good display does not move.",
    "Carriers that roll away by themselves.",
    "The display lights, the contactor pulls in, the carrier does not move.",
    "D2",
    ("The carrier stands on level, firm ground.", "The bank has rested for at least 1 h."),
    "45 min",
    "2027-05-01",
    "",
    (Person("technician", "electrical"), Person("helper", "any")),
    (ReferenceLine("drawing MW-0031, sheet 2", "issue 2"), ReferenceLine("drawing MW-0044", "issue 3")),
    (
        HazardLine("pack", "battery", "battery pack", "63.6 V, 225 A·h, up to 5.8 kA", "W012", True, "", ""),
        HazardLine(
            "bus",
            "dc",
            "drive bus",
            "63.6 V",
            "W012",
            False,
            "part the battery plug, unplug the charger",
            "below 5 V on four pairs, live-dead-live",
        ),
        HazardLine(
            "bus-charge",
            "capacitor",
            "bus capacitors",
            "4700 µF, 10 J",
            "W012",
            False,
            "as the drive bus, then wait 32 s",
            "as the drive bus",
        ),
        HazardLine(
            "wheels-turn",
            "motion",
            "drive wheels",
            "turn at up to 120 r/min",
            "W025",
            False,
            "as the drive bus",
            "try the throttle",
        ),
        HazardLine(
            "on-stands", "height", "raised carrier", "410 kg", "W019", False, "axle stands on firm ground", "look"
        ),
    ),
    (
        Equipment("M004", "safety glasses", put_in("energy.battery-arc", "Arc and acid at the pack", energy="pack")),
        Equipment(
            "M009", "insulating gloves, class 00", put_in("energy.battery-arc", "Hands at the pack", energy="pack")
        ),
        Equipment("M008", "safety shoes", put_in("energy.height", "410 kg on stands", energy="on-stands")),
        Equipment("M026", "acid apron", put_in("energy.acid", "Flooded cells", energy="pack")),
    ),
    (
        "Acid in the eyes: rinse at the eye wash for 15 min, then see a doctor.",
        "Somebody hangs on a live part: part the battery plug first, then help.",
        "Smoke from the bank: leave the bay, close the door, call the fire service.",
    ),
    (
        ToolLine("meter-1", "meter", "bench multimeter", "CAT III 600 V; due 2027-03-01", 1, (2, 10, 12, 15)),
        ToolLine("proving", "meter", "voltage proving unit", "12 V to 690 V", 1, (10,)),
        ToolLine("stands-750", "thing", "pair of axle stands", "750 kg", 1, (14, 16)),
        ToolLine("padlock", "tool", "padlock and tag", "", 1, (8, 20)),
    ),
    (PartLine("throttle-pot", "throttle potentiometer", "MW-2044", "1", "needed"),),
    (),
    (BEFORE, ISOLATION, WORK, CLOSING),
    (
        CardOutcome(
            "coil-open",
            1,
            "Contactor coil open",
            "The contactor has no coil current or an open coil.",
            "out-of-service",
            OUT,
            "coil-open",
            "contactor",
            "contactor-replace",
            "Replace the main contactor",
        ),
        CardOutcome(
            "throttle-worn",
            2,
            "Throttle worn",
            "The track is worn or the wiper is loose.",
            "out-of-service",
            OUT,
            "throttle-worn",
            "throttle-pot",
            "throttle-replace",
            "Replace the throttle",
        ),
        CardOutcome(
            "weak-pack",
            3,
            "Weak pack",
            "One or more blocks cannot carry the load.",
            "out-of-service",
            OUT,
            "weak-pack",
            "battery-bank",
        ),
        CardOutcome(
            "wrong-charger",
            4,
            "Wrong charger",
            "Ask the supervisor which charger was used before going on.",
            "out-of-service",
            OUT,
        ),
        CardOutcome(
            "loose-lead",
            5,
            "Loose lead",
            "Record the loose lead.",
            "as-final",
            "Ready for use.",
            closing="close-final",
            closing_number=19,
        ),
        CardOutcome(
            "not-zero",
            6,
            "Not proved dead",
            "Keep your hands off. Leave the lock on and report it.",
            "out-of-service",
            OUT,
        ),
        CardOutcome(
            "unknown",
            7,
            "Not found by this card",
            "Call the maker with the readings of this card.",
            "out-of-service",
            OUT,
        ),
    ),
    (
        "bus-charge: the capacitance of 4700 µF and its tolerance of 20 % (machine file, no drawing named).",
        "battery-bank: the resistance of 1.1 mΩ a block (machine file, no drawing named).",
    ),
    ("language.long-sentence at step 10: the three parts of the proof belong together.",),
    NOTICE,
)

MOUNT = Tightening(
    "motor-mount",
    "Motor mount bolts",
    "M10x1.5, class 8.8",
    4,
    newton_metres("36", "26.6"),
    (newton_metres("18", "13.3"), newton_metres("36", "26.6")),
    "cross",
    (1, 3, 2, 4),
    "click wrench 20 N·m to 100 N·m",
    "threads clean and lightly oiled",
    "drawing MW-0102",
    places=(BoltPlace(0, 1000), BoltPlace(1000, 0), BoltPlace(0, -1000), BoltPlace(-1000, 0)),
)
COVER = Tightening(
    "axle-cover",
    "Axle cover screws",
    "M6x1, class 8.8",
    8,
    newton_metres("8", "5.9"),
    (),
    "cross",
    (1, 5, 3, 7, 2, 6, 4, 8),
    "click wrench 4 N·m to 20 N·m",
    source="drawing MW-0103",
    places=tuple(
        BoltPlace(x, y)
        for x, y in ((0, 1000), (707, 707), (1000, 0), (707, -707), (0, -1000), (-707, -707), (-1000, 0), (-707, 707))
    ),
)

REPLACEMENT = FAULT_FINDING._replace(
    id="motor-replace",
    title="Replace the drive motor",
    kind="replacement",
    revision="B",
    state="released",
    paper="Letter",
    purpose="Take out a drive motor that failed and fit a new one.",
    not_for="",
    complaint="",
    complaint_code="",
    time="1 h 30 min",
    after="Drive the carrier 10 m forward and back.",
    spares=(
        PartLine("drive-motor", "drive motor", "MW-1184", "1"),
        PartLine("washer", "lock washer", "MW-0619", "4", detail="do not use again"),
    ),
    supplies=(PartLine("oil", "thin oil", "", "5 mL"),),
    sections=(
        Section(
            "work",
            "work",
            "Fit the motor",
            (
                CardStep(
                    "lift",
                    1,
                    "lift",
                    "hands",
                    "Lift the motor into the axle bay with the helper.",
                    part="drive motor",
                    place="axle bay",
                    info="The motor weighs 19 kg (42 lb).",
                    who="technician and helper",
                    entries=(
                        Entry("off", "Serial number of the old motor"),
                        Entry("on", "Serial number of the new motor"),
                    ),
                ),
                CardStep(
                    "tight",
                    2,
                    "tighten",
                    "hands",
                    "Tighten the motor mount bolts.",
                    tightening=MOUNT,
                    hold="Stop here: inspector confirms before work goes on.",
                ),
                CardStep("cover", 3, "tighten", "hands", "Tighten the axle cover.", tightening=COVER),
            ),
        ),
        Section(
            "test",
            "power",
            "Test",
            (
                CardStep(
                    "drive",
                    4,
                    "drive",
                    "controls",
                    "Drive the carrier 10 m forward and back.",
                    warnings=(WHEELS,),
                    choices=(
                        Choice("yes", "It drives both ways", "outcome", "done", 1, "Motor replaced"),
                        Choice("no", "It does not", "outcome", "bad", 2, "Still faulty"),
                    ),
                ),
            ),
            "with power on",
        ),
    ),
    outcomes=(
        CardOutcome("done", 1, "Motor replaced", "Record both serial numbers.", "as-final", "Ready for use."),
        CardOutcome(
            "bad",
            2,
            "Still faulty",
            "Go back to fault finding.",
            "out-of-service",
            OUT,
            procedure="no-drive",
            procedure_title="Powers up but will not drive",
        ),
    ),
    rests_on=(),
    waivers=(),
)

RAM = Card(
    FORMAT,
    "benchleaf 0.1",
    "en",
    "ram-creep",
    "Ram sinks under load",
    "inspection",
    "A",
    "in review",
    "2026-06-11",
    "technical",
    "First issue",
    "Marram Works service",
    "A4",
    "30 min",
    "",
    MachineHead("ht-600", "HT-600 hoist table", "Marram Works", "HT6-100 and later"),
    "See how fast the ram sinks.",
    "",
    "The table sinks when it is left raised.",
    "",
    (),
    "20 min",
    "",
    "",
    (Person("technician", "hydraulic"),),
    (),
    (
        HazardLine(
            "ram",
            "hydraulic",
            "ram",
            "180 bar (2611 psi)",
            "W001",
            False,
            "lower the table, lock the valve",
            "gauge at zero and try the lever",
        ),
    ),
    (),
    (),
    (ToolLine("rule", "tool", "steel rule", "", 1, (1,)),),
    (),
    (),
    (
        Section(
            "work",
            "work",
            "Measure",
            (
                CardStep(
                    "sink",
                    1,
                    "measure",
                    "probe",
                    "Measure how far the table sinks in 10 min.",
                    reading=Reading(
                        "length",
                        "Sinking",
                        "mm",
                        Band(
                            "sink",
                            "sinking",
                            "falls-by",
                            "falls by at most 4 mm over 10 min",
                            high=Value("4", "mm", "4 mm"),
                        ),
                        blanks=("at the start", "after 10 min"),
                        instrument="steel rule",
                    ),
                    choices=(
                        Choice("inside", "At most 4 mm", "outcome", "good", 1, "Ram tight"),
                        Choice("above", "More than 4 mm", "outcome", "leak", 2, "Ram leaks"),
                    ),
                ),
                CardStep(
                    "insulation",
                    2,
                    "measure",
                    "probe",
                    "Measure the insulation of the pump motor.",
                    reading=Reading(
                        "insulation",
                        "Insulation",
                        "MΩ",
                        Band("ins", "insulation", "band", "at least 2 MΩ", low=Value("2", "Mohm", "2 MΩ")),
                        blanks=("",),
                    ),
                    choices=(
                        Choice("inside", "2 MΩ or more", "outcome", "good", 1, "Ram tight"),
                        Choice("below", "Below 2 MΩ", "stop"),
                    ),
                ),
            ),
        ),
    ),
    (
        CardOutcome("good", 1, "Ram tight", "Nothing to do.", "as-final", "Ready for use."),
        CardOutcome("leak", 2, "Ram leaks", "The seal leaks.", "out-of-service", OUT, "seal", "ram"),
    ),
    (),
    (),
    NOTICE,
)

CARDS = (FAULT_FINDING, REPLACEMENT, RAM)
