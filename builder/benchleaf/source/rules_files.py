"""Rules on the files and folders of a workspace; their examples list files instead of YAML."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

SYMBOLIC_LINK = Rule(
    slug="source.symbolic-link",
    severity=Severity.ERROR,
    why="What a link leads to can change without a trace here, and is not signed with the procedure.",
    mend="put the file itself in its place; share steps as a block in procedures/common",
    bad="# procedures/rc-48/no-drive.yaml -> /mnt/share/no-drive.yaml",
    good="# procedures/rc-48/no-drive.yaml",
)
OUTSIDE_WORKSPACE = Rule(
    slug="source.outside-workspace",
    severity=Severity.ERROR,
    why="A workspace must hold all that its cards rest on, so that a review sees all of it.",
    mend="move the file into the workspace, or start in the workspace that it belongs to",
    bad="# ../old/no-drive.yaml",
    good="# procedures/rc-48/no-drive.yaml",
)
CONFLICT_COPY = Rule(
    slug="source.conflict-copy",
    severity=Severity.ERROR,
    why="A shared folder or a copy left two versions side by side, and nobody knows which one is right.",
    mend="compare the two, keep what is right under the plain name, and delete the copy",
    bad="# procedures/rc-48/no-drive (1).yaml",
    good="# procedures/rc-48/no-drive.yaml",
)
BACKUP_FILE = Rule(
    slug="source.backup-file",
    severity=Severity.ADVICE,
    why="An editor or a merge left an older version here; it is not read, but someone may print it.",
    mend="delete it",
    bad="# procedures/rc-48/no-drive.yaml~",
    good="# procedures/rc-48/no-drive.yaml",
)
WRONG_ENDING = Rule(
    slug="source.wrong-ending",
    severity=Severity.ERROR,
    why="Only files that end in `.yaml` are read; under another ending a procedure would be missed without a word.",
    mend="rename the file so that it ends in `.yaml`",
    bad="# procedures/rc-48/no-drive.yml",
    good="# procedures/rc-48/no-drive.yaml",
)
NO_MACHINE_FILE = Rule(
    slug="source.no-machine-file",
    severity=Severity.ERROR,
    why="A procedure is held against the description of its machine; without one nothing can be proved.",
    mend="write machine.yaml in this folder, or move the folder out of procedures/",
    bad="# procedures/rc-48/no-drive.yaml alone",
    good="# procedures/rc-48/machine.yaml\n# procedures/rc-48/no-drive.yaml",
)
CASE_CLASH = Rule(
    slug="source.case-clash",
    severity=Severity.ERROR,
    why="On many computers two names that differ only in capitals are the same file: one would overwrite the other.",
    mend="rename one of them",
    bad="# procedures/rc-48/no-drive.yaml\n# procedures/rc-48/No-drive.yaml",
    good="# procedures/rc-48/no-drive.yaml\n# procedures/rc-48/no-lift.yaml",
)
BAD_NAME = Rule(
    slug="source.bad-name",
    severity=Severity.ERROR,
    why="A file's name is its id, which other files, printed cards and links use.",
    mend="use lower-case letters and digits in words joined by hyphens",
    bad="# procedures/rc-48/No Drive.yaml",
    good="# procedures/rc-48/no-drive.yaml",
)
STRAY_FILE = Rule(
    slug="source.stray-file",
    severity=Severity.WARNING,
    why="Files are read only where they belong, so that this one would be missed without a word.",
    mend="move it to procedures/common or to its machine's folder",
    bad="# procedures/no-drive.yaml",
    good="# procedures/rc-48/no-drive.yaml",
)

RULES: tuple[Rule, ...] = (
    SYMBOLIC_LINK,
    OUTSIDE_WORKSPACE,
    CONFLICT_COPY,
    BACKUP_FILE,
    WRONG_ENDING,
    NO_MACHINE_FILE,
    CASE_CLASH,
    BAD_NAME,
    STRAY_FILE,
)
