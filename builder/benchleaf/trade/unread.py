"""A text that names nothing in a table of the trade: why, and the nearest that it does hold."""

from typing import NamedTuple


class Unread(NamedTuple):
    """Why a designation is not read: a sentence, the cure, and what the whole text should be where that is sure."""

    sentence: str
    mend: str
    change: str | None = None


def proposed(sentence: str, nearest: tuple[str, ...]) -> Unread:
    """With the nearest right designations as the cure; one alone is what was meant."""
    if len(nearest) == 1:
        return Unread(sentence, f"Write `{nearest[0]}`.", nearest[0])
    return Unread(sentence, "Write one of " + ", ".join(f"`{each}`" for each in nearest) + "." if nearest else "")
