"""`compare` and its packet at the command line: sides of every kind, safety first, and what a packet holds."""

import json
import re

import pytest
from tests.review.conftest import MACHINE, PROCEDURE, SIGNED

from benchleaf.build import readback


@pytest.fixture
def changed(bench):
    """A bench whose procedure was released, and has changed since: a limit is tighter, and words are others."""
    bench.begin_released()
    bench.revise("B")
    bench.edit("low: 41 ohm", "low: 43 ohm", MACHINE)
    return bench


def told(ran):
    assert ran.code == 0, ran.err
    return json.loads(ran.out)


def test_with_one_side_it_is_held_against_the_last_release(changed):
    data = told(changed.run("compare", PROCEDURE, "--format", "json", day="2026-04-01"))
    assert (data["format"], data["old"]["revision"], data["new"]["revision"]) == ("benchleaf/compare/1", "A", "B")
    assert data["counts"] == {"safety": 1, "others": 3}
    (limit, *others) = data["differences"]
    assert (limit["kind"], limit["how"], limit["safety"]) == ("limit", "changed", True)
    assert limit["measure"] == "low +4.88 %; tighter"
    assert (limit["old"][:2], limit["new"][:2]) == ("41", "43")
    assert {each["thing"] for each in others} == {"card revision", "card purpose", "card changed_reason"}


def test_text_counts_and_tells_safety_first(changed):
    lines = changed.run("compare", PROCEDURE).out.splitlines()
    assert lines[1] == "differences that touch safety: 1" and "tighter" in lines[2]
    assert lines[3] == "other differences: 3"


def test_sides_may_be_signatures_cards_and_revisions(changed):
    changed.run("build", "--released", day="2026-03-02")
    folder = "out/released/df-1/filter-clean"
    for side in (f"{PROCEDURE}@A", f"{SIGNED}/A-02.json", f"{folder}/card.json", f"{folder}/card.pdf"):
        data = told(changed.run("compare", side, PROCEDURE, "--format", "json"))
        assert data["counts"] == {"safety": 1, "others": 3}, side
        assert told(changed.run("compare", side, f"{PROCEDURE}@A", "--format", "json"))["differences"] == []
    assert "nothing has changed in meaning" in changed.run("compare", f"{PROCEDURE}@A", f"{PROCEDURE}@A").out


def test_without_a_release_everything_is_new(bench):
    data = told(bench.run("compare", PROCEDURE, "--format", "json"))
    assert data["old"]["name"] == "nothing" and [each["how"] for each in data["differences"]] == ["added"]


@pytest.mark.parametrize(
    ("sides", "code"),
    [
        (("df-1/nothing",), 2),
        ((f"{PROCEDURE}@Z", PROCEDURE), 2),
        (("procedures/shop.yaml",), 2),
        (("README", "a", "b"), 2),
        (("out/.gitignore", PROCEDURE), 3),
    ],
)
def test_what_is_no_side_is_told(bench, sides, code):
    ran = bench.run("compare", *sides)
    assert ran.code == code and ran.out == "" and ran.err.count("\n") == 1


def test_a_packet_holds_what_a_reviewer_needs(changed):
    tried = ("--tried", "machine", "--serial", "DF1-0042")
    assert changed.sign("w-writer", "ready", *tried, day="2026-04-01").code == 0
    ran = changed.run("compare", PROCEDURE, "--packet", "review", day="2026-04-02")
    assert ran.code == 0, ran.err
    page = (changed.root / "review/packet.html").read_text("utf-8")
    text = " ".join(readback.text_of_html(page.replace("</td>", " </td>").encode()).split())
    assert "What changed and touches safety: 1" in text and "tighter" in text
    assert "on the machine DF1-0042, by W. Writer (writer), 2026-04-01" in text
    for heading in (
        "What the checks say",
        "What was waived, and why",
        "Live work, and why",
        "What this card rests on",
        "Tried out",
        "Questions and answers",
        "Steps put in by the compiler, and why",
        "Old and new side by side",
        "What is locked, gone or there, step by step",
    ):
        assert heading in text
    assert "isolates mains supply, would it be caught? yes: energy.hands-unprotected, energy.no-isolation" in text
    assert re.search(
        r"If step \d+ \(lock: .+?\) were left out of the card, would it be caught\? yes: the verifier", text
    )
    printed = " ".join(readback.text_of_pdf((changed.root / "review/packet.pdf").read_bytes()).split())
    assert "Questions and answers" in printed and "43 Ω" in printed
    assert "src=" not in page and "href=" not in page
