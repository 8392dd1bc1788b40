"""Entries of the cache are whole or not there, stay within bounds, and stand in nobody's way."""

import errno
import os

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.build import cache
from benchleaf.build.fingerprint import digest, of_bytes

NAME, OTHER = digest("one"), digest("other")
DATA = {"text": ["Ω", "\udcff", ""], "number": 1, "nothing": None}


@pytest.fixture
def folder(tmp_path):
    """The folder of the cache, with one entry in it."""
    cache.write(tmp_path, NAME, DATA)
    return tmp_path.joinpath(*cache.FOLDER)


def names(folder):
    return sorted(path.name for path in folder.iterdir())


def test_what_is_kept_is_read_again(tmp_path, folder):
    assert cache.read(tmp_path, NAME) == DATA
    assert cache.read(tmp_path, OTHER) is None
    cache.write(tmp_path, NAME, [1])
    assert cache.read(tmp_path, NAME) == [1]


def test_version_control_does_not_see_it(folder):
    assert names(folder) == [".gitignore", NAME]
    assert (folder / ".gitignore").read_text() == "*\n"


@given(st.data())
def test_a_damaged_entry_is_none(tmp_path_factory, data):
    """Any byte changed, or any part cut off or put on, is found out (re-hashed on read)."""
    root = tmp_path_factory.mktemp("damaged")
    cache.write(root, NAME, DATA)
    file = root.joinpath(*cache.FOLDER, NAME)
    whole = file.read_bytes()
    at = data.draw(st.integers(0, len(whole) - 1))
    flip = data.draw(st.integers(1, 255))
    damaged = data.draw(
        st.sampled_from((whole[:at], whole[:at] + bytes([whole[at] ^ flip]) + whole[at + 1 :], whole + b" ", b""))
    )
    file.write_bytes(damaged)
    assert cache.read(root, NAME) is None


@pytest.mark.parametrize("content", [b"{", b"\xff", b"[" * 10])
def test_what_is_no_json_is_none(tmp_path, folder, content):
    (folder / NAME).write_bytes(of_bytes(content).encode() + b"\n" + content)
    assert cache.read(tmp_path, NAME) is None


def test_old_entries_go_when_there_are_too_many(tmp_path, folder, monkeypatch):
    monkeypatch.setattr(cache, "MOST_ENTRIES", 3)
    os.utime(folder / NAME, (1, 1))
    for age, name in enumerate("abcde"):
        cache.write(tmp_path, digest(name), name)
        os.utime(folder / digest(name), (1000 + age, 1000 + age))
    assert names(folder) == sorted([".gitignore", *map(digest, "cde")])
    assert [cache.read(tmp_path, digest(name)) for name in "abcde"] == [None, None, "c", "d", "e"]


def test_old_entries_go_when_they_take_too_much_room(tmp_path, folder, monkeypatch):
    monkeypatch.setattr(cache, "MOST_BYTES", 3000)
    os.utime(folder / NAME, (1, 1))
    cache.write(tmp_path, OTHER, "x" * 2000)
    os.utime(folder / OTHER, (2, 2))
    cache.write(tmp_path, digest("third"), "x" * 2000)
    assert names(folder) == sorted([".gitignore", digest("third")])


def test_an_entry_beyond_all_measure_is_not_kept(tmp_path, monkeypatch):
    monkeypatch.setattr(cache, "LARGEST_ENTRY", 100)
    cache.write(tmp_path, NAME, "x" * 100)
    assert not list(tmp_path.iterdir())


def test_only_own_files_are_deleted(tmp_path, folder, monkeypatch):
    monkeypatch.setattr(cache, "MOST_BYTES", 1)
    for name in ("notes.txt", NAME[:63], f"x{NAME}"):
        (folder / name).write_text("kept")
    (folder / f"{OTHER}-1-abandoned").write_text("half an entry")
    cache.write(tmp_path, OTHER, 1)
    assert names(folder) == sorted([".gitignore", "notes.txt", NAME[:63], f"x{NAME}", OTHER])


@pytest.mark.parametrize("part", [1, 2])
def test_a_link_to_elsewhere_is_not_followed(tmp_path, part):
    root, elsewhere = tmp_path / "ws", tmp_path / "elsewhere"
    elsewhere.mkdir()
    link = root.joinpath(*cache.FOLDER[:part])
    link.parent.mkdir(parents=True)
    link.symlink_to(elsewhere)
    cache.write(root, NAME, DATA)
    assert not list(elsewhere.iterdir())
    assert cache.read(root, NAME) is None


def test_a_place_that_takes_no_files_is_no_hindrance(tmp_path):
    (tmp_path / cache.FOLDER[0]).write_text("a file where a folder would be")
    cache.write(tmp_path, NAME, DATA)
    assert cache.read(tmp_path, NAME) is None


def test_a_full_disk_leaves_the_last_entry_and_nothing_else(tmp_path, folder, monkeypatch):
    def full(*_):
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr("pathlib.Path.replace", full)
    cache.write(tmp_path, NAME, "new")
    assert names(folder) == [".gitignore", NAME]
    assert cache.read(tmp_path, NAME) == DATA
