"""Stage 8: documents to their places in the output folder, one procedure at a time or all together."""

from collections.abc import Iterable
from pathlib import Path

from benchleaf.build.documents import Documents
from benchleaf.build.filenames import FILES, PICKING, STATE, keys, named, sheets_in
from benchleaf.build.write import Exchange, exchange


def deliver(out: Path, drawn: Iterable[Documents], *, together: bool) -> tuple[Documents, ...]:
    """Put documents in place; those that could not be drawn keep what they had.

    Each procedure's files change at once; `together` changes the files of all at once, and none if one could not be
    drawn. The contents are left out of what is returned, since all of them may be more than memory holds.

    Raises Unwritable.
    """
    done = []
    if together:
        with exchange(out) as waiting:
            for documents in drawn:
                _put(out, waiting, documents)
                done.append(documents._replace(files={}))
            if any(documents.findings for documents in done):
                waiting.give_up()
    else:
        for documents in drawn:
            with exchange(out) as waiting:
                _put(out, waiting, documents)
            done.append(documents._replace(files={}))
    return tuple(done)


def replace(out: Path, name: str, content: bytes) -> None:
    """Put a single file in place. Raises Unwritable."""
    with exchange(out) as waiting:
        waiting.put(name, content)


def _put(out: Path, waiting: Exchange, documents: Documents) -> None:
    if not documents.cards:
        _put_sheets(out, waiting, documents)
        return
    mine = [card.machine.applies.key for card in documents.cards]
    for key in mine:
        card, *others = (named(name, key) for name in FILES)
        changed = waiting.put(f"{documents.folder}/{card}", documents.files[card])
        for name in others:
            if name in documents.files:
                waiting.put(f"{documents.folder}/{name}", documents.files[name])
            elif changed:
                # A document that was not made this time would show an earlier state of the card beside the new ones.
                waiting.drop(f"{documents.folder}/{name}")
    # Nobody shall go on working by the card of a class that is no more.
    for key in keys(path.name for path in (out / documents.folder).glob("*.json")):
        for name in FILES if key not in mine else ():
            waiting.drop(f"{documents.folder}/{named(name, key)}")


def _put_sheets(out: Path, waiting: Exchange, documents: Documents) -> None:
    """Put the sheets of a machine in place, and take away those that would show an earlier state beside them."""
    folder, made = documents.folder, documents.files
    for name, content in made.items():
        waiting.put(f"{folder}/{name}", content)
    if not documents.state:
        return
    changed = waiting.put(f"{folder}/{STATE}", documents.state.encode())
    classes = {key for sheet, key in sheets_in(made) if sheet != PICKING}
    kinds_made = {name.rpartition(".")[2] for name in made}
    for sheet, key in sheets_in(path.name for path in (out / folder).glob("*.*")):
        name = named(sheet, key)
        gone = sheet != PICKING and key not in classes
        if gone or (changed and name.rpartition(".")[2] not in kinds_made):
            waiting.drop(f"{folder}/{name}")
