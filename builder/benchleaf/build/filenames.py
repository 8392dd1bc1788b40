"""How documents are called: `card.pdf`, or `card-KEY.pdf` for a class of machines with that key; sheets likewise."""

from collections.abc import Iterable

CARD, PDF, CHECKLIST, READING = "card.json", "card.pdf", "checklist.html", "reading-sheet.pdf"
# The pocket card on A4, to print, cut and fold; there is one only where a card is made for the pocket.
FOLD = "card-to-fold.pdf"
FILES = (CARD, PDF, CHECKLIST, READING, FOLD)

# The sheets of a machine, which lie beside the folders of its procedures; the picking list is for all its classes.
ISOLATION, ISOLATION_PAGE = "isolation-sheet.pdf", "isolation-sheet.html"
TAG, MACHINE, LIMITS, PICKING = "out-of-service-tag.pdf", "machine-sheet.pdf", "limits-sheet.pdf", "picking-list.pdf"
# What all sheets of a machine said when they were last made, as a digest: a kind that is not made again may be stale.
STATE = ".benchleaf-sheets"
SHEETS = (ISOLATION, ISOLATION_PAGE, TAG, MACHINE, LIMITS, PICKING)


def named(file: str, key: str) -> str:
    """The name of one of `FILES` or `SHEETS` for a class of machines."""
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


def sheets_in(names: Iterable[str]) -> tuple[tuple[str, str], ...]:
    """The sheets of a machine among the files of its folder: each as one of `SHEETS` with the key of its class."""
    found = []
    for name in sorted(names):
        for sheet in SHEETS:
            stem, _, ending = sheet.partition(".")
            if name == sheet or (name.startswith(f"{stem}-") and name.endswith(f".{ending}")):
                found.append((sheet, name.removesuffix(f".{ending}").removeprefix(stem).removeprefix("-")))
    return tuple(found)
