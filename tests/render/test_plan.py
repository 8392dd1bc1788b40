"""The plan of a fault-finding card: each question and answer once, boxes apart, nothing said by colour."""

import os
import re
import subprocess
import sys
from itertools import combinations
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.render.sample_cards import FAULT_FINDING, FIGURES, REPLACEMENT

from benchleaf.card.model import CardOutcome, CardStep, Section
from benchleaf.card.records import Choice, StepFacts, WayOut
from benchleaf.render import html
from benchleaf.render.plan import edges, plan
from benchleaf.render.plan_layers import layered
from benchleaf.render.theme import load

ROOT = Path(__file__).resolve().parents[2]
ROOM = (180.0, 222.0)


def step(key, number, *choices, after="", inserted=None):
    ways = tuple(WayOut(each.side, f"outcome:{each.to}" if each.kind == "outcome" else each.to) for each in choices)
    facts = StepFacts(ways or (WayOut("next", after),))
    return CardStep(key, number, "ask", "senses", f"Look at {key}.", choices=choices, facts=facts, inserted=inserted)


def to(side, key, kind="step", number=0):
    return Choice(side, side, kind, key, number)


def found(key, number):
    return CardOutcome(key, number, key, "", "out-of-service", "Left locked.")


def card(steps, outcomes):
    section = Section("work", "work", "Work", tuple(steps))
    return FAULT_FINDING._replace(sections=(section,), outcomes=tuple(outcomes), kind="fault-finding")


THREE = card(
    (
        step("lamp", 1, to("yes", "cover", "next"), to("no", "fuse", "outcome", 1)),
        step("cover", 2, after="volts"),
        step("volts", 3, to("inside", "lamp"), to("below", "coil", "outcome", 2), to("unsteady", "", "stop")),
    ),
    (found("fuse", 1), found("coil", 2)),
)


def test_every_answer_is_an_edge_and_steps_without_a_question_are_passed_over():
    assert [(edge.start, edge.label, edge.end) for edge in edges(THREE)] == [
        ("lamp", "yes", "volts"),
        ("lamp", "no", "outcome:fuse"),
        ("volts", "inside", "lamp"),
        ("volts", "below", "outcome:coil"),
    ]


def texts(svg):
    root = ElementTree.fromstring(svg)
    return [node.text for node in root.iter("{http://www.w3.org/2000/svg}text")]


def test_the_drawing_names_questions_findings_and_answers():
    drawn = " ".join(texts(plan(THREE, ROOM)))
    for said in (
        "1 Look at lamp.",
        "3 Look at volts.",
        "Finding 1: fuse",
        "Finding 2: coil",
        "inside",
        "below",
        "yes",
        "no",
    ):
        assert said in drawn
    assert "Look at cover" not in drawn
    title = ElementTree.fromstring(plan(THREE, ROOM))[0].text
    assert title == (
        "Plan of the fault finding. step 1, yes: step 3; step 1, no: finding 1; step 3, inside: step 1; "
        "step 3, below: finding 2."
    )


def test_no_colour_says_which_way_is_good():
    drawn = plan(THREE, ROOM)
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', drawn)) == {"none", "currentColor"}


def test_only_fault_finding_with_several_questions_has_a_plan():
    assert plan(REPLACEMENT, ROOM) == ""
    assert plan(THREE._replace(kind="inspection"), ROOM) == ""
    assert plan(card(THREE.steps[:1], THREE.outcomes), ROOM) == ""


def test_it_stands_on_the_card():
    assert 'class="plan"' in html.page(THREE, FIGURES, load())


@given(st.integers(2, 14), st.data())
def test_boxes_stand_apart_and_answers_point_down_unless_they_go_back(count, data):
    """Any graph of lines forward: no two boxes overlap, and each line leads to a lower row."""
    sizes = {f"n{number}": (float(data.draw(st.integers(20, 140))), 30.0) for number in range(count)}
    forward = [(one, other) for one, other in combinations(sizes, 2)]
    lines = sorted(data.draw(st.sets(st.sampled_from(forward), min_size=1)))
    places, passes = layered(sizes, lines, 7, 8)
    for one, other in combinations(sizes, 2):
        (x, y), (to_x, to_y) = places[one], places[other]
        apart_x = abs(x - to_x) - (sizes[one][0] + sizes[other][0]) / 2
        apart_y = abs(y - to_y) - 30
        assert apart_x >= -0.01 or apart_y >= -0.01
    for one, other in lines:
        assert places[one][1] < places[other][1]
        down = [places[one][1], *(y for _, y in passes.get((one, other), ())), places[other][1]]
        assert down == sorted(down)


TWICE = """
import hashlib
from tests.render.test_plan import ROOM, THREE
from benchleaf.render.plan import plan
print(hashlib.sha256(plan(THREE, ROOM).encode()).hexdigest())
"""


def test_the_same_drawing_from_separate_processes_with_other_hash_seeds():
    digests = set()
    for seed in ("1", "2", "3"):
        environment = os.environ | {
            "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join((str(ROOT / "builder"), str(ROOT)))
        }  # fmt: skip
        run = subprocess.run(
            [sys.executable, "-c", TWICE], env=environment, check=True, capture_output=True, text=True, timeout=60
        )
        digests.add(run.stdout)
    assert len(digests) == 1


@pytest.mark.parametrize("most", [60])
def test_a_long_chain_of_questions_is_drawn(most):
    steps = [
        step(
            f"q{n}",
            n,
            to("yes", f"q{n + 1}" if n < most else "done", "next" if n < most else "outcome"),
            to("no", "done", "outcome", 1),
        )
        for n in range(1, most + 1)
    ]
    drawn = plan(card(steps, (found("done", 1),)), ROOM)
    size = ElementTree.fromstring(drawn).attrib
    assert float(size["width"][:-2]) <= 180.05 and float(size["height"][:-2]) <= 222.05
    assert sum("Look at" in text for text in texts(drawn)) == most
