"""The two streams: data on standard output, everything said to a person on standard error, both always UTF-8."""

import io
import os
import sys
from collections.abc import Mapping
from typing import NamedTuple, TextIO

CLEAN, FAULTY, USED_WRONGLY, NOT_DONE = 0, 1, 2, 3
OWN_FAULT = 70
INTERRUPTED = 130
NOBODY_READS = 141


class NotDone(Exception):
    """Something could not be read or written; the text is a sentence for the user."""


class UsedWrongly(Exception):
    """The command line asks for what cannot be; the text is a sentence for the user."""


class Console(NamedTuple):
    """Where a command writes, whether people watch, and whether they may be asked."""

    out: TextIO
    err: TextIO
    colour: bool = False
    live: bool = False
    asks: bool = True

    def put(self, text: str) -> None:
        """Data: to standard output."""
        self.out.write(text)

    def say(self, sentence: str) -> None:
        """A message on a line of its own: to standard error."""
        self.err.write(f"benchleaf: {visible(sentence)}\n")
        self.err.flush()


def console(environment: Mapping[str, str]) -> Console:
    """The process's own streams.

    Colour only on a terminal that takes it, and never against NO_COLOR; `live` allows lines that are drawn over.
    """
    out, err = _as_utf_8(sys.stdout), _as_utf_8(sys.stderr)
    plain = bool(environment.get("NO_COLOR")) or environment.get("TERM") == "dumb"
    # Older Windows consoles print escape sequences as rubbish.
    able = os.name != "nt" or bool(environment.get("WT_SESSION") or environment.get("ANSICON"))
    return Console(out, err, able and not plain and out.isatty(), able and not plain and err.isatty())


def _as_utf_8(stream: TextIO | None) -> TextIO:
    if stream is None:
        return io.StringIO()
    if isinstance(stream, io.TextIOWrapper):
        # File names that are no UTF-8 arrive as lone surrogates; they must not stop a report.
        stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    return stream


def visible(text: str) -> str:
    """The text with every control character spelled out, so that no file can steer the terminal."""
    if text.isprintable():
        return text
    return "".join(
        character if character.isprintable() or character in " \u00a0\u202f" else _spelled(character)
        for character in text
    )


def _spelled(character: str) -> str:
    if character in "\n\t":
        return " "
    code = ord(character)
    return f"\\x{code:02x}" if code < 0x100 else f"\\u{code:04x}" if code < 0x10000 else f"\\U{code:08x}"
