"""A card for a class of machines is the card that a file for one machine of that class alone would give."""

import shutil
from functools import cache
from pathlib import Path

import pytest

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence
from benchleaf.card.compile import compile_card

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-01"
SERIALS = "serials: {prefix: RC48-, from: 400}"


def inspection(root):
    """The carrier's inspection after all passes."""
    request = Request(root, TODAY, (root / "procedures/rc-48/half-year-inspection.yaml",))
    (one,) = judge(gather(request), silence).judged
    return one


@cache
def inspections():
    """The cards of the inspection in the demo, by key."""
    one = inspection(ROOT)
    assert one.standing.ready, one.findings
    cards = [compile_card(held.case, held.facts) for held in one.classes]
    return {card.machine.applies.key: card for card in cards}


def without_machine(card):
    """The card but for what it says of the machines that it is for; steps lose their place among those of others."""
    steps = [step._replace(info="") if step.role == "confirm" else step for step in card.steps]
    return [(step.number, step.command, step.info, step.warnings, step.reading, step.choices) for step in steps]


@pytest.mark.parametrize(("number", "key"), [(400, "400-699"), (699, "400-699"), (700, "from-700"), (9000, "from-700")])
def test_filtering_by_class_equals_filtering_by_a_serial_number(tmp_path, number, key):
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    path = tmp_path / "procedures/rc-48/machine.yaml"
    text = path.read_text("utf-8")
    assert SERIALS in text
    path.write_text(text.replace(SERIALS, f"serials: {{prefix: RC48-, from: {number}, to: {number}}}"), "utf-8")
    (mine,) = (card for card in inspections().values() if card.machine.applies.key == key)
    assert len(mine.steps) > 30
    # Ranges that hold no machine of this file are told, and stand in nobody's way here.
    (held,) = inspection(tmp_path).classes
    card = compile_card(held.case, held.facts)
    assert card.machine.serials == f"RC48-{number}" and card.machine.applies.text == ""
    assert without_machine(card) == without_machine(mine)


def test_the_classes_of_the_demo_differ_in_their_limit_and_one_has_a_step_more():
    cards = inspections()
    assert list(cards) == ["400-699", "from-700"]
    early, late = ([step.command for step in card.steps] for card in cards.values())
    assert "Does the lock pin of the hand brake lever spring back from the pressed position?" in set(late) - set(early)
    assert len(late) == len(early) + 1
    highs = [{step.reading.band.high.value for step in card.steps if step.reading and step.reading.band.high}
             for card in cards.values()]  # fmt: skip
    assert "20" in highs[0] - highs[1] and "26" in highs[1] - highs[0]
