"""Bytes to text: encoding, size, line ends, what nobody sees, and files that cannot be read."""

import hashlib
import os
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.base.finding import Finding
from benchleaf.source.text import LARGEST, Text, Unreadable, load, normal, unwelcome


@pytest.fixture
def loaded(tmp_path):
    """Loads bytes as a file of the workspace."""

    def of(data):
        path = tmp_path / "a.yaml"
        path.write_bytes(data)
        return load(path, "procedures/a.yaml")

    return of


def told(found):
    assert not isinstance(found, Text)
    return [(one.slug, one.span.line, one.span.column) for one in found]


def test_text_lines_and_digest(loaded):
    data = "a: Ω\r\nb: 2\rc: 3\n".encode()
    assert loaded(data) == Text(
        "procedures/a.yaml", "a: Ω\nb: 2\nc: 3\n", ("a: Ω", "b: 2", "c: 3", ""), hashlib.sha256(data).hexdigest()
    )


def test_byte_order_mark_is_taken_off(loaded):
    assert loaded(b"\xef\xbb\xbfa: 1\n").text == "a: 1\n"


def test_size(loaded):
    assert isinstance(loaded(b"#" * LARGEST), Text)
    assert told(loaded(b"#" * (LARGEST + 1))) == [("source.too-large", 1, 1)]


@pytest.mark.parametrize(
    ("data", "line", "column"),
    [
        (b"a: \xb5m\n", 1, 4),
        ("a: Ω\nb: ".encode() + b"\xff\n", 2, 4),
        (b"\xef\xbb\xbfa: \xe2\x82\n", 1, 4),
        ("é\r\né".encode() + b"\xc3", 2, 2),
    ],
)
def test_the_place_of_a_byte_that_is_no_utf_8(loaded, data, line, column):
    assert told(loaded(data)) == [("source.not-utf-8", line, column)]


def test_the_byte_itself_is_named(loaded):
    assert loaded(b"a: \xb5m\n")[0].sentence == "The byte 0xB5 here is not UTF-8 text."


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_utf_16_is_named(loaded, encoding):
    (finding,) = loaded("a: Ω\n".encode(encoding))
    assert finding.slug == "source.not-utf-8"
    assert "UTF-16" in finding.sentence


@pytest.mark.parametrize(
    ("text", "place", "name"),
    [
        ("a: \x00\n", (1, 4), "a NUL character (U+0000)"),
        ("a: b\n\x0cc: d\n", (2, 1), "a page break (U+000C)"),
        ("é\x1b[31m\n", (1, 2), "an escape character (U+001B)"),
        ("a\x85b\n", (1, 2), "a next-line character (U+0085)"),
        ("a\u2028b\n", (1, 2), "a line separator (U+2028)"),
        ("a: \u202eb\n", (1, 4), "a mark that turns the direction of the text (U+202E)"),
        ("a: \u2067b\n", (1, 4), "a mark that turns the direction of the text (U+2067)"),
        ("a: b\ufeff\n", (1, 5), "a byte order mark (U+FEFF)"),
    ],
)
def test_characters_that_nobody_sees(text, place, name):
    (finding,) = unwelcome(text, "a.yaml")
    assert finding.slug == "source.unwelcome-character"
    assert (finding.span.line, finding.span.column) == place
    assert name in finding.sentence


def test_each_sort_is_told_once():
    findings = unwelcome("\x00a\x00\n\x01\x02\u202e\n", "a.yaml")
    assert [(one.span.line, one.span.column) for one in findings] == [(1, 1), (2, 1), (2, 3)]


def test_ordinary_text_of_many_languages_is_welcome():
    assert unwelcome("42 N·m ≤ 5 µm – “quoted”\u00a0%, 漢字 עברית\u200f نیم\u200cفاصله 😀\n\tx\n", "a.yaml") == ()


@given(st.text())
def test_normal_text_has_one_sort_of_line_end(text):
    assert "\r" not in normal(text)
    assert normal(text).split("\n") == text.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n").split("\n")
    assert all(isinstance(one, Finding) for one in unwelcome(normal(text), "a.yaml"))


def test_files_that_cannot_be_read(tmp_path):
    with pytest.raises(Unreadable) as caught:
        load(tmp_path / "none.yaml", "none.yaml")
    assert caught.value.path == tmp_path / "none.yaml"
    assert caught.value.reason == "it does not exist"
    with pytest.raises(Unreadable, match="it is a folder"):
        load(tmp_path, ".")
    with pytest.raises(Unreadable):
        load(tmp_path / "a\0b", "a")


def test_a_device_is_not_waited_for():
    with pytest.raises(Unreadable, match="it is not a plain file"):
        load(Path(os.devnull), "a.yaml")


def test_denied_permission_is_told_plainly(tmp_path, monkeypatch):
    """Made by hand, since an administrator may read everything."""
    path = tmp_path / "a.yaml"
    path.write_text("a: 1\n")

    def deny(self, *_args, **_kwargs):
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(type(path), "open", deny)
    with pytest.raises(Unreadable, match="permission is denied"):
        load(path, "a.yaml")
