"""Rules on waivers: what a writer may answer for, and how long it stands."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

NOT_WAIVABLE = Rule(
    slug="approval.not-waivable",
    severity=Severity.ERROR,
    why="A reason on paper protects nobody: what can hurt, and whatever stops a build, is mended and not waived.",
    mend="take the waiver out and mend what it was to cover",
    bad="waive: [{check: energy.no-proof, reason: We always do it so.}]",
    good="waive: [{check: language.long-sentence, reason: The sentence quotes the label on the machine.}]",
)
UNKNOWN_CHECK = Rule(
    slug="approval.unknown-check",
    severity=Severity.ERROR,
    why="A waiver that names no check waives nothing, although its reader believes it does.",
    mend="write the name in brackets that ends the finding",
    bad="waive: [{check: language.long, reason: The sentence quotes the label on the machine.}]",
    good="waive: [{check: language.long-sentence, reason: The sentence quotes the label on the machine.}]",
)
IDLE_WAIVER = Rule(
    slug="approval.idle-waiver",
    severity=Severity.WARNING,
    why="A waiver left behind by what it waived would silently cover the next finding of that kind.",
    mend="take the waiver out",
    bad="waive: [{check: language.long-sentence, reason: …}]   # and every sentence is short",
    good="# no waiver: nothing needs one",
)
EXPIRED_WAIVER = Rule(
    slug="approval.expired-waiver",
    severity=Severity.WARNING,
    why="A day was set because somebody was to look again by then.",
    mend="mend what was waived, or set another day with the reason for it",
    bad="waive: [{check: torque.no-friction, reason: The drawing is on its way., until: 2020-01-31}]",
    good="# the drawing has come, and the fastener says its friction",
)
RULES: tuple[Rule, ...] = (NOT_WAIVABLE, UNKNOWN_CHECK, IDLE_WAIVER, EXPIRED_WAIVER)
