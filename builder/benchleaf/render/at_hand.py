"""What must lie ready for a card, as one list: meters, wrenches, aids, tools, spare parts, supplies."""

from typing import NamedTuple

from benchleaf.base.said import fill, row
from benchleaf.card.model import Card, PartLine
from benchleaf.render.abreast import Band, halves, words
from benchleaf.render.view import numbers

_KINDS = {"meter": fill("Meter"), "wrench": fill("Wrench"), "thing": fill("Aid"), "tool": fill("Tool")}
_KIND_AND_STEPS = 14


class AtHand(NamedTuple):
    """One line: what it is for, how much, its name and detail, and the steps that use it, or `if needed`."""

    kind: str
    amount: str
    name: str
    detail: str = ""
    steps: str = ""


def gathered(card: Card) -> tuple[AtHand, ...]:
    """Every line; where a kind has nothing, a line says so."""
    tools = [
        AtHand(
            _KINDS.get(line.kind, line.kind),
            f"{line.count} ×" if line.count > 1 else "",
            line.name,
            line.detail,
            numbers(line.steps),
        )
        for line in card.tools
    ]
    parts = [_part(fill("Part"), line) for line in card.spares]
    supplies = [_part(fill("Supply"), line) for line in card.supplies]
    lists = ((tools, fill("Tools")), (parts, fill("Parts")), (supplies, fill("Supplies")))
    return tuple(line for lines, kind in lists for line in (lines or [AtHand(kind, "", fill("none"))]))


def halves_at_hand(card: Card) -> Band[AtHand]:
    """The lines in two columns of about the same height."""
    return halves(gathered(card), lambda line: words(" " * _KIND_AND_STEPS + line.amount + line.name + line.detail))


def _part(kind: str, line: PartLine) -> AtHand:
    detail = row((line.number, line.detail), ", ")
    amount = f"{line.amount} ×" if line.amount.isdecimal() else line.amount
    return AtHand(kind, amount, line.name, detail, fill("if needed") if line.when == "needed" else "")
