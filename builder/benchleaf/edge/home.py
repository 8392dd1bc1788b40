"""The folder of a person's own, outside any workspace, where trusted root keys and the usual key lie; and questions."""

import os
import sys
import time
from collections.abc import Mapping
from getpass import getpass
from pathlib import Path

from benchleaf.edge.console import Console, NotDone

KEY = "key.json"


def home(environment: Mapping[str, str]) -> Path:
    """BENCHLEAF_HOME where that is set, else the usual place of the system for settings."""
    own = environment.get("BENCHLEAF_HOME")
    if own:
        return Path(own)
    if os.name == "nt" and environment.get("APPDATA"):
        return Path(environment["APPDATA"]) / "benchleaf"
    return Path(environment.get("XDG_CONFIG_HOME") or Path.home() / ".config") / "benchleaf"


def now(environment: Mapping[str, str]) -> str:
    """The time in UTC (RFC 3339); SOURCE_DATE_EPOCH sets it, for what must come out the same again."""
    epoch = environment.get("SOURCE_DATE_EPOCH", "")
    return time.strftime("%Y-%m-%dT%H:%M:%SZ", time.gmtime(int(epoch)) if epoch.isdecimal() else time.gmtime())


def asked(question: str, console: Console) -> str:
    """An answer of one line, without the spaces around it. Raises NotDone where nobody answers, or may be asked."""
    if not console.asks:
        raise NotDone(f"`--no-input` forbids to ask: {question}")
    console.say(question)
    line = sys.stdin.readline()
    if not line:
        raise NotDone("nobody answered; nothing was signed.")
    return line.strip()


def secret(question: str, file: str, console: Console) -> str:
    """A pass phrase: the first line of a file, or typed without being shown. Raises NotDone."""
    if file:
        try:
            return Path(file).read_text("utf-8").partition("\n")[0].rstrip("\r")
        except (OSError, UnicodeDecodeError) as error:
            raise NotDone(f"{file} could not be read.") from error
    if console.asks and sys.stdin.isatty():
        return getpass(f"{question} ")
    return asked(question, console)
