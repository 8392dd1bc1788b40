"""Where the answers of a step lead, in numbers that people see."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.card.bands import edges
from benchleaf.card.records import Choice
from benchleaf.card.wording import has_word, word
from benchleaf.model.flow import STOP, Way, outcome_of
from benchleaf.model.limit import Limit
from benchleaf.model.plan import Planned
from benchleaf.passes.base import Case
from benchleaf.trade.numbers import printed

# Answers that lead to 'stop and ask' unless written; the card says so once, at its head.
QUIET = frozenset({"reversed", "unsteady", "too_close", "cant_reach"})


class Numbers(NamedTuple):
    """Numbers of the steps and outcomes by key, titles of the outcomes, and the step printed after each."""

    steps: Mapping[str, int]
    outcomes: Mapping[str, int]
    titles: Mapping[str, str]
    after: Mapping[str, str]


def choices(planned: Planned, numbers: Numbers, labels: Mapping[str, str]) -> tuple[Choice, ...]:
    """Where the answers lead; a single way to the step printed next needs no words."""
    shown = [way for way in planned.ways if not (way.to == STOP and way.side in QUIET) and way.to != "end"]
    onward = numbers.after.get(planned.key, "")
    role = planned.inserted.role if planned.inserted is not None else ""
    if len(shown) == 1 and shown[0].to == onward and shown[0].side in ("next", "inside", "then"):
        return ()
    return tuple(_choice(way, onward, role, numbers, labels) for way in shown)


def _choice(way: Way, onward: str, role: str, numbers: Numbers, labels: Mapping[str, str]) -> Choice:
    label = labels.get(way.side) or _said(way.side, role)
    outcome = outcome_of(way.to)
    if way.to == STOP:
        return Choice(way.side, label, "stop")
    if outcome:
        return Choice(
            way.side,
            label,
            "outcome",
            outcome,
            numbers.outcomes.get(outcome, 0),
            numbers.titles.get(outcome, ""),
            way.at_most,
        )
    kind = "next" if way.to == onward else "step"
    return Choice(way.side, label, kind, way.to, numbers.steps.get(way.to, 0), "", way.at_most)


def _said(side: str, role: str) -> str:
    """The words for an answer; some roles of inserted steps have words of their own."""
    key = next((each for each in (f"{side}-{role}", side) if has_word("side", each)), "")
    return word("side", key, low="", high="") if key else side


def edge_labels(case: Case, limit: Limit | None) -> dict[str, str]:
    """The words for below and above a limit, with its numbers."""
    if limit is None:
        return {}
    low, _, high = edges(limit)
    found = {}
    if low is not None:
        found["below"] = word("side", "below", low=printed(low, case.shop.units, "low"), high="")
    if high is not None:
        found["above"] = word("side", "above", high=printed(high, case.shop.units, "high"), low="")
    return found
