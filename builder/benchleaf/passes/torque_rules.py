"""Rules about screwed joints: what bolt and thread can take, what a wrench can set, in which order and stages."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE
_PROOF = "ISO 898-1:2013, SAE J429 (proof load); F = T/(K d), Shigley's Mechanical Engineering Design, 8-8"
_SHARE = "75 % of the proof load for joints that are taken apart: Shigley's Mechanical Engineering Design, 8-9"
_RANGE = "ISO 6789-1:2017, 5.1.3 (the range begins at the lowest marked value)"

ORDER_INCOMPLETE = Rule(
    "torque.order-incomplete",
    ERROR,
    why="A bolt that the order leaves out stays loose, one that it names twice is tightened twice.",
    mend="Name each bolt once, by its number round the joint, or write `cross` or `round`.",
    bad="motor-mount: {holds: drive-motor, thread: M10x1.5, count: 4, sequence: [1, 3, 2]}",
    good="motor-mount: {holds: drive-motor, thread: M10x1.5, count: 4, sequence: [1, 3, 2, 4]}",
)
STAGES_WRONG = Rule(
    "torque.stages-wrong",
    ERROR,
    why="Stages bring a joint down evenly and end at the whole torque; otherwise the last bolts undo the first.",
    mend="Write rising shares that end at 100 %, as in `[50 %, 100 %]`.",
    bad="stages: [60 %, 40 %]",
    good="stages: [40 %, 60 %, 100 %]",
)
UNKNOWN_THREAD = Rule(
    "torque.unknown-thread",
    ERROR,
    why="A thread that no table holds has no stress area, and whoever fetches the bolt fetches another one.",
    mend="Write its designation, as in `M10x1.5` or `1/2-13 UNC`.",
    bad="motor-mount: {holds: drive-motor, thread: M10x1.4}",
    good="motor-mount: {holds: drive-motor, thread: M10x1.5}",
    source="ISO 261, ISO 724; ASME B1.1",
)
UNKNOWN_CLASS = Rule(
    "torque.unknown-class",
    ERROR,
    why="What a bolt bears stands in its class; a class that does not exist bears nothing.",
    mend='Write it as on the bolt\'s head, as in `"8.8"`, `A2-70` or `grade 5`.',
    bad='motor-mount: {holds: drive-motor, thread: M10x1.5, class: "8.9"}',
    good='motor-mount: {holds: drive-motor, thread: M10x1.5, class: "8.8"}',
    source="ISO 898-1:2013; ISO 3506-1; ISO 8839; SAE J429",
)
CLASS_OF_OTHERS = Rule(
    "torque.class-of-other-threads",
    ERROR,
    why="A class belongs to one system of threads and to sizes up to an end; elsewhere its standard gives no strength.",
    mend="Write the class that the standard of this thread has.",
    bad="motor-mount: {holds: drive-motor, thread: M10x1.5, class: grade 5}",
    good='motor-mount: {holds: drive-motor, thread: M10x1.5, class: "8.8"}',
    source="ISO 898-1:2013; ISO 3506-1; ISO 8839; SAE J429",
)
UNKNOWN_FRICTION = Rule(
    "torque.unknown-friction",
    ERROR,
    why="Friction decides how much of a torque becomes preload: twice the friction is half the preload.",
    mend="Write the nut factor, as in `0.16`, or a word of the friction table, such as `oiled`.",
    bad="friction: slippery",
    good="friction: oiled",
    source="Shigley's Mechanical Engineering Design, table 8-15; Bickford and Nassar, ch. 2 table 1",
)
IMPOSSIBLE_BEARING = Rule(
    "torque.impossible-bearing",
    ERROR,
    why="A head that is not wider than its hole rests on nothing.",
    mend="Give the outer diameter of the bearing face as `head_diameter` and the hole under it as `hole`.",
    bad="{head_diameter: 11 mm, hole: 16 mm}",
    good="{head_diameter: 16 mm, hole: 11 mm}",
    source="VDI 2230 part 1",
)
UNKNOWN_MATERIAL = Rule(
    "torque.unknown-material",
    ADVICE,
    why="Whether the thread strips depends on what it goes into.",
    mend="Use words of the table, as in `cast aluminium` or `plastic`.",
    bad="into: unobtainium",
    good="into: cast aluminium",
)
OVER_PROOF = Rule(
    "torque.over-proof",
    ERROR,
    why="Beyond its proof load a bolt stretches for good, and the next overload breaks it.",
    mend="Take the torque from the drawing, or a bolt of a higher class.",
    bad='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 14 N·m, friction: 0.16}',
    good='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 8 N·m, friction: 0.16}',
    source=_PROOF,
)
NEAR_PROOF = Rule(
    "torque.near-proof",
    WARNING,
    why="With this friction the bolt is strained to more than nine tenths of its proof load before any work loads it.",
    mend="Take a torque for this friction: oiled threads need less.",
    bad='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 11 N·m, friction: moly}',
    good='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 6.5 N·m, friction: moly}',
    source=_PROOF,
)
OVER_SHARE = Rule(
    "torque.over-share",
    ADVICE,
    why="The house keeps a reserve for working loads and for joints that are taken apart and used again.",
    mend="Name the drawing that asks for more, or take a lower torque.",
    bad='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 9.5 N·m, friction: 0.16}',
    good='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 8 N·m, friction: 0.16}',
    source=_SHARE,
)
SCATTER_OVER_PROOF = Rule(
    "torque.scatter-over-proof",
    ADVICE,
    why="No method meets the preload: a torque wrench comes within a quarter at best, and some bolts pass proof load.",
    mend="Take a lower torque, or tighten by a `method` that scatters less, such as by angle.",
    bad='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 9.5 N·m, friction: 0.16}',
    good='lid-screws: {holds: lid, thread: M6, class: "8.8", torque: 8 N·m, friction: 0.16}',
    source="VDI 2230 part 1, tightening factor 1.6 to 2.5 (from memory)",
)
LEFT_LOOSE = Rule(
    "torque.left-loose",
    ADVICE,
    why="A joint that carries load and is clamped this lightly works loose.",
    mend="Take a higher torque, or say with `joint` what kind of joint it is: cover, seal, terminal, plastic, clamp, …",
    bad='motor-mount: {holds: drive-motor, thread: M10, class: "8.8", torque: 15 N·m, friction: 0.16}',
    good='motor-mount: {holds: drive-motor, thread: M10, class: "8.8", torque: 36 N·m, friction: 0.16}',
)
NO_FRICTION = Rule(
    "torque.no-friction",
    ADVICE,
    why="Without the friction a torque says nothing about the preload; nobody can say whether the bolt takes it.",
    mend="Write `friction`: the nut factor, or a word such as `plain`, `zinc-plated` or `oiled`.",
    bad='motor-mount: {holds: drive-motor, thread: M10, class: "8.8", torque: 36 N·m}',
    good='motor-mount: {holds: drive-motor, thread: M10, class: "8.8", torque: 36 N·m, friction: 0.16}',
    source="Bickford and Nassar, Handbook of Bolts and Bolted Joints, chapter 2, table 1 (from memory)",
)
PREVAILING_TOO_HIGH = Rule(
    "torque.prevailing-too-high",
    ERROR,
    why="A locking nut that takes the whole torque to turn does not clamp at all.",
    mend="The torque is that of the wrench: prevailing torque and what clamps together.",
    bad="{torque: 8 N·m, prevailing: 9 N·m}",
    good="{torque: 17 N·m, prevailing: 9 N·m}",
    source="ISO 2320 (prevailing torque nuts; from memory)",
)
STRIPS_THREAD = Rule(
    "torque.strips-thread",
    ERROR,
    why="The thread in the softer part shears off before the bolt is tight.",
    mend="Take more engagement, a threaded insert, or a lower torque.",
    bad="{thread: M8, torque: 24 N·m, into: plastic, engagement: 8 mm}",
    good="{thread: M8, torque: 3 N·m, into: plastic, engagement: 20 mm}",
    source="FED-STD-H28/2; ISO 898-2, annex A (shear areas at basic size)",
)
NEAR_STRIPPING = Rule(
    "torque.near-stripping",
    WARNING,
    why="With this friction the bolt pulls harder than the thread in the softer part holds.",
    mend="Take more engagement, a threaded insert, or a torque for this friction.",
    bad="{thread: M8, torque: 16 N·m, friction: moly, into: cast aluminium, engagement: 8 mm}",
    good="{thread: M8, torque: 10 N·m, friction: moly, into: cast aluminium, engagement: 16 mm}",
    source="FED-STD-H28/2; ISO 898-2, annex A (shear areas at basic size)",
)
OVER_TERMINAL = Rule(
    "torque.over-terminal",
    ADVICE,
    why="Terminal screws are tested at a torque of the standard; with more of it their threads and clamps give way.",
    mend="Name the drawing or data sheet of the terminal, or its class, or take the torque of the standard.",
    bad="coil-terminal: {holds: contactor, thread: M4, torque: 3 N·m, joint: terminal}",
    good="coil-terminal: {holds: contactor, thread: M4, torque: 1.2 N·m, joint: terminal}",
    source="IEC 60947-1, test torques of screw terminals (from memory)",
)
NO_WRENCH = Rule(
    "torque.no-wrench",
    WARNING,
    why="A torque that is not set is a guess: by feel the preload lies within a third to two thirds.",
    mend="Name the torque wrench with `wrench`.",
    bad="- tighten: motor-mount",
    good="- tighten: motor-mount\n  wrench: wrench-2",
    source="VDI 2230 part 1 (from memory)",
)
WRENCH_OUT_OF_RANGE = Rule(
    "torque.wrench-out-of-range",
    ERROR,
    why="Below its lowest mark and above its highest a torque wrench cannot be set, and was never tested.",
    mend="Name a wrench whose scale holds the torque.",
    bad="- tighten: lid-screws        # 7 N·m\n  wrench: wrench-2           # 20 N·m to 100 N·m",
    good="- tighten: lid-screws\n  wrench: wrench-1           # 2 N·m to 10 N·m",
    source=_RANGE,
)
WRENCH_LOW_ON_SCALE = Rule(
    "torque.wrench-low-on-scale",
    ADVICE,
    why="In the lowest fifth of their scale many wrenches were never calibrated.",
    mend="Take a smaller wrench if there is one.",
    bad="- tighten: motor-studs       # 11 N·m\n  wrench: wrench-2           # 10 N·m to 60 N·m",
    good="- tighten: motor-studs\n  wrench: wrench-4           # 5 N·m to 25 N·m",
    source="ISO 6789:2003 practice: calibrated at 20 %, 60 % and 100 % of the scale",
)
STAGE_BELOW_WRENCH = Rule(
    "torque.stage-below-wrench",
    WARNING,
    why="The first stage cannot be set on this wrench, so that it is guessed or left out.",
    mend="Begin with a larger share, or name a wrench that reaches down to it.",
    bad="stages: [10 %, 100 %]    # of 36 N·m, on a wrench from 10 N·m",
    good="stages: [50 %, 100 %]",
    source=_RANGE,
)
WRENCH_TOO_COARSE = Rule(
    "torque.wrench-too-coarse",
    WARNING,
    why="The wrench may be off by more than the torque is allowed to be.",
    mend="Name a finer wrench, or write the tolerance that the drawing gives.",
    bad="{torque: 36 N·m, tolerance: 3 %}    # wrench: 4 %",
    good="{torque: 36 N·m, tolerance: 10 %}",
    source="ISO 6789-1:2017 (permissible deviation)",
)
WRENCH_BEYOND_STANDARD = Rule(
    "torque.wrench-beyond-standard",
    ADVICE,
    why="The standard allows a click wrench 4 % (6 % up to 10 N·m) and no hand torque tool more than 6 %.",
    mend="Have the wrench adjusted, or correct its accuracy.",
    bad="wrench-2: {name: click wrench, from: 20 N·m, to: 100 N·m, accuracy: 10 %}",
    good="wrench-2: {name: click wrench, from: 20 N·m, to: 100 N·m, accuracy: 4 %}",
    source="ISO 6789:2003, table of permissible deviations (public reproduction, from memory)",
)
JOINTS_DISAGREE = Rule(
    "torque.joints-disagree",
    ADVICE,
    why="One part with one thread is tightened to one torque; two numbers mean that one is out of date.",
    mend="Compare both with the drawing of the part.",
    bad="# one machine: {holds: pump, thread: M8, torque: 18 N·m}, another: 24 N·m",
    good="# both: {holds: pump, thread: M8, torque: 18 N·m}",
)

RULES: tuple[Rule, ...] = (
    ORDER_INCOMPLETE,
    STAGES_WRONG,
    UNKNOWN_THREAD,
    UNKNOWN_CLASS,
    CLASS_OF_OTHERS,
    UNKNOWN_FRICTION,
    IMPOSSIBLE_BEARING,
    UNKNOWN_MATERIAL,
    OVER_PROOF,
    NEAR_PROOF,
    OVER_SHARE,
    SCATTER_OVER_PROOF,
    LEFT_LOOSE,
    NO_FRICTION,
    PREVAILING_TOO_HIGH,
    STRIPS_THREAD,
    NEAR_STRIPPING,
    OVER_TERMINAL,
    NO_WRENCH,
    WRENCH_OUT_OF_RANGE,
    WRENCH_LOW_ON_SCALE,
    STAGE_BELOW_WRENCH,
    WRENCH_TOO_COARSE,
    WRENCH_BEYOND_STANDARD,
    JOINTS_DISAGREE,
)
