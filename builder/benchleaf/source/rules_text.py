"""Rules on the bytes of a source file."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

TOO_LARGE = Rule(
    slug="source.too-large",
    severity=Severity.ERROR,
    why="A procedure of that size is no procedure; most likely another file got this name.",
    mend="look at what the file holds; move pictures to figures/ and split a long procedure",
    bad="# a file of more than 1 MiB (1,048,576 bytes)",
    good="# a procedure of ten to a few hundred lines",
)
NOT_UTF_8 = Rule(
    slug="source.not-utf-8",
    severity=Severity.ERROR,
    why="In another encoding, signs such as Ω, µ or ° would turn into others, and a limit with them.",
    mend="open the file in its editor and save it as UTF-8",
    bad="tolerance: 5 \ufffd\ufffd   # saved in an older encoding",
    good="tolerance: 5 µm   # saved as UTF-8",
    source="YAML 1.2.2, section 5.2",
)
UNWELCOME_CHARACTER = Rule(
    slug="source.unwelcome-character",
    severity=Severity.ERROR,
    why="A character that nobody sees can part, hide or turn round what a reviewer believes to read.",
    mend="delete the character; most editors can show invisible ones",
    bad="title: Check the \\x00 fuse   # with a NUL character in place of \\x00",
    good="title: Check the fuse",
    source="YAML 1.2.2, section 5.1; Unicode Standard Annex 9, section 2 (explicit directional formatting characters)",
)

RULES: tuple[Rule, ...] = (TOO_LARGE, NOT_UTF_8, UNWELCOME_CHARACTER)
