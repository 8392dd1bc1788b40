"""The independent verifier: what of a card can't be confirmed from the facts that the card itself carries.

It shares no code with what makes cards. It reads plain card data, follows every path in its own loop, and answers the
eight points of POINTS.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from benchleaf.card.model import Card, plain
from benchleaf.card.proof_battery import battery_doubts
from benchleaf.card.proof_cone import Group
from benchleaf.card.proof_doubts import POINTS, Doubt, Passed, told
from benchleaf.card.proof_ends import end_doubts, left_doubts, path_doubts
from benchleaf.card.proof_facts import Energy, Sheet
from benchleaf.card.proof_faults import fault_doubts, lead_doubts
from benchleaf.card.proof_flow import closure, conditions_of, isolators
from benchleaf.card.proof_moves import access_doubts, isolator_doubts, loose_doubts, move_doubts, power_doubts
from benchleaf.card.proof_order import order_doubts
from benchleaf.card.proof_reach import Meeting, doubts_of, meetings
from benchleaf.card.proof_read import read_sheet
from benchleaf.card.proof_said import said_doubts
from benchleaf.card.proof_stand import Standing
from benchleaf.card.proof_text import text_doubts, together_doubts
from benchleaf.card.proof_walk import Tangled

__all__ = ["POINTS", "Doubt", "Passed", "told", "verify", "verify_plain"]


def verify(card: Card, written: Sequence[tuple[str, str]] = ()) -> tuple[Doubt, ...]:
    """All that can't be confirmed of a card, by point, then step; empty when the card is confirmed.

    `written` are key and command of the writer's steps in order; without it their wording is not compared.
    """
    return verify_plain(
        {name: plain(getattr(card, name)) for name in ("facts", "hazards", "sections", "outcomes")}, written
    )


def verify_plain(card: Mapping[str, Any], written: Sequence[tuple[str, str]] = ()) -> tuple[Doubt, ...]:
    """As `verify`, of a card's plain data, as it stands in card.json."""
    sheet = read_sheet(card)
    if not sheet.steps:
        return (Doubt(4, "", 0, "", "The card has no steps."),)
    doubts = [*_all(sheet, written)]
    return tuple(sorted(dict.fromkeys(doubts), key=lambda doubt: (doubt.point, doubt.number or len(sheet.steps) + 1)))


def _all(sheet: Sheet, written: Sequence[tuple[str, str]]) -> Iterator[Doubt]:
    standing = Standing(sheet)
    yield from _energies(sheet)
    yield from order_doubts(sheet)
    yield from access_doubts(sheet, standing)
    yield from loose_doubts(sheet, standing)
    yield from path_doubts(sheet)
    yield from end_doubts(sheet, standing)
    yield from move_doubts(sheet)
    yield from power_doubts(sheet)
    yield from together_doubts(sheet)
    if written:
        yield from text_doubts(sheet, written)
    yield from isolator_doubts(sheet)
    yield from fault_doubts(sheet)
    yield from battery_doubts(sheet)
    yield from lead_doubts(sheet)
    yield from said_doubts(sheet)


def _energies(sheet: Sheet) -> Iterator[Doubt]:
    """Points 1, 4, 5 and 6 energy by energy; those that hang on the same conditions share one walk."""
    met = {key: _met(sheet, energy) for key, energy in sheet.energies.items()}
    groups: dict[frozenset[str], list[str]] = {}
    for key, energy in sheet.energies.items():
        if met[key] or (not energy.stays_live and isolators(sheet, key)):
            groups.setdefault(conditions_of(sheet, closure(sheet, key)) | _covers(met[key]), []).append(key)
    for watched, keys in groups.items():
        family = {name for key in keys for name in closure(sheet, key)}
        try:
            ordered = tuple(key for key in sheet.energies if key in family)
            group = Group(sheet, tuple(keys), ordered, watched, _trusted(met))
            for key in keys:
                yield from doubts_of(sheet, group, key, met[key])
                yield from left_doubts(sheet, group, key)
        except Tangled:
            for key in keys:
                yield Doubt(
                    1, "", 0, key, f"So much decides about the {sheet.energies[key].name} that nobody can prove it."
                )


def _met(sheet: Sheet, energy: Energy) -> tuple[Meeting, ...]:
    """All meetings; what work owes is asked only where hands made way for a proof."""
    found = tuple(meetings(sheet, energy))
    if any(meeting.how == "access" for meeting in found):
        return found
    return tuple(meeting for meeting in found if meeting.how != "owed")


def _trusted(met: Mapping[str, tuple[Meeting, ...]]) -> dict[int, frozenset[str]]:
    """Which energies hands meet at a step before these are proved gone, by the step's index."""
    found: dict[int, set[str]] = {}
    for key, meetings_of in met.items():
        for meeting in meetings_of:
            if meeting.how == "access":
                found.setdefault(meeting.step.at, set()).add(key)
    return {at: frozenset(keys) for at, keys in found.items()}


def _covers(found: Iterable[Meeting]) -> frozenset[str]:
    return frozenset(name for meeting in found for unless in meeting.bare for name, _ in unless)
