"""The picking list of chosen procedures, which may belong to several machines."""

from collections.abc import Sequence

from benchleaf.build.gather import gather
from benchleaf.build.judge import Judged, judge
from benchleaf.build.request import Request, Tell
from benchleaf.card.compile import compile_card
from benchleaf.card.sheet_picking import Job, PickingList, picking_list
from benchleaf.model.shop import Shop


def picking(request: Request, tell: Tell, paper: str = "") -> PickingList | None:
    """The list of all procedures that are asked for; None where the shop itself cannot be read for its errors.

    Raises Unreadable, and NoSource for a path that is none of the workspace.
    """
    shelf = gather(request)
    shop = shelf.shop.record
    if shop is None:
        return None
    judged = [one for one in judge(shelf, tell).judged if shelf.is_asked(one.standing.file)]
    return picking_of(judged, shop._replace(paper=paper) if paper else shop)


def picking_of(judged: Sequence[Judged], shop: Shop) -> PickingList:
    """The list of procedures; those that something stops are named in it as left out."""
    ready = [
        Job(held.case, held.facts, compile_card(held.case, held.facts))
        for one in judged
        if one.standing.ready
        for held in one.classes
    ]
    return picking_list(ready, shop, ["/".join(one.key) for one in judged if not one.standing.ready])
