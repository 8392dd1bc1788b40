"""The step graph of a procedure: stations in written order, and the ways from each."""

from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.procedure import Step

STOP = "stop"
END = "end"
OUTCOME = "outcome:"


class Way(NamedTuple):
    """One way out of a station.

    `side` is the answer (`next`, `inside`, `below`, an answer of `ask`, ...); `to` is a station key, `outcome:KEY`,
    `stop` (stop and ask), or `end` where the writer left no way on. `at_most` bounds how often it may be taken
    (0: unbounded).
    """

    side: str
    to: str
    at_most: int = 0
    span: Span = Span("")


class Station(NamedTuple):
    """A written step in place. `key` is its id, or `s` and its position among the written steps (blocks unfolded)."""

    key: str
    step: Step
    ways: tuple[Way, ...]
    block: str = ""


class Flow(NamedTuple):
    """The whole graph. `stations` are in written order; the first is the entry."""

    stations: tuple[Station, ...]

    def station(self, key: str) -> Station:
        """The station with this key; KeyError when there is none."""
        for station in self.stations:
            if station.key == key:
                return station
        raise KeyError(key)


def outcome_of(to: str) -> str:
    """The outcome key that a way leads to, or empty text."""
    return to.removeprefix(OUTCOME) if to.startswith(OUTCOME) else ""
