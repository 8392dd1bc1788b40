"""A source file's bytes to text, lines and digest; what no editor should have left in it is told as findings."""

import hashlib
import re
import stat
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.source import rules_text as rules

LARGEST = 1 << 20
BYTE_ORDER_MARK = "\ufeff"
_UTF_16 = (b"\xff\xfe", b"\xfe\xff")

# C0 and C1 controls, the line separators that YAML 1.1 and 1.2 count differently, marks that turn the direction of
# what follows (a reviewer would read something else than the compiler), byte order marks inside the text, lone
# surrogates and the two noncharacters.
_UNWELCOME = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\u202a-\u202e\u2066-\u2069\ufeff\ud800-\udfff\ufffe\uffff]"
)
# Spaces that are none to YAML, where one is due: before a key, or between its colon and its value.
_FALSE_SPACE = r"(?m)^[ \t-]*(?:[\w.-]+:)?([\u00a0\u1680\u2000-\u200b\u202f\u205f\u3000])"
_NAMES = {
    "\x00": "a NUL character",
    "\x0b": "a vertical tab",
    "\x0c": "a page break",
    "\x1b": "an escape character",
    "\x7f": "a delete character",
    "\x85": "a next-line character",
    "\u2028": "a line separator",
    "\u2029": "a paragraph separator",
    "\ufeff": "a byte order mark",
}


class Unreadable(Exception):
    """A file or folder that the system does not let us read; `reason` is a plain clause such as `it does not exist`."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(f"{path} cannot be read: {reason}")
        self.path = path
        self.reason = reason


class Text(NamedTuple):
    """A file's text with line ends as `\\n` and without byte order mark, its lines, and the SHA-256 of its bytes."""

    file: str
    text: str
    lines: tuple[str, ...]
    digest: str


def load(path: Path, file: str) -> Text | tuple[Finding, ...]:
    """Read the file at `path`, which findings call `file`: its text, or what stands in the way.

    Raises Unreadable if the system refuses.
    """
    data = _bytes(path)
    if len(data) > LARGEST:
        return (
            rules.TOO_LARGE.at(Span(file), "This file is larger than 1 MiB, the most that a source file may hold."),
        )
    # Plain letters in UTF-16 are every other byte a NUL, also where the byte order mark is missing.
    if data.startswith(_UTF_16) or data[:4].count(0) == 2:
        return (rules.NOT_UTF_8.at(Span(file), "This file is saved as UTF-16; source files are UTF-8."),)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError as error:
        return (_not_utf_8(data, error.start, file),)
    text = normal(text)
    findings = unwelcome(text, file)
    if findings:
        return findings
    return Text(file, text, tuple(text.split("\n")), hashlib.sha256(data).hexdigest())


def normal(text: str) -> str:
    """The text without a leading byte order mark and with every line end as `\\n`; columns stay what editors show."""
    text = text.removeprefix(BYTE_ORDER_MARK)
    return text.replace("\r\n", "\n").replace("\r", "\n") if "\r" in text else text


def unprintable(text: str) -> str:
    """Name of the first character that must not stand in a text; empty if there is none."""
    match = _UNWELCOME.search(text)
    return f"{_name(match.group())} (U+{ord(match.group()):04X})" if match else ""


def unwelcome(text: str, file: str) -> tuple[Finding, ...]:
    """One finding for each sort of character that must not stand in a source file, at its first place."""
    findings: dict[str, Finding] = {}
    for match in _UNWELCOME.finditer(text):
        name = _name(match.group())
        if name not in findings:
            sentence = f"Here stands {name} (U+{ord(match.group()):04X}), which most editors do not show."
            findings[name] = rules.UNWELCOME_CHARACTER.at(_place(text, file, match.start()), sentence)
    false_space = None if text.isascii() else re.search(_FALSE_SPACE, text)
    if false_space:
        sentence = f"A special space (U+{ord(false_space[1]):04X}) stands here where an ordinary one is due."
        span = _place(text, file, false_space.start(1))
        findings["space"] = rules.UNWELCOME_CHARACTER.at(span, sentence, mend="type an ordinary space in its place")
    return tuple(findings.values())


def _place(text: str, file: str, index: int) -> Span:
    line = text.count("\n", 0, index) + 1
    column = index - text.rfind("\n", 0, index)
    return Span(file, line, column, line, column + 1)


def _name(character: str) -> str:
    if "\u202a" <= character <= "\u2069":
        return "a mark that turns the direction of the text"
    return _NAMES.get(character, "a control character")


def _bytes(path: Path) -> bytes:
    try:
        # Opening a pipe or a device could wait for ever.
        if not stat.S_ISREG(path.stat().st_mode):
            raise Unreadable(path, "it is a folder" if path.is_dir() else "it is not a plain file")
        with path.open("rb") as stream:
            return stream.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        raise Unreadable(path, reason(error)) from error


def reason(error: OSError | ValueError) -> str:
    """Why the system refused, as a plain clause."""
    if isinstance(error, FileNotFoundError):
        return "it does not exist"
    if isinstance(error, PermissionError):
        return "permission is denied"
    return (getattr(error, "strerror", None) or str(error)).lower()


def _not_utf_8(data: bytes, start: int, file: str) -> Finding:
    before = normal(data[:start].decode("utf-8"))
    line = before.count("\n") + 1
    column = len(before) - before.rfind("\n")
    return rules.NOT_UTF_8.at(
        Span(file, line, column, line, column + 1),
        f"The byte 0x{data[start]:02X} here is not UTF-8 text.",
    )
