"""Rules on a source file as YAML."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

_YAML = "YAML 1.2.2"

SYNTAX = Rule(
    slug="source.syntax",
    severity=Severity.ERROR,
    why="What cannot be read cannot be checked; nothing behind this place has been looked at.",
    mend="look at quotation marks, brackets, colons and indentation here and in the line above",
    bad="title: Charger: no supply\n",
    good='title: "Charger: no supply"\n',
    source=_YAML,
)
TAB = Rule(
    slug="source.tab",
    severity=Severity.ERROR,
    why="How far a tab indents depends on the editor, so that two people would see two structures.",
    mend="replace tabs by spaces; most editors can do so while typing",
    bad="crew:\n\ttechnician: any\n",
    good="crew:\n  technician: any\n",
    source=f"{_YAML}, section 6.1",
)
DUPLICATE_KEY = Rule(
    slug="source.duplicate-key",
    severity=Severity.ERROR,
    why="One of the two would be lost without a word, and nobody knows which one was meant.",
    mend="keep one of them, or rename one",
    bad="low: 11 V\nhigh: 13 V\nlow: 12 V\n",
    good="low: 11 V\nhigh: 13 V\n",
    source=f"{_YAML}, section 3.2.1.3",
)
TAG = Rule(
    slug="source.tag",
    severity=Severity.ERROR,
    why="A tag tells a program how to read a value; here the schema does that.",
    mend="delete the tag; put a text that begins with `!` in quotes",
    bad="revision: !!str 2\n",
    good='revision: "2"\n',
    source=f"{_YAML}, section 6.9.1",
)
MERGE_KEY = Rule(
    slug="source.merge-key",
    severity=Severity.ERROR,
    why="Merging hides which value holds where; YAML 1.2 knows no merge key.",
    mend="write the keys out, or use a shared block with `insert`",
    bad="rest: &rest {low: 50 V}\nload:\n  <<: *rest\n",
    good="rest: {low: 50 V}\nload: {low: 50 V}\n",
    source=f"{_YAML}, section 10.3 (the core schema has no merge key)",
)
ALIAS_UNKNOWN = Rule(
    slug="source.alias-unknown",
    severity=Severity.ERROR,
    why="An alias repeats a value that was marked with `&` further up in the same file.",
    mend="mark the value with `&name`, or put a text that begins with `*` in quotes",
    bad="text: *important\n",
    good='text: "*important*"\n',
    source=f"{_YAML}, section 7.1",
)
ALIAS_IN_ITSELF = Rule(
    slug="source.alias-in-itself",
    severity=Severity.ERROR,
    why="A value that holds itself has no end.",
    mend="write out what is meant",
    bad="steps: &all\n  - *all\n",
    good="steps:\n  - look: The lamp is dark.\n",
    source=f"{_YAML}, section 3.2.1.1",
)
ALIAS_TOO_LARGE = Rule(
    slug="source.alias-too-large",
    severity=Severity.ERROR,
    why="Aliases of aliases can blow a short file up until the computer stops; what is repeated at length is a block.",
    mend="put the repeated steps in procedures/common and use `insert`",
    bad=(
        "a: &a [x, x, x, x, x, x, x, x, x, x]\n"
        "b: &b [*a, *a, *a, *a, *a, *a, *a, *a, *a, *a]\n"
        "c: [*b, *b, *b, *b, *b, *b, *b, *b, *b, *b]\n"
    ),
    good="a: &a [x, y]\nb: *a\n",
)
TOO_DEEP = Rule(
    slug="source.too-deep",
    severity=Severity.ERROR,
    why="No field of the format lies so deep; most likely a bracket or an indentation went astray.",
    mend="close the brackets and set the indentation right",
    bad="steps: " + "[" * 64 + "]" * 64 + "\n",
    good="steps: []\n",
)
SEVERAL_DOCUMENTS = Rule(
    slug="source.several-documents",
    severity=Severity.ERROR,
    why="One file is one procedure, machine, block or shop, so that its name can be its id.",
    mend="move the second document to a file of its own, or delete the line `---`",
    bad="id: no-drive\n---\nid: no-lift\n",
    good="id: no-drive\n",
    source=f"{_YAML}, section 9.2",
)
DIRECTIVE = Rule(
    slug="source.directive",
    severity=Severity.ERROR,
    why="By YAML 1.1 `no`, `on` and `010` mean something else than they say; files are read by YAML 1.2 only.",
    mend="delete the lines that begin with `%`",
    bad="%YAML 1.1\n---\nkey: on\n",
    good="key: on\n",
    source=f"{_YAML}, section 6.8",
)
EMPTY_FILE = Rule(
    slug="source.empty-file",
    severity=Severity.ERROR,
    why="A file that holds nothing was most likely not saved, or not fetched whole from a shared folder.",
    mend="write the procedure, or delete the file",
    bad="# nothing yet\n",
    good="format: benchleaf/procedure/1\n",
)
KEY_NOT_TEXT = Rule(
    slug="source.key-not-text",
    severity=Severity.ERROR,
    why="A key is the name of a field.",
    mend="write a name before the colon; a value in curly brackets needs quotes if it is meant as text",
    bad="text: {{name}}\n",
    good='text: "{{name}}"\n',
)
NUMBER_OUT_OF_RANGE = Rule(
    slug="source.number-out-of-range",
    severity=Severity.ERROR,
    why="Programs round such a number differently, or take it as infinite, and such a limit holds nothing back.",
    mend="write the number that is meant; put a long serial number in quotes",
    bad="at_most: .inf\n",
    good="at_most: 20\n",
    source="IEEE 754-2019 (binary64); RFC 8259, section 6",
)
SWALLOWED_ITEM = Rule(
    slug="source.swallowed-item",
    severity=Severity.ERROR,
    why="Indented deeper than the item above, the line was taken as more of its text: an item is lost without a word.",
    mend="indent all items alike; put the text in quotes if the dash belongs to it",
    bad="spares:\n  - fuse 3 A\n    - lamp 2 W\n",
    good="spares:\n  - fuse 3 A\n  - lamp 2 W\n",
    source=f"{_YAML}, section 7.3.3 (plain scalars go on over lines)",
)
CUT_TEXT = Rule(
    slug="source.cut-text",
    severity=Severity.WARNING,
    why="A `#` after a space begins a comment, so the rest of the line is not part of the text.",
    mend="put the text in quotes, or write a space behind the `#` if a comment is meant",
    bad="look: Find bolt #3 on the cover.\n",
    good='look: "Find bolt #3 on the cover."\n',
    source=f"{_YAML}, section 6.6",
)

RULES: tuple[Rule, ...] = (
    SYNTAX,
    TAB,
    DUPLICATE_KEY,
    TAG,
    MERGE_KEY,
    ALIAS_UNKNOWN,
    ALIAS_IN_ITSELF,
    ALIAS_TOO_LARGE,
    TOO_DEEP,
    SEVERAL_DOCUMENTS,
    DIRECTIVE,
    EMPTY_FILE,
    KEY_NOT_TEXT,
    NUMBER_OUT_OF_RANGE,
    SWALLOWED_ITEM,
    CUT_TEXT,
)
