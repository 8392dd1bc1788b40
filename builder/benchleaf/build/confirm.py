"""Between stages 6 and 7: no card is drawn that the independent verifier can't confirm."""

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.build.classes import Held
from benchleaf.card.model import Card
from benchleaf.card.proof import POINTS, Doubt, verify
from benchleaf.card.proof_rules import NOT_CONFIRMED
from benchleaf.card.steps import command


def unconfirmed(card: Card, held: Held, file: str) -> tuple[Finding, ...]:
    """What the verifier can't confirm of a card, at the written steps where it arises or at the head of the file."""
    flow = held.facts.flow
    stations = flow.stations if flow is not None else ()
    printed = {step.key for step in card.steps}
    written = [(each.key, command(held.case, each.step)) for each in stations if each.key in printed]
    spans = {each.key: each.step.span for each in stations}
    return tuple(_finding(doubt, spans.get(doubt.step, Span(file))) for doubt in verify(card, written))


def _finding(doubt: Doubt, span: Span) -> Finding:
    where = f"Step {doubt.number} of the card: " if doubt.number else ""
    return NOT_CONFIRMED.at(span, f"{where}{doubt.text} Not confirmed: {POINTS[doubt.point]}.")
