"""How the documents of a procedure are called: `card.pdf`, or `card-KEY.pdf` for a class of machines with that key."""

from collections.abc import Iterable

CARD, PDF, CHECKLIST = "card.json", "card.pdf", "checklist.html"
FILES = (CARD, PDF, CHECKLIST)


def named(file: str, key: str) -> str:
    """The name of one of `FILES` for a class of machines."""
    stem, _, ending = file.partition(".")
    return f"{stem}-{key}.{ending}" if key else file


def keys(names: Iterable[str]) -> tuple[str, ...]:
    """The classes of which a card is among the files of a folder, in alphabetical order."""
    stem, _, ending = CARD.partition(".")
    return tuple(
        sorted(
            name.removesuffix(f".{ending}").removeprefix(stem).removeprefix("-")
            for name in names
            if name == CARD or (name.startswith(f"{stem}-") and name.endswith(f".{ending}"))
        )
    )
