"""Rules about what a card must hold besides its steps."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

ERROR, WARNING, ADVICE = Severity.ERROR, Severity.WARNING, Severity.ADVICE

SUPPLIES_NOT_STATED = Rule(
    "document.supplies-not-stated",
    ERROR,
    why="Nothing written is not the same as none: the reader cannot tell whether the list was forgotten.",
    mend="List what is used up under `supplies`, or write `supplies: none`.",
    bad="id: contactor-replace        # and nowhere a line `supplies`",
    good="supplies: none",
    source="inspired by the explicit 'none' of open documentation standards (DITA nosupply, S1000D noSupplies)",
)
SPARES_NOT_STATED = Rule(
    "document.spares-not-stated",
    ERROR,
    why="Nothing written is not the same as none: the reader cannot tell whether the list was forgotten.",
    mend="List the parts to bring under `spares`, or write `spares: none`.",
    bad="id: contactor-replace        # and nowhere a line `spares`",
    good="spares: [{part: contactor}]",
    source="inspired by the explicit 'none' of open documentation standards (DITA nospares, S1000D noSpares)",
)
REQUIRED_MISSING = Rule(
    "document.required-missing",
    ERROR,
    why="The shop has decided that each of its procedures says this.",
    mend="Write it, or take it out of `rules.required` of the shop.",
    bad="# shop.yaml: rules: {required: [references]}\nid: no-drive                 # and nowhere a line `references`",
    good="references: [{document: Wiring drawing MW-0040, edition: issue 5}]",
)
NO_OWNER = Rule(
    "document.no-owner",
    ADVICE,
    why="When the card is wrong, somebody at the machine wants to know whom to tell.",
    mend="Name who answers for the procedure under `owner`.",
    bad="id: no-drive                 # and nowhere a line `owner`",
    good="owner: Marram Works service, carriers",
    source="inspired by IEC/IEEE 82079-1",
)
REVIEW_BEFORE_ISSUE = Rule(
    "document.review-before-issue",
    WARNING,
    why="A review that was due before the issue is overdue from the first day.",
    mend="Write the day by which the procedure is to be looked at again.",
    bad="issued: 2026-05-04\nreview_by: 2025-05-04",
    good="issued: 2026-05-04\nreview_by: 2028-05-04",
)
NO_EMERGENCY = Rule(
    "document.no-emergency",
    WARNING,
    why="When somebody is hurt there is no time to look for the number and the stop button.",
    mend="Say in `emergency` of the shop how to stop, whom to call and what helps first.",
    bad="# shop.yaml without a line `emergency`",
    good="emergency: Press the emergency stop. Get people away. Call 112.",
    source="inspired by IEC/IEEE 82079-1 (exceptional situations)",
)
SUPPLY_WITHOUT_SHEET = Rule(
    "document.supply-without-sheet",
    WARNING,
    why="For something that can hurt, the safety data sheet says what to do when it has.",
    mend="Give the number of the safety data sheet under `sheet`.",
    bad="cleaner: {name: cleaner, hazards: [chemical-splash]}",
    good="cleaner: {name: cleaner, hazards: [chemical-splash], sheet: SDS-12}",
    source="29 CFR 1910.1200(g) (from memory)",
)
SUPPLY_WITHOUT_DISPOSAL = Rule(
    "document.supply-without-disposal",
    ADVICE,
    why="What can hurt people hurts drains and bins too, and the technician stands there with the rest of it.",
    mend="Say under `disposal` where the rest goes.",
    bad="cleaner: {name: cleaner, hazards: [chemical-splash], sheet: SDS-12}",
    good="cleaner: {name: cleaner, hazards: [chemical-splash], sheet: SDS-12, disposal: Hand it in.}",
    source="inspired by IEC/IEEE 82079-1 (disposal)",
)
FIGURE_MISSING = Rule(
    "document.figure-missing",
    ERROR,
    why="The step speaks of a picture that nobody will see.",
    mend="Put the file into the machine's folder, or mend its name; paths start from that folder.",
    bad="figure: {file: figures/contactr.svg, alt: The main contactor from the front.}",
    good="figure: {file: figures/contactor.svg, alt: The main contactor from the front.}",
)
FIGURE_UNREADABLE = Rule(
    "document.figure-unreadable",
    ERROR,
    why="A picture that cannot be read leaves a hole in the card.",
    mend="Save the picture anew as SVG, PNG or JPEG.",
    bad="figure: {file: figures/torn.png, alt: The main contactor from the front.}",
    good="figure: {file: figures/contactor.svg, alt: The main contactor from the front.}",
)
ALT_SAYS_NOTHING = Rule(
    "document.alt-says-nothing",
    WARNING,
    why="Who cannot see the picture, or prints without it, has only these words.",
    mend="Say what the picture shows and where to look.",
    bad="figure: {file: figures/contactor.svg, alt: contactor.svg}",
    good="figure: {file: figures/contactor.svg, alt: 'The main contactor from the front, with its two studs on top.'}",
    source="WCAG 2.2, 1.1.1",
)
CALLOUTS_WITH_GAP = Rule(
    "document.callouts-with-gap",
    WARNING,
    why="A missing number makes the reader look for it in the picture.",
    mend="Number the call-outs from 1 without a gap.",
    bad="callouts: {1: input stud, 3: coil plug}",
    good="callouts: {1: input stud, 2: coil plug}",
)
ISOLATOR_NOT_SHOWN = Rule(
    "document.isolator-not-shown",
    WARNING,
    why="Who locks out a machine that they do not know looks for its isolators by the numbers of the figure.",
    mend="Number each isolator in the figure of the machine and name it in `callouts`.",
    bad="callouts: {1: drive-motor}",
    good="callouts: {1: battery-plug, 2: drive-motor}",
    source="29 CFR 1910.147(d)(3): all isolating devices needed are located and operated",
)
DEAD_LINK = Rule(
    "document.dead-link",
    WARNING,
    why="On paper and without a network a link that leads nowhere is only noise.",
    mend="Link to a step of the card by `#id`, or to a full address.",
    bad="info: See [the first reading](#rset).",
    good="info: See [the first reading](#rest).",
)

RULES: tuple[Rule, ...] = (
    SUPPLIES_NOT_STATED,
    SPARES_NOT_STATED,
    REQUIRED_MISSING,
    NO_OWNER,
    REVIEW_BEFORE_ISSUE,
    NO_EMERGENCY,
    SUPPLY_WITHOUT_SHEET,
    SUPPLY_WITHOUT_DISPOSAL,
    FIGURE_MISSING,
    FIGURE_UNREADABLE,
    ALT_SAYS_NOTHING,
    CALLOUTS_WITH_GAP,
    ISOLATOR_NOT_SHOWN,
    DEAD_LINK,
)
