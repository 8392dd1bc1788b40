"""Rules on languages: wordings that are there and signed off, and translations of what the writer wrote."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

NO_WORDING = Rule(
    slug="document.no-wording",
    severity=Severity.ERROR,
    why="The warnings of a card are fixed words; in a language that has none they could not be said.",
    mend="name a language that has a wording, or leave the field out for English",
    bad="languages: [xx]",
    good="languages: [de]",
)
WORDING_UNSIGNED = Rule(
    slug="document.wording-unsigned",
    severity=Severity.WARNING,
    why="A wrong word in a warning hurts people: somebody of the trade who knows the language reads it first.",
    mend="have the wording read, then write who did, when, and its digest under `signed_wording`",
    bad="languages: [de]",
    good="""languages: [de]
signed_wording:
  de: {by: A. Reader, on: 2026-11-02, digest: 1a2b3c4d5e6f}""",
)
BROKEN_TRANSLATION = Rule(
    slug="document.broken-translation",
    severity=Severity.ERROR,
    why="A catalogue that can't be read, or a translation that lost a blank, would leave a card half translated.",
    mend="mend the file with a tool for gettext catalogues, or keep the blanks in braces as they are",
    bad='msgid "Measure {lead}."\nmsgstr "Messen."',
    good='msgid "Measure {lead}."\nmsgstr "{lead} messen."',
)
STALE_TRANSLATION = Rule(
    slug="document.stale-translation",
    severity=Severity.WARNING,
    why="The text was changed and its translation was not: the card would show the new text untranslated.",
    mend="translate the text as it stands now, or delete the message",
    bad='msgid "Open the lid."\nmsgstr "Deckel öffnen."',
    good='msgid "Open the lid slowly."\nmsgstr "Deckel langsam öffnen."',
)
NOT_TRANSLATED = Rule(
    slug="document.not-translated",
    severity=Severity.ADVICE,
    why="A card in two languages is read by halves.",
    mend="add the text as a message to the catalogue",
    bad='msgid "Open the lid."\nmsgstr ""',
    good='msgid "Open the lid."\nmsgstr "Deckel öffnen."',
)
RULES: tuple[Rule, ...] = (NO_WORDING, WORDING_UNSIGNED, BROKEN_TRANSLATION, STALE_TRANSLATION, NOT_TRANSLATED)
