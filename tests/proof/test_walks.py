"""The proof finds a danger exactly where walking every way through the card, one after the other, meets it."""

import re

from hypothesis import HealthCheck, given, settings
from tests.proof.drawn_cards import drawn_cards
from tests.proof.walks import dangers

from benchleaf.card.proof import verify_plain

# What a card must say of what stays live is no danger that a walk meets.
COUNT = "stays live within reach, and the card does not say so"
READY = re.compile(r"may leave (?:the )?(?:a loose end \((\w+) (\w+)\)|(\w+) locked|(\w+) )")


def judged(card):
    """What the proof says, as the walker counts."""
    found = set()
    for doubt in verify_plain(card):
        ready = READY.search(doubt.sentence)
        if doubt.point == 4 and doubt.energy:
            found.add((4, "", doubt.energy))
        elif doubt.point == 4 and ready:
            action, end, lock, name = ready.groups()
            found.add((4, "ready", f"{action}:{end}" if action else f"lock:{lock}" if lock else name))
        elif COUNT in doubt.sentence:
            continue
        elif doubt.point in (1, 5) or (doubt.point == 6 and doubt.sentence.startswith("Live work")):
            found.add((doubt.point, doubt.step, doubt.energy))
    return found


@settings(max_examples=100, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large])
@given(drawn_cards())
def test_the_proof_and_the_walker_agree(card):
    assert judged(card) == dangers(card)
