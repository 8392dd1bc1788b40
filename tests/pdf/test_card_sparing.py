"""The theme that saves toner: the same words, far less ink, and nothing said by a filled area alone."""

import io
import re
import subprocess

import pypdf
import pytest
from PIL import Image
from tests.pdf.drawn import drawn
from tests.render.sample_cards import CARDS, FAULT_FINDING


def ink(content, tmp_path):
    """Ink on all pages of the card, in black pages, and the number of dots in full colour."""
    (tmp_path / "card.pdf").write_bytes(content)
    subprocess.run(["pdftoppm", "-r", "50", "card.pdf", "page"], cwd=tmp_path, check=True, timeout=60)
    black, coloured = 0.0, 0
    for file in sorted(tmp_path.glob("page*.ppm")):
        picture = Image.open(file)
        counts = picture.convert("L").histogram()
        black += sum(count * (255 - grey) for grey, count in enumerate(counts)) / (255 * sum(counts))
        coloured += sum(picture.convert("HSV").getchannel("S").histogram()[120:])
        file.unlink()
    return black, coloured


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_it_says_the_same_in_the_same_order(card):
    def text(theme):
        pages = pypdf.PdfReader(io.BytesIO(drawn(card, theme=theme))).pages
        said = "".join(page.extract_text() for page in pages)
        # Pages may break elsewhere.
        return sorted(set(re.sub(r"page \d+( of \d+)?|Pages\s+\d+", "", said).split()))

    assert text("sparing") == text("daylight")


def test_it_takes_less_ink_and_half_the_colour(tmp_path):
    """Most of a card is text, which takes what it takes; what is filled goes."""
    black, coloured = ink(drawn(FAULT_FINDING, theme="sparing"), tmp_path)
    usual_black, usual_coloured = ink(drawn(FAULT_FINDING), tmp_path)
    assert black <= 0.9 * usual_black
    assert coloured <= 0.5 * usual_coloured
