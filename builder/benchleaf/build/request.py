"""What is asked of a run, and how it tells of its progress."""

from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

# Stage (as `pipeline` numbers them), what is being worked on, how many of how many are done.
Tell = Callable[[str, str, int, int], None]


def silence(stage: str, what: str, done: int, all_: int) -> None:
    """Tell nobody."""


class Making(NamedTuple):
    """How documents are made: where to, which kinds, all or nothing, in which theme; `paper`, `type_size` and
    `margins` beat the shop's, and `language` (a language tag) beats those of shop and procedures.

    `jobs` is the most processes to draw with; 0 means one for each processor. `home` is the person's own folder, in
    which trusted root keys stand; without it none is trusted.
    """

    out: Path
    kinds: tuple[str, ...] = ("pdf", "html")
    together: bool = False
    paper: str = ""
    type_size: str = ""
    margins: str = ""
    theme: str = "daylight"
    jobs: int = 0
    home: Path | None = None
    language: str = ""


class Request(NamedTuple):
    """A workspace, the part of it that is asked for, and how documents are to be made; without that, it is a check.

    `paths` are files or folders in the workspace; none means all of it. `today` is a date as in ISO 8601. `remember`
    lets a check tell again what an earlier one found, and keep what it finds.
    """

    root: Path
    today: str
    paths: tuple[Path, ...] = ()
    making: Making | None = None
    remember: bool = False
