"""The heat map of a fault matrix: a cell for each known answer, the darker the fewer faults share it."""

import xml.etree.ElementTree as ElementTree
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from benchleaf.build.matrices import matrices, picture
from benchleaf.build.request import Request, silence
from benchleaf.render.heat import heat_map

SVG = "{http://www.w3.org/2000/svg}"


def cells(svg):
    """What each cell says, with its place and shade."""
    return {
        cell[0].text: (float(cell.attrib["x"]), float(cell.attrib["y"]), float(cell.attrib["fill-opacity"]))
        for cell in ElementTree.fromstring(svg).iter(f"{SVG}rect")
    }


def test_an_answer_that_sets_one_fault_apart_is_dark():
    """Of four faults one reads below at the first question; the second tells nothing; the third is known of two."""
    rows = (("below", "yes", "yes"), ("inside", "yes", "no"), ("inside", "yes", ""), ("inside", "yes", ""))
    drawn = cells(heat_map(("measure a", "ask b", "ask c"), ("one", "two", "three", "four"), rows))
    shade = {said: place[2] for said, place in drawn.items()}
    assert shade["one: below"] == max(shade.values())
    assert shade["two: inside"] < shade["one: below"]
    assert shade["two: no"] > shade["two: inside"]


@given(
    st.lists(st.lists(st.sampled_from(["", "a", "b", "c"]), min_size=3, max_size=3), min_size=1, max_size=6).map(
        lambda rows: [[f"{answer}{column}" if answer else "" for column, answer in enumerate(row)] for row in rows]
    )
)
def test_each_known_answer_has_its_cell(rows):
    faults = [f"f{number}" for number in range(len(rows))]
    drawn = cells(heat_map(("q0", "q1", "q2"), faults, rows))
    wanted = {f"{fault}: {answer}" for fault, row in zip(faults, rows, strict=True) for answer in row if answer}
    assert set(drawn) == wanted
    for fault, row in zip(faults, rows, strict=True):
        places = [drawn[f"{fault}: {answer}"] for answer in row if answer]
        assert len({y for _, y, _ in places}) <= 1 and [x for x, _, _ in places] == sorted(x for x, _, _ in places)
    for column in range(3):
        known = [row[column] for row in rows if row[column]]
        for fault, row in zip(faults, rows, strict=True):
            if row[column]:
                share = known.count(row[column]) / len(known)
                assert abs(drawn[f"{fault}: {row[column]}"][2] - (0.06 + 0.9 * (1 - share))) < 0.006


def test_the_picture_of_a_procedure_names_its_faults_and_questions():
    root = Path(__file__).resolve().parents[2]
    request = Request(root, "2026-06-01", (root / "procedures/ht-600/no-lower.yaml",))
    ((_, matrix),) = matrices(request, silence)
    svg = ElementTree.fromstring(picture(matrix))
    texts = [each.text or "" for each in svg.iter(f"{SVG}text")]
    words = {text for text in texts if len(text) > 1}
    letters = [text for text in texts if len(text) == 1]
    assert letters.count("b") == sum(answer == "below" for row in matrix.rows for answer in row.answers) > 0
    assert {row.fault for row in matrix.rows if row.fault} <= words
    assert len(words) == len(matrix.rows) + len({column.asks[:26] for column in matrix.columns})
    assert "toe-switch-open: below" in cells(picture(matrix))
