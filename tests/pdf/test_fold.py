"""A pocket card to fold: whoever prints, cuts, stacks and folds it as said reads its pages in their order."""

import subprocess

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pypdf import PdfReader
from tests.pdf.drawn import drawn
from tests.render.sample_cards import REPLACEMENT

from benchleaf.render.fold import folded, order
from benchleaf.render.form import Form


def read_through(sides):
    """The pages as they follow each other in the booklet, worked out with scissors rather than by formula.

    A sheet is printed on both sides and turned over along its long edge, so that behind the left of the front lies the
    right of the back. Cut in two, each half is a leaf of (outer left, outer right, behind the left, behind the right).
    """
    leaves = []
    for front, back in zip(sides[::2], sides[1::2], strict=True):
        for (left, right), (back_left, back_right) in zip(front, back, strict=True):
            leaves.append((left, right, back_right, back_left))
    # The first leaf is the outermost; folded, its right half opens the booklet and its left half ends it.
    opening = [page for _, right, _, behind_right in leaves for page in (right, behind_right)]
    ending = [page for left, _, behind_left, _ in reversed(leaves) for page in (behind_left, left)]
    return opening + ending


@given(st.integers(1, 200))
def test_the_booklet_reads_in_order(count):
    pages = read_through(order(count))
    assert pages[:count] == list(range(1, count + 1))
    assert set(pages[count:]) <= {0}
    assert len(pages) % 8 == 0 and len(pages) - count < 8


@pytest.fixture(scope="module")
def card():
    return drawn(REPLACEMENT, Form("pocket"))


def text_in(file, page, left, top, width, height):
    """The letters in a part of a page, measured in points from its upper left corner."""
    box = ["-x", f"{left}", "-y", f"{top}", "-W", f"{width}", "-H", f"{height}"]
    asked = ["pdftotext", "-r", "72", "-f", f"{page}", "-l", f"{page}", *box, str(file), "-"]
    return sorted("".join(subprocess.run(asked, check=True, capture_output=True, text=True).stdout.split()))


def test_pages_stand_where_the_order_says_whole_and_on_a4(card, tmp_path):
    small, large = tmp_path / "card.pdf", tmp_path / "fold.pdf"
    small.write_bytes(card)
    large.write_bytes(folded(card))
    pages, sheets = PdfReader(small).pages, PdfReader(large).pages
    assert len(sheets) == len(order(len(pages)))
    for place, (sheet, side) in enumerate(zip(sheets, order(len(pages)), strict=True), 1):
        assert (round(float(sheet.mediabox.width)), round(float(sheet.mediabox.height))) == (595, 842)
        for row, pair in enumerate(side):
            for column, number in enumerate(pair):
                found = text_in(large, place, 298 * column, 421 * row, 297, 421)
                assert found == (text_in(small, number, 0, 0, 298, 420) if number else [])


def test_the_same_card_gives_the_same_bytes(card):
    assert folded(card) == folded(card)
