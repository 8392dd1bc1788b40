"""Rules on signatures: what makes one count for nothing, and what keeps a released document from being drawn."""

from benchleaf.base.finding import Severity
from benchleaf.base.rules import Rule

DAMAGED = Rule(
    slug="approval.damaged-envelope",
    severity=Severity.ERROR,
    why="What was signed is proved by its exact bytes; with one of them changed nothing of it is proved any more.",
    mend="bring the file back as it was signed, from a copy or from version control",
    bad="# signed/no-drive/C-02.json, opened in an editor and saved",
    good="# signed/no-drive/C-02.json as `benchleaf sign` wrote it",
    source="DSSE 1.0.0, protocol; 21 CFR 11.70 (signature and record linked), as a reference",
)
BROKEN_CHAIN = Rule(
    slug="approval.broken-chain",
    severity=Severity.ERROR,
    why="Each signature holds the digest of the one before, so that none can be taken out, put in or moved unseen.",
    mend="bring the missing or changed file back; signatures are never deleted, a release is withdrawn instead",
    bad="# signed/no-drive: A-01.json, A-03.json",
    good="# signed/no-drive: A-01.json, A-02.json, A-03.json",
)
WRONG_PLACE = Rule(
    slug="approval.wrong-place",
    severity=Severity.ERROR,
    why="A signature is for one procedure and one revision; under another name it would vouch for what nobody signed.",
    mend="put the file back where it was signed",
    bad="# signed/no-lift/C-02.json, a copy of signed/no-drive/C-02.json",
    good="# signed/no-drive/C-02.json",
)
STRAY = Rule(
    slug="approval.stray-file",
    severity=Severity.ERROR,
    why="A copy made by a shared folder may be a signature that lost a race, and nobody would know that it is missing.",
    mend="keep the one under its plain name, let the other person sign again, and delete the copy",
    bad="# signed/no-drive/C-02 (1).json",
    good="# signed/no-drive/C-02.json",
)
CUT = Rule(
    slug="approval.chain-cut",
    severity=Severity.ERROR,
    why="This computer has seen a later signature than is here: an older revision is being shown as current.",
    mend="bring the missing files back, or ask who took them away",
    bad="# signed/no-drive: C-05.json was here last week and is gone",
    good="# signed/no-drive holds all that was ever signed",
    source="rollback as release systems know it (The Update Framework specification, 1.5.2)",
)
UNKNOWN_KEY = Rule(
    slug="approval.unknown-key",
    severity=Severity.ERROR,
    why="A signature by a key that is not on the signed list of people proves only that somebody has a key.",
    mend="have the person added to `people` in shop.yaml, and the list signed with the root key",
    bad="# a signature by a key that nobody on the list has",
    good="people: {r-reviewer: {name: R. Reviewer, roles: [reviewer], keys: [{key: 'ed25519:…', from: 2026-01-01}]}}",
)
KEY_NOT_VALID = Rule(
    slug="approval.key-not-valid",
    severity=Severity.WARNING,
    why="A key counts from its first day to its last, and until it is revoked; what it signed outside that counts not.",
    mend="let the person sign again with a key that is valid",
    bad="# signed on 2028-02-01 with a key that is valid until 2027-12-31",
    good="# signed on 2027-02-01 with a key that is valid until 2027-12-31",
)
ROLE_NOT_HELD = Rule(
    slug="approval.role-not-held",
    severity=Severity.WARNING,
    why="Whoever signs answers for a role; one that the signed list does not give them is no answer.",
    mend="let somebody sign who has the role",
    bad="# approved by a person whose roles are [writer]",
    good="# approved by a person whose roles are [approver]",
)
CLOCK = Rule(
    slug="approval.clock-runs-back",
    severity=Severity.WARNING,
    why="A signature dated before the one that it follows, or after today, bears a time that can't be right.",
    mend="set the clock and sign again",
    bad="# C-03.json signed on 2026-05-02, and C-04.json on 2026-05-01",
    good="# C-03.json signed on 2026-05-02, and C-04.json on 2026-05-03",
)
PEOPLE_NOT_SIGNED = Rule(
    slug="approval.people-not-signed",
    severity=Severity.WARNING,
    why="People, keys and the release rule count as the root key signed them, whatever shop.yaml says meanwhile.",
    mend="have the list signed with the root key: `benchleaf sign --people --key ROOT`",
    bad="release: {roles: [reviewer]}   # and the signed list still asks for an approver",
    good="release: {roles: [reviewer]}   # signed with the root key after the change",
)
ROOT_NOT_TRUSTED = Rule(
    slug="approval.root-not-trusted",
    severity=Severity.ERROR,
    why="Anybody can make a root key and sign a list of people; which one is right this computer must know beforehand.",
    mend="ask the shop for its root key, compare it on another way, and trust it: `benchleaf verify --trust KEY`",
    bad="# a workspace whose root key this computer has never seen",
    good="# the root key was compared and is trusted",
)
BLOB = Rule(
    slug="approval.figure-not-signed",
    severity=Severity.ERROR,
    why="A figure is signed by its digest; a picture of another revision in its place shows what nobody reviewed.",
    mend="bring the file in signed/blobs back as it was signed",
    bad="# signed/blobs/DIGEST holds another picture than was signed",
    good="# signed/blobs/DIGEST has that digest",
)
NOT_READ_BACK = Rule(
    slug="approval.not-read-back",
    severity=Severity.ERROR,
    why="A released document must show every warning, limit and step of the signed card; read back, this one does not.",
    mend="mend the theme that hides it, or build with a built-in theme",
    bad="/* card.css of the theme */ .warning { display: none }",
    good="/* a theme that draws everything */",
)
THEME = Rule(
    slug="approval.theme-not-listed",
    severity=Severity.ERROR,
    why="A theme can hide a warning; released documents are drawn only with themes that the root key signed.",
    mend="add the theme's digest to `release: {themes: […]}` and have the list signed, or use a built-in theme",
    bad="# build --released --theme house, and the signed list holds no theme",
    good="release: {themes: [DIGEST]}   # signed with the root key",
)
NOT_REBUILT = Rule(
    slug="approval.not-rebuilt",
    severity=Severity.ERROR,
    why="This version of benchleaf does not read the signed card exactly as it was signed, and must not print it.",
    mend="build it with the version that signed it, or sign it again",
    bad="# signed with a field that this version does not know",
    good="# signed with this version or one that says the same",
)
RUN_OUT = Rule(
    slug="approval.run-out",
    severity=Severity.ERROR,
    why="A release holds for a time, so that nobody can keep a newer one from the bench for ever.",
    mend="review the card again and release it under a later revision",
    bad="# released on 2024-03-01, valid until 2026-03-01, and today is 2026-06-01",
    good="# released again on 2026-02-20 under the next revision",
    source="freeze as release systems know it (The Update Framework specification, 1.5.2)",
)
RULES: tuple[Rule, ...] = (
    DAMAGED,
    BROKEN_CHAIN,
    WRONG_PLACE,
    STRAY,
    CUT,
    UNKNOWN_KEY,
    KEY_NOT_VALID,
    ROLE_NOT_HELD,
    CLOCK,
    PEOPLE_NOT_SIGNED,
    ROOT_NOT_TRUSTED,
    BLOB,
    NOT_READ_BACK,
    THEME,
    NOT_REBUILT,
    RUN_OUT,
)
