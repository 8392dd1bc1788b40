"""A shop of four people with a signed list, and a way to sign as each of them on any day."""

import calendar
import os
import shutil
import time
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

import pytest

from benchleaf.edge import cli
from benchleaf.review.keys import from_seed, sealed

PHRASE = "correct horse battery"
PROCEDURE = "df-1/filter-clean"
FILE = "procedures/df-1/filter-clean.yaml"
MACHINE = "procedures/df-1/machine.yaml"
SHOP = "procedures/shop.yaml"
SIGNED = "procedures/df-1/signed/filter-clean"
PEOPLE = {
    "w-writer": ("W. Writer", ["writer", "reviewer"]),
    "r-reviewer": ("R. Reviewer", ["reviewer"]),
    "a-approver": ("A. Approver", ["approver", "reviewer"]),
    "b-both": ("B. Both", ["writer", "reviewer", "approver"]),
}


class Ran(NamedTuple):
    """What a command line came to."""

    code: int
    out: str
    err: str


def seed(name: str) -> bytes:
    """The seed of a person's key, the same each time."""
    return (name.encode() * 32)[:32]


def public(name: str) -> str:
    """A person's public key."""
    return from_seed(seed(name)).public


def people_yaml(extra: str = "", more_keys: str = "") -> str:
    """The people of the shop, as they stand in shop.yaml."""
    lines = ["people:"]
    for id_, (name, roles) in PEOPLE.items():
        lines.append(f"  {id_}: {{name: {name}, roles: [{', '.join(roles)}], keys: [{{key: '{public(id_)}'{extra}}}]}}")
    return "\n".join(lines) + f"\n{more_keys}"


@pytest.fixture(scope="session")
def keys(tmp_path_factory):
    """Key files of all people, of the root and of a stranger, with the file of their pass phrase."""
    folder = tmp_path_factory.mktemp("keys")
    (folder / "phrase").write_text(PHRASE + "\n", "utf-8")
    with pytest.MonkeyPatch.context() as patch:
        # A key file says how dear it is to open, and these are opened hundreds of times; test_envelope opens dear ones.
        patch.setattr("benchleaf.review.keys._COST", {"name": "scrypt", "n": 2, "r": 8, "p": 1})
        for name in (*PEOPLE, "root", "stranger", "other-root"):
            (folder / f"{name}.json").write_bytes(sealed(name, PHRASE, seed(name)))
    return folder


class Shelf:
    """Workspaces as they stood at some moment, each with its home, made once and copied for every test."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder

    def take(self, name: str, bench: "Bench", home: Path, make: Callable[[], None]) -> None:
        """Put the workspace of this name where the bench's is, `make` it first where nobody has."""
        kept = self._folder / name
        if not kept.exists():
            make()
            for part, place in (("ws", bench.root), ("home", home)):
                shutil.copytree(place, kept / part)
            return
        for part, place in (("ws", bench.root), ("home", home)):
            shutil.copytree(kept / part, place, dirs_exist_ok=True)


class Bench:
    """A workspace with signed people, and command lines run in it on a day (`2026-03-01`, or with a time)."""

    def __init__(
        self, root: Path, keys: Path, capfd: pytest.CaptureFixture[str], patch: pytest.MonkeyPatch, shelf: Shelf
    ) -> None:
        self.root, self.keys, self._capfd, self._patch, self._shelf = root, keys, capfd, patch, shelf

    def run(self, *arguments: str, day: str = "2026-03-01", answers: str = "") -> Ran:
        """Run a command line on a day; `answers` are typed."""
        moment = time.strptime(f"{day}T08:00:00"[:19], "%Y-%m-%dT%H:%M:%S")
        self._patch.setenv("SOURCE_DATE_EPOCH", str(calendar.timegm(moment)))
        reading, writing = os.pipe()
        os.write(writing, answers.encode())
        os.close(writing)
        with os.fdopen(reading, encoding="utf-8") as stream:
            self._patch.setattr("sys.stdin", stream)
            code = cli.main(arguments)
        return Ran(code, *self._capfd.readouterr())

    def sign(self, who: str, meaning: str, *more: str, day: str = "2026-03-01", answers: str = "") -> Ran:
        """Sign the procedure as somebody."""
        key = ("--key", str(self.keys / f"{who}.json"), "--passphrase-file", str(self.keys / "phrase"))
        return self.run("sign", PROCEDURE, "--meaning", meaning, *key, *more, day=day, answers=answers)

    def list_people(self, day: str = "2026-01-01", who: str = "root") -> Ran:
        """Sign the list of people."""
        key = ("--key", str(self.keys / f"{who}.json"), "--passphrase-file", str(self.keys / "phrase"))
        return self.run("sign", "--people", *key, day=day)

    def begin_released(self) -> None:
        """As `release`, for a workspace in which nothing has been done yet."""
        self._shelf.take("signed", self, self.root.parent / "home", self.release)

    def release(self, day: str = "2026-03-01") -> None:
        """Sign the procedure as ready, reviewed and approved."""
        for who, meaning in (("w-writer", "ready"), ("r-reviewer", "reviewed"), ("a-approver", "approved")):
            ran = self.sign(who, meaning, day=day)
            assert ran.code == 0, ran.err

    def edit(self, old: str, new: str, file: str = FILE) -> None:
        """Replace text in a file."""
        text = (self.root / file).read_text("utf-8")
        assert old in text
        (self.root / file).write_text(text.replace(old, new), "utf-8")

    def revise(self, revision: str, reason: str = "Better words") -> None:
        """Make the next revision of the procedure, with other words in it."""
        text = (self.root / FILE).read_text("utf-8")
        old = text.partition("revision: ")[2].partition("\n")[0]
        self.edit(f"revision: {old}", f"revision: {revision}")
        self.edit("before it fails", f"before it fails, as revision {revision} says")
        was = text.partition("reason: ")[2].partition("}")[0]
        self.edit(f"reason: {was}", f"reason: {reason}")

    def envelopes(self) -> list[Path]:
        """The files of the signatures, in order of their numbers."""
        return sorted((self.root / SIGNED).glob("*.json"), key=lambda path: path.stem.rpartition("-")[2])


@pytest.fixture(scope="session")
def shelf(tmp_path_factory):
    """What was made once."""
    return Shelf(tmp_path_factory.mktemp("shelf"))


@pytest.fixture
def bench(tmp_path, keys, capfd, monkeypatch, shelf, in_this_process):
    """A new workspace whose people are listed, signed, and trusted here."""
    home = tmp_path / "home"
    monkeypatch.setenv("BENCHLEAF_HOME", str(home))
    made = Bench(tmp_path / "ws", keys, capfd, monkeypatch, shelf)

    def begun():
        assert made.run("begin", str(made.root)).code == 0
        monkeypatch.chdir(made.root)
        with (made.root / SHOP).open("a", encoding="utf-8") as shop:
            shop.write(people_yaml())
        assert made.list_people().code == 0
        assert made.run("verify", "--trust", public("root")).code == 0

    shelf.take("begun", made, home, begun)
    monkeypatch.chdir(made.root)
    return made
