"""Rules on what comes to light only when a card is drawn."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

NOT_DRAWN = Rule(
    slug="document.not-drawn",
    severity=Severity.ERROR,
    why="A card that cannot be drawn as written would show something else than what was checked.",
    mend="change what the sentence names; a sign that the font lacks is written in words",
    bad="look: The lamp shows ☀.",
    good="look: The lamp shows a sun.",
)
BROKEN_THEME = Rule(
    slug="document.broken-theme",
    severity=Severity.ERROR,
    why="Without its theme no document can be drawn; half a theme would print cards that lack something.",
    mend="mend the file, or build with a theme that travels with benchleaf: `--theme daylight`",
    bad="{{ card.weather }}",
    good="{{ card.title }}",
)
RULES: tuple[Rule, ...] = (NOT_DRAWN, BROKEN_THEME)
