"""Rules about cards that the independent verifier can't confirm."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

NOT_CONFIRMED = Rule(
    "energy.not-confirmed",
    Severity.ERROR,
    why="A second reader, who shares nothing with the compiler, followed every path of the card and found one on which "
    "somebody could be hurt, or on which the order of a lockout is broken. Such a card is not built.",
    mend="Look at the path that is named. Where the machine file says less than is true, complete it; where the steps "
    "ask for power and hands at once, part them; else report it as a fault of the compiler.",
    bad="bus: {kind: dc, fed_by: [pack, charger-mains], isolate: {battery-plug: parted}}   # the charger feeds it too",
    good="bus: {kind: dc, fed_by: [pack, charger-mains], isolate: {battery-plug: parted, charger: unplugged}}",
    source="29 CFR 1910.147(d)(6): verification that isolation and deenergization have been accomplished",
)

RULES: tuple[Rule, ...] = (NOT_CONFIRMED,)
