"""The names most like one that does not exist, and the one that was surely meant."""

from collections.abc import Iterable
from difflib import SequenceMatcher, get_close_matches
from typing import NamedTuple

_ALIKE = 0.6
_SURELY = 0.8
_AHEAD = 0.1


class Nearest(NamedTuple):
    """Names that are alike, best first; `meant` is the first where it stands out, else None."""

    names: tuple[str, ...] = ()
    meant: str | None = None

    @property
    def clause(self) -> str:
        """`; nearest: ...`, to end a sentence with; empty where nothing is alike."""
        return "; nearest: " + ", ".join(f"`{name}`" for name in self.names) if self.names else ""


def nearest(name: str, known: Iterable[str]) -> Nearest:
    """The known names that are most like this one, three at most."""
    if not name or len(name) > 100:
        return Nearest()
    by_small = {other.casefold(): other for other in known}
    small = name.casefold()
    names = get_close_matches(small, by_small, n=3, cutoff=_ALIKE)
    if not names:
        return Nearest()
    shares = [SequenceMatcher(None, other, small).ratio() for other in names]
    second = shares[1] if len(shares) > 1 else 0.0
    sure = shares[0] >= _SURELY and (shares[0] - second >= _AHEAD or shares[0] == 1.0)
    return Nearest(tuple(by_small[other] for other in names), by_small[names[0]] if sure else None)
