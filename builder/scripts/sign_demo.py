"""Signs the demonstration anew: procedures released, superseded, withdrawn, in review, by keys that everybody has.

Run `.venv/bin/python builder/scripts/sign_demo.py` last, after any change to procedures or cards; with `--check` it
writes nothing and names what is out of date. The keys lie in `tests/review/demo_keys`, their pass phrase beside them;
benchleaf knows them by heart and believes them for the shop of the demonstration alone. The same content gives the
same envelopes, but for the digest of the tool that judged it.
"""

import argparse
import shutil
import sys
import tempfile
from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from benchleaf.build.candidate import Candidate, beside, candidates, shop_of, typed
from benchleaf.build.request import silence
from benchleaf.review import store
from benchleaf.review.chain import chain
from benchleaf.review.desk import Desk, Ink, Paper, holder, sign
from benchleaf.review.envelope import seal
from benchleaf.review.keys import SigningKey, from_seed, sealed
from benchleaf.review.people import People, to_statement
from benchleaf.review.signature import APPROVED, READY, REVIEWED, WITHDRAWN, content_of
from benchleaf.review.state import standing
from benchleaf.review.tally import tally
from benchleaf.review.trust import demo, people_of

ROOT = Path(__file__).resolve().parents[2]
KEYS = ROOT / "tests" / "review" / "demo_keys"
PHRASE = "known to all"
WRITER, CHECKER, LAST = "m-sedge", "i-reed", "o-marsh"
HOLDERS = ("root", WRITER, CHECKER, LAST)

RELEASED = (
    "rc-48/no-drive",
    "rc-48/contactor-replace",
    "rc-48/half-year-inspection",
    "ht-600/no-lift",
    "ht-600/yearly-service",
    "pc-9/no-clamp",
    "pc-9/monthly-inspection",
)
WITHDRAWN_ONE = "pc-9/tape-change"
IN_REVIEW = "ht-600/sinks"
# The revision before the present one: what was written otherwise in the file of the procedure.
BEFORE = {
    "rc-48/no-drive": (("revision: C", "revision: B"), ("time: 75 min", "time: 60 min")),
}


class Turn(NamedTuple):
    """One signature: who, with what meaning and in which role, when."""

    who: str
    meaning: str
    role: str
    time: str
    reason: str = ""


def turns(month: str) -> tuple[Turn, ...]:
    """The signatures of a release in a month."""
    return (
        Turn(WRITER, READY, "writer", f"{month}-04T09:10:00Z"),
        Turn(CHECKER, REVIEWED, "reviewer", f"{month}-06T13:25:00Z"),
        Turn(LAST, APPROVED, "approver", f"{month}-07T08:40:00Z"),
    )


def key(name: str) -> SigningKey:
    """The key of a holder, from a seed that everybody can read here."""
    return from_seed(f"benchleaf demonstration: {name}".encode().ljust(32, b".")[:32])


def make_keys() -> None:
    """Write key files that are not there yet, and their pass phrase."""
    KEYS.mkdir(parents=True, exist_ok=True)
    (KEYS / "phrase").write_text(PHRASE + "\n", "utf-8")
    for name in HOLDERS:
        path = KEYS / f"{name}.json"
        if not path.exists():
            seed = f"benchleaf demonstration: {name}".encode().ljust(32, b".")[:32]
            path.write_bytes(sealed(f"demonstration {name}", PHRASE, seed))


def sign_people(root: Path) -> People:
    """Sign the list of people of the workspace at `root`."""
    shop = shop_of(root, "2026-05-01")
    assert shop is not None, "procedures/shop.yaml has errors"
    said = to_statement(str(shop.name), 1, "", "2026-01-05T08:00:00Z", typed(shop), {})
    store.keep_people(root, 1, seal(said, key("root")))
    people = people_of(root, root, str(shop.name)).people
    assert people is not None, "the list of people of the demonstration is not believed"
    return people


def paper(one: Candidate) -> Paper:
    """What is signed of a procedure."""
    assert one.cards, f"{one.procedure} has errors: {sorted({error.slug for error in one.errors})}"
    more = {"findings": [], "safety": tally(one.cards.values()), "beside": beside()}
    return Paper(one.procedure, one.revision, one.cards, one.sources, one.figures, more)


def put(root: Path, people: People, one: Paper, signed: Iterable[Turn]) -> None:
    """Sign a paper."""
    for turn in signed:
        mine = key(turn.who)
        desk = Desk(root, root, people, mine, holder(people, mine.public, turn.time[:10]), turn.time, demo().keys)
        sign(desk, one, Ink(turn.meaning, turn.role, turn.reason))


def before(procedure: str) -> Paper:
    """The revision before the present one of a procedure."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        shutil.copytree(ROOT / "procedures", root / "procedures")
        path = root / f"procedures/{procedure}.yaml"
        text = path.read_text("utf-8")
        for new, old in BEFORE[procedure]:
            assert text.count(new) == 1, f"{procedure}: {new}"
            text = text.replace(new, old)
        path.write_text(text, "utf-8")
        return paper(candidates(root, "2026-05-01", (path,), silence)[0])


def signed_folders(root: Path) -> list[Path]:
    """The folders of signatures of a workspace."""
    return sorted(path for path in (root / "procedures").glob("**/signed") if path.is_dir())


def sign_all(root: Path) -> None:
    """Sign the demonstration anew in the workspace at `root`."""
    for path in signed_folders(root):
        shutil.rmtree(path)
    people = sign_people(root)
    named = (*RELEASED, WITHDRAWN_ONE, IN_REVIEW)
    paths = tuple(root / f"procedures/{name}.yaml" for name in named)
    papers = {one.procedure: paper(one) for one in candidates(root, "2026-05-01", paths, silence)}
    for name in RELEASED:
        if name in BEFORE:
            put(root, people, before(name), turns("2026-02"))
        put(root, people, papers[name], turns("2026-05"))
    put(root, people, papers[WITHDRAWN_ONE], turns("2026-05"))
    reason = "The tape of the last delivery comes off in strips"
    put(root, people, papers[WITHDRAWN_ONE], (Turn(LAST, WITHDRAWN, "approver", "2026-08-12T07:05:00Z", reason),))
    put(root, people, papers[IN_REVIEW], turns("2026-09")[:1])


def stale(root: Path = ROOT) -> list[str]:
    """Procedures of the demonstration whose signatures are not those of their present content."""
    shop = shop_of(root, "2026-06-01")
    people = people_of(root, root, str(shop.name)).people if shop else None
    if shop is None or people is None or people.typed != typed(shop):
        return ["procedures/shop.yaml"]
    wanted = dict.fromkeys(RELEASED, "released") | {WITHDRAWN_ONE: "withdrawn", IN_REVIEW: "in review"}
    paths = tuple(root / f"procedures/{name}.yaml" for name in wanted)
    found = {one.procedure: one for one in candidates(root, "2026-06-01", paths, silence)}
    old = []
    for name, state in wanted.items():
        where = standing(chain(root, name), people, "2026-10-01", demo().keys)
        if where.state(content_of(found[name].cards)) != state:
            old.append(name)
    return old


def main() -> int:
    """Signs what is out of date, or only names it."""
    parser = argparse.ArgumentParser(description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("--check", action="store_true", help="write nothing; exit with 1 if something is out of date")
    asked = parser.parse_args()
    old = stale()
    for name in old:
        print(name)
    if old and not asked.check:
        make_keys()
        sign_all(ROOT)
    return 1 if old and asked.check else 0


if __name__ == "__main__":
    sys.exit(main())
