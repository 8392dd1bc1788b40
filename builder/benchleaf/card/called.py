"""What a card calls the isolators that it locks: its facts know keys only, its steps say the names."""

from benchleaf.card.model import Card
from benchleaf.safety.sentences import blanks

_SENTENCES = ("unlock", "tag-only", "lock")


def isolators(card: Card) -> dict[str, str]:
    """The name of each isolator that a step locks or frees, by key.

    The card is in English, fresh or read back as plain data. A step in other words than ours names none.
    """
    found = {}
    for step in (step for step in card.steps if len(step.facts.locks) == 1):
        said = next(filter(None, (blanks(key, step.command) for key in _SENTENCES)), None)
        if said:
            found[step.facts.locks[0]] = said["condition"]
    return found
