"""Rules on the line that says what kind of file this is."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

FORMAT_MISSING = Rule(
    slug="source.format-missing",
    severity=Severity.ERROR,
    why="The format says how the rest of the file is read; without it nothing else has been looked at.",
    mend="add the line `format: benchleaf/KIND/1` at the top",
    bad="name: Marram Works service\n",
    good="format: benchleaf/shop/1\nname: Marram Works service\n",
)
FORMAT_UNKNOWN = Rule(
    slug="source.format-unknown",
    severity=Severity.ERROR,
    why="The format says how the rest of the file is read; nothing else in the file has been looked at.",
    mend="write `benchleaf/`, the kind of file, `/` and the number of its format",
    bad="format: benchleaf/shopp/1\nname: Marram Works service\n",
    good="format: benchleaf/shop/1\nname: Marram Works service\n",
)
FORMAT_NEWER = Rule(
    slug="source.format-newer",
    severity=Severity.ERROR,
    why="What a newer format added would be passed over here, and it may be what keeps somebody safe.",
    mend="install the benchleaf that the file was written for",
    bad="format: benchleaf/shop/2\nname: Marram Works service\n",
    good="format: benchleaf/shop/1\nname: Marram Works service\n",
)
FORMAT_MISPLACED = Rule(
    slug="source.format-misplaced",
    severity=Severity.ERROR,
    why="A file's place says what it is for; one that says otherwise was most likely copied or moved by mistake.",
    mend="move the file to where its kind belongs, or correct the format",
    bad="# procedures/shop.yaml\nformat: benchleaf/machine/1\n",
    good="# procedures/shop.yaml\nformat: benchleaf/shop/1\nname: Marram Works service\n",
)
MODELINE = Rule(
    slug="source.modeline",
    severity=Severity.ADVICE,
    why="The first line tells an editor which schema explains the fields; this one is for another kind of file.",
    mend="name the schema of this kind of file",
    bad="# yaml-language-server: $schema=../.benchleaf/schema/machine.schema.json\nformat: benchleaf/shop/1\n",
    good="# yaml-language-server: $schema=../.benchleaf/schema/shop.schema.json\nformat: benchleaf/shop/1\n",
)

RULES: tuple[Rule, ...] = (FORMAT_MISSING, FORMAT_UNKNOWN, FORMAT_NEWER, FORMAT_MISPLACED, MODELINE)
