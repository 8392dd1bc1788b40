"""The whole way from a workspace to its documents, as the list of its stages.

The numbers are those that progress, docstrings and DEVELOPERS.md use.
"""

from typing import TYPE_CHECKING, NamedTuple

from benchleaf.build import parts, remembered
from benchleaf.build.gather import gather
from benchleaf.build.judge import judge, verdict
from benchleaf.build.request import Request, Tell
from benchleaf.build.verdict import Verdict
from benchleaf.render.fault import ThemeFault
from benchleaf.source.workspace import SIGNED, SOURCES

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence
    from pathlib import Path

    from benchleaf.base.finding import Finding
    from benchleaf.build.gather import Key, Shelf
    from benchleaf.build.judge import Judged
    from benchleaf.render.theme import Theme
    from benchleaf.review.stamp import Stamp

    Signed = tuple[Mapping[Key, Stamp], Mapping[str, tuple[Finding, ...]]]


class Made(NamedTuple):
    """What a run came to. `built` and `orphans` are folders below the output folder.

    Orphans hold documents of procedures that are in the workspace no more; `lacking` says what must be installed
    before the missing documents can be made (empty: nothing is missing).
    """

    verdict: Verdict
    built: tuple[str, ...] = ()
    orphans: tuple[str, ...] = ()
    lacking: str = ""


def run(request: Request, tell: Tell) -> Made:
    """Check what is asked for and, if that is asked as well, build what nothing stops.

    Raises Unreadable, NoSource, Unwritable and ThemeFault for a broken theme that is not the workspace's.
    """
    # 1 survey, 2 read, 3 assemble: which files belong, what they say, what it means.
    shelf = gather(request)
    # 4 passes, 5 waivers: what is wrong, and what of that somebody answers for.
    known = parts.of_request(request)
    judgement = judge(shelf, tell, known)
    told = verdict(shelf, judgement)
    making = request.making
    if making is None:
        if request.remember:
            remembered.keep(request, shelf.survey, shelf.files(), told)
            known.keep()
        return Made(told)

    # Drawing takes libraries that cost half a second, and that a check must work without.
    from benchleaf.build import catalogue, delivery, documents, sheets
    from benchleaf.build.write import output

    try:
        studio = documents.studio(making, request.root)
        if making.together and (told.failed() or studio.lacking):
            return Made(told, lacking=studio.lacking)
        with output(making.out):
            # 6 compile, 7 render, 8 write: from what nothing stops to documents in their place.
            ready = [one for one in judgement.judged if shelf.is_asked(one.standing.file) and one.standing.ready]
            marks, faults = _signed(ready, shelf, studio.theme, making.home)
            told = told.plus(faults)
            ready = [one for one in ready if one.standing.file not in faults]
            around = sheets.jobs(judgement, shelf, studio)
            drawn = documents.draw_all(ready, shelf, studio, tell, around, marks)
            delivered = delivery.deliver(making.out, drawn, together=making.together)
            told = told.plus({one.file: one.findings for one in delivered if one.findings})
            if making.together and told.failed():
                return Made(told)
            # 9 index: every procedure with the documents that it has.
            cards = {one.folder: one.cards for one in delivered if one.cards}
            fresh = frozenset(f"{one.folder}/{name}" for one in delivered for name in one.sheets)
            page = catalogue.catalogue(
                making.out, judgement, shelf, catalogue.Fresh(cards, fresh), studio.theme, studio.language
            )
            delivery.replace(making.out, catalogue.INDEX, page)
        return Made(told, tuple(cards), catalogue.orphans(making.out, shelf), studio.lacking)
    except ThemeFault as fault:
        return Made(told.plus(documents.broken(fault, request.root)))


def _signed(ready: "Sequence[Judged]", shelf: "Shelf", theme: "Theme", home: "Path | None") -> "Signed":
    """What signatures put on cards, and what is wrong; the library for them is loaded only where there are any."""
    if not any(shelf.root.glob(f"{SOURCES}/*/{SIGNED}")):
        return {}, {}
    from benchleaf.build.standing import stamps

    return stamps(ready, shelf, theme, home)
