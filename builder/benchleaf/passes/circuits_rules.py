"""Rules about readings that a circuit foretells, and about circuits that can't be."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE

CONDEMNS_GOOD_PARTS = Rule(
    "circuit.condemns-good-parts",
    ERROR,
    why="A good machine with parts within their tolerances reads outside this limit, and good parts are replaced.",
    mend="Widen the limit to the computed band, or state the tolerances that the parts really have.",
    bad="coil-ohms: {measure: resistance, nominal: 140 ohm, tolerance: 2 %}   # the coil itself has 5 %",
    good="coil-ohms: {measure: resistance, nominal: 140 ohm, tolerance: 8 %}",
)
FAULT_UNSEEN = Rule(
    "circuit.fault-unseen",
    ERROR,
    why="With this fault the reading does not lie where the answer says, so the fault is passed by or blamed wrongly.",
    mend="Read between points, or in a state, in which the fault shows; or draw the limit closer.",
    bad="- measure: supply        # before the fuse\n  between: [P1, N1]\n  below: {found: fuse-blown}",
    good="- measure: supply\n  between: [P2, N1]\n  below: {found: fuse-blown}",
)
FLOATING_READING = Rule(
    "circuit.floating-reading",
    ERROR,
    why="Nothing joins the two points in this state, so the meter shows nothing, or whatever it picks up.",
    mend="Close what joins them (a key, a plug, a contact), or read between other points.",
    bad="- measure: supply        # with the plug parted\n  between: [P1, N0]",
    good="- measure: supply        # with the plug mated\n  between: [P1, N0]",
)
PROOF_CANNOT_FAIL = Rule(
    "circuit.proof-cannot-fail",
    ERROR,
    why="With an isolator left in place this proof still shows zero, and people trust it with their lives.",
    mend="Prove between points that this isolator feeds, before anything else that opens the circuit.",
    bad="prove: {measure: dc-voltage, between: [[K1, N1]], below: 5 V}   # behind the key",
    good="prove: {measure: dc-voltage, between: [[P1, N1]], below: 5 V}",
    source="29 CFR 1910.147(d)(6) and 1910.333(b)(2)(iv)(B)",
)
FUSE_BLOWS = Rule(
    "circuit.fuse-blows",
    ERROR,
    why="In the state of this step the current is over the fuse's rating, and a good machine loses its fuse.",
    mend="Correct the circuit, the rating, or the state that the step brings about.",
    bad="control-fuse: {type: fuse, nodes: [P1, P2], rating: 0.2 A}   # the coil behind it takes 0.4 A",
    good="control-fuse: {type: fuse, nodes: [P1, P2], rating: 1 A}",
)
NEVER_SETTLES = Rule(
    "circuit.never-settles",
    ERROR,
    why="A contactor that opens its own supply pulls in and lets go for ever, and no reading is steady.",
    mend="See which contact the coil is fed through, and at which voltage it really lets go.",
    bad="contact: {type: contact, of: coil, contact: normally-closed, nodes: [K1, K2]}   # coil at K2",
    good="contact: {type: contact, of: coil, nodes: [P1, C1]}",
)
SHORTED_SOURCE = Rule(
    "circuit.shorted-source",
    ERROR,
    why="Wires join the two ends of a source, or of two sources that differ: no current is large enough.",
    mend="Give the sources their internal resistance, or correct the nodes and the states of the switches.",
    bad="pack: {type: battery, nodes: [B1, N0], voltage: 50.9 V}\nlink: {type: fuse, nodes: [B1, N0]}",
    good="pack: {type: battery, nodes: [B1, N0], voltage: 50.9 V, resistance: 9 mohm}",
)
IMPOSSIBLE_ELEMENT = Rule(
    "circuit.impossible-element",
    ERROR,
    why="A circuit with such an element has no reading that could be computed, and nothing is held against it.",
    mend="Describe the element as it is built.",
    bad="throttle: {type: potentiometer, nodes: [T1, T2], resistance: 2 kohm}",
    good="throttle: {type: potentiometer, nodes: [T1, T2, T3], resistance: 2 kohm}",
)
NOT_COMPUTABLE = Rule(
    "circuit.not-computable",
    ERROR,
    why="The limit is to be taken from the circuit, and the circuit has no band for what is read here.",
    mend="Draw what the reading needs in the circuit, with its tolerances; or write the limit yourself.",
    bad="case-insulation: {measure: insulation-resistance, from: circuit}   # no current path is drawn",
    good="key-output: {measure: dc-voltage, from: circuit, source: drawing MW-0040}",
)
RULES = (
    CONDEMNS_GOOD_PARTS,
    FAULT_UNSEEN,
    FLOATING_READING,
    PROOF_CANNOT_FAIL,
    FUSE_BLOWS,
    NEVER_SETTLES,
    SHORTED_SOURCE,
    IMPOSSIBLE_ELEMENT,
    NOT_COMPUTABLE,
)
