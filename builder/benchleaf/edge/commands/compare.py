"""`benchleaf compare`: what changed in meaning between two revisions or files; what touches safety comes first."""

import json
import os
from argparse import ArgumentParser, Namespace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, Console, NotDone, UsedWrongly, visible
from benchleaf.edge.progress import Progress

if TYPE_CHECKING:
    from benchleaf.build.sides import Side
    from benchleaf.review.difference import Change

FORMAT = "benchleaf/compare/1"
_EXAMPLE = """A side is a procedure (MACHINE/ID or its file) as it stands now, MACHINE/ID@REVISION as it was signed, or
a file: a signature, a card as data, a bench card as PDF. With one side, it is compared with its last release. Numbers
of steps are left out of account: a step that only moved down because another was put in has not changed.

examples:
  benchleaf compare rc-48/no-drive
  benchleaf compare rc-48/no-drive@B rc-48/no-drive@C
  benchleaf compare old/card.pdf out/rc-48/no-drive/card.json --format json
  benchleaf compare rc-48/no-drive --packet review
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument("sides", nargs="+", metavar="SIDE", help="one side, or the old and the new one")
    parser.add_argument("--packet", default="", metavar="DIR", help="make the review packet (HTML and PDF) in a folder")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="how differences are written")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    from benchleaf.build.sides import NoSide, sides
    from benchleaf.review.difference import compared
    from benchleaf.review.faults import Damaged

    if len(asked.sides) > 2:
        raise UsedWrongly("two sides are compared, and no more")
    progress = Progress(console)
    try:
        root = work.workspace(())[0]
        old, new = work.guarded(lambda: sides(root, work.today(), asked.sides, progress), progress)
    except NoSide as error:
        raise UsedWrongly(str(error)) from error
    except Damaged as error:
        raise NotDone(f"it can't be compared: {error}.") from error
    changes = compared(old.cards, new.cards)
    if asked.packet:
        from benchleaf.edge.commands import compare_packet

        folder = Path(os.path.abspath(asked.packet))
        return compare_packet.make(root, folder, old, new, changes, console, progress)
    if asked.format == "json":
        console.put(json.dumps(_data(old, new, changes), ensure_ascii=False, indent=2) + "\n")
    else:
        console.put("".join(f"{visible(line)}\n" for line in lines(old, new, changes)))
    return CLEAN


def lines(old: "Side", new: "Side", changes: "tuple[Change, ...]") -> list[str]:
    """The differences as text, those that touch safety first."""
    from benchleaf.review.difference import in_words

    safe = [change for change in changes if change.safety]
    rest = [change for change in changes if not change.safety]
    told = [f"from {old.name} to {new.name}"]
    if not changes:
        return [*told, "nothing has changed in meaning."]
    for words, group in (("differences that touch safety", safe), ("other differences", rest)):
        told.append(f"{words}: {len(group)}")
        told += [f"  {in_words(change)}" for change in group]
    return told


def _data(old: "Side", new: "Side", changes: "tuple[Change, ...]") -> dict[str, Any]:
    safe = sum(change.safety for change in changes)
    return {
        "format": FORMAT,
        "old": {"name": old.name, "revision": old.revision},
        "new": {"name": new.name, "revision": new.revision},
        "counts": {"safety": safe, "others": len(changes) - safe},
        "differences": [change._asdict() for change in changes],
    }
