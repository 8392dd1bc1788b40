"""Rules about how a machine file describes its energies."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

KIND_UNMENTIONED = Rule(
    "energy.kind-unmentioned",
    Severity.ERROR,
    why="An energy that nobody thought of is the one that hurts: what the file does not mention counts as present.",
    mend="Describe the energy under `energy`, or name its kind under `energy_none`.",
    bad="energy_none: [hydraulic]   # and no word of springs",
    good="energy_none: [hydraulic, spring]",
    source="29 CFR 1910.147(d)(1): type and magnitude of every energy",
)
NO_SIZE = Rule(
    "energy.no-size",
    Severity.ERROR,
    why="Without its size nobody can say how dangerous an energy is, how long to wait and what to wear.",
    mend="Write the missing size from the drawing or the type plate.",
    bad="bus-charge: {kind: capacitor, highest: 63.6 V}",
    good="bus-charge: {kind: capacitor, capacitance: 4700 uF, highest: 63.6 V}",
    source="29 CFR 1910.147(d)(1)",
)
NO_ISOLATION = Rule(
    "energy.no-isolation",
    Severity.ERROR,
    why="A step with hands would meet an energy that nothing in the machine file takes away.",
    mend="Say how it is isolated (`isolate`), what holds it (`held_by`), how it is let go (`relieve`), or that it "
    "`stays_live`.",
    bad="lift: {kind: height, mass: 600 kg}",
    good="lift: {kind: height, mass: 600 kg, isolate: {prop: in-place}}",
    source="29 CFR 1910.147(d)(3)",
)
NO_WAY_TO_RELIEVE = Rule(
    "energy.no-way-to-relieve",
    Severity.ERROR,
    why="What is stored outlives its isolation: cutting the supply leaves it where it is.",
    mend="Add `relieve` (what to do and how long it takes), a `bleed` for a capacitor, or `cools_in` for heat.",
    bad="oil: {kind: hydraulic, pressure: 160 bar, isolate: {plug: pulled}}",
    good="oil: {kind: hydraulic, pressure: 160 bar, isolate: {plug: pulled}, relieve: {operate: Open the drain.}}",
    source="29 CFR 1910.147(d)(5)(i)",
)
NO_PROOF = Rule(
    "energy.no-proof",
    Severity.ERROR,
    why="An isolation that is not proved is a hope: the wrong plug or a welded contact looks just the same.",
    mend="Add `prove`: a reading with its points and `below`, a `look`, or a `try`; also on what feeds this energy.",
    bad="bus: {kind: dc, highest: 63.6 V, isolate: {plug: parted}}",
    good="bus: {kind: dc, highest: 63.6 V, isolate: {plug: parted}, prove: {measure: dc-voltage, between: [P1, N1], "
    "below: 5 V}}",
    source="29 CFR 1910.147(d)(6); 29 CFR 1910.333(b)(2)(iv)",
)
CONTROL_AS_ISOLATION = Rule(
    "energy.control-as-isolation",
    Severity.ERROR,
    why="A key, button or interlock stops a machine but does not break its energy: it can fail or be turned back.",
    mend="Name a condition that really breaks the energy and say `isolates: true` there.",
    bad="bus: {kind: dc, highest: 63.6 V, isolate: {key: off}}",
    good="bus: {kind: dc, highest: 63.6 V, isolate: {battery-plug: parted}}",
    source="29 CFR 1910.147(b), energy isolating device: push buttons and selector switches are none",
)
BLIND_PROOF = Rule(
    "energy.blind-proof",
    Severity.ERROR,
    why="A proof that reads zero although an isolator was not moved proves nothing.",
    mend="Name under `sees` every isolator that the reading would show if it were left in place.",
    bad="prove: {measure: dc-voltage, between: [P1, N1], below: 5 V, sees: [battery-plug]}   # isolate also: charger",
    good="prove: {measure: dc-voltage, between: [P1, N1], below: 5 V, sees: [battery-plug, charger]}",
)
NO_PROVING_UNIT = Rule(
    "energy.no-proving-unit",
    Severity.WARNING,
    why="A tester that has died reads zero everywhere; only a known live source tells.",
    mend="Name the shop's `proving_unit` in shop.yaml.",
    bad="meters: {meter-1: ...}   # and no proving_unit",
    good="proving_unit: {name: voltage proving unit, range: 12 V to 690 V}",
    source="29 CFR 1910.333(b)(2)(iv)(B)",
)

RULES: tuple[Rule, ...] = (
    KIND_UNMENTIONED,
    NO_SIZE,
    NO_ISOLATION,
    NO_WAY_TO_RELIEVE,
    NO_PROOF,
    CONTROL_AS_ISOLATION,
    BLIND_PROOF,
    NO_PROVING_UNIT,
)
