"""Who proves polarity needs a voltage tester, and finds it in the list of tools."""

import pytest
from tests.proof.demo_cards import ROOT, TODAY, cards, trials

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence
from benchleaf.card.lists import tools


@pytest.mark.parametrize("name", ["battery-service", "trial bc-96 block-swap", "trial us-5 pack-swap"])
def test_the_tester_is_listed_with_each_step_of_polarity(name):
    card = next(card for key, card in {**cards(), **trials()}.items() if key.startswith(name))
    steps = [step for section in card.sections for step in section.steps]
    polarity = {step.number for step in steps if step.role == "polarity"}
    zero = {step.number for step in steps if step.role == "prove" and step.reading is not None}
    testers = [line for line in card.tools if line.kind == "meter" and polarity <= set(line.steps)]
    assert polarity and testers
    unit = next(line for line in card.tools if line.key == "proving-unit")
    assert set(unit.steps) <= zero


def test_polarity_alone_lists_a_tester_and_no_proving_unit():
    case = judge(gather(Request(ROOT, TODAY)), silence).judged[0].classes[0].case
    listed = tools(case, (), {}, (), (("", 7),))
    assert [(line.key, line.steps) for line in listed] == [("voltage-tester", (7,))]
