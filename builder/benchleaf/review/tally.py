"""What of a card touches safety, counted: for the person who is about to sign it."""

from collections import Counter
from collections.abc import Iterable, Mapping
from typing import Any

Data = Mapping[str, Any]
# In the order in which they are told.
WORDS = {
    "danger": "warnings with danger",
    "warning": "warnings with warning",
    "caution": "warnings with caution",
    "notice": "warnings with notice",
    "live": "steps of live work",
    "stays-live": "energies that stay live",
    "put-in": "steps put in by the compiler",
    "limits": "limits",
    "torques": "torques",
    "rests-on": "facts that nothing else confirms",
    "waivers": "findings waived",
}


def tally(cards: Iterable[Data]) -> dict[str, int]:
    """Counts by the keys of `WORDS`; of several cards the largest, since most of what they hold is the same."""
    each = [_of_card(card) for card in cards]
    return {name: max((one[name] for one in each), default=0) for name in WORDS}


def steps(card: Data) -> list[Data]:
    """All steps of a card's content, in printing order."""
    return [step for section in card.get("sections", ()) for step in section["steps"]]


def _of_card(card: Data) -> Counter[str]:
    found: Counter[str] = Counter()
    for step in steps(card):
        found.update(str(warning["word"]) for warning in step.get("warnings", ()))
        found["live"] += bool(step.get("live"))
        found["put-in"] += "inserted" in step
        found["limits"] += bool(step.get("reading", {}).get("band", {}).get("sentence"))
        found["torques"] += bool(step.get("tightening", {}).get("torque"))
    found["stays-live"] = sum(bool(hazard.get("stays_live")) for hazard in card.get("hazards", ()))
    found["rests-on"] = len(card.get("rests_on", ()))
    found["waivers"] = len(card.get("waivers", ()))
    return found
