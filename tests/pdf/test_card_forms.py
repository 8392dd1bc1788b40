"""The card in every form: pages of the right size, nothing over their edges, the code read back, the card inside."""

import io
import json
import re
import subprocess

import pikepdf
import pypdf
import pytest
import segno
import zxingcpp
from PIL import Image
from tests.pdf.drawn import drawn as drawn_once
from tests.render.sample_cards import CARDS, FAULT_FINDING, FIGURES, RAM, REPLACEMENT

from benchleaf.card.digest import digest as digest_of
from benchleaf.card.model import LooseLine, plain
from benchleaf.card.records import Choice
from benchleaf.render import code, html, pdf
from benchleaf.render.form import MODULE, Form
from benchleaf.render.theme import load

THEME = load()
FORMS = [
    Form(paper, size, margins)
    for paper in ("A4", "Letter", "pocket")
    for size, margins in (("normal", "single"), ("large", "punched"), ("normal", "two-sided"))
]
# Millimetres: ISO 216, and ANSI/ASME Y14.1 for Letter.
SIZES = {"A4": (210, 297), "Letter": (215.9, 279.4), "pocket": (105, 148)}
POINT = 25.4 / 72


def made(card, form=None, **more):
    """The card's PDF; drawn once where nothing but card and form is said."""
    return anew(card, form or Form(card.paper), **more) if more else drawn_once(card, form)


def anew(card, form, **more):
    page = html.page(card, FIGURES, THEME, form)
    return pdf.write_pdf(page, FIGURES, title=card.title, language=card.language, zoom=form.zoom, **more)


def squeezed(text):
    return re.sub(r"\s+", "", text)


def pages(content):
    return [squeezed(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(content)).pages]


def words(content, tmp_path):
    """Box of every word by page: (page, left, top, right, bottom) in millimetres, and size of the page."""
    (tmp_path / "card.pdf").write_bytes(content)
    done = subprocess.run(
        ["pdftotext", "-bbox", "card.pdf", "-"], cwd=tmp_path, check=True, capture_output=True, text=True, timeout=60
    )
    number, size = 0, (0.0, 0.0)
    for line in done.stdout.splitlines():
        numbers = [float(each) * POINT for each in re.findall(r'="(-?[\d.]+)"', line)]
        if "<page " in line:
            number, size = number + 1, (numbers[0], numbers[1])
        elif "<word " in line:
            yield number, size, tuple(numbers), line


@pytest.mark.parametrize("form", FORMS, ids="-".join)
def test_every_form_has_its_size_and_holds_all_its_text(form, tmp_path):
    content = made(FAULT_FINDING, form)
    width, height = SIZES[form.paper]
    for page in pypdf.PdfReader(io.BytesIO(content)).pages:
        assert float(page.mediabox.width) * POINT == pytest.approx(width, abs=0.05)
        assert float(page.mediabox.height) * POINT == pytest.approx(height, abs=0.05)
    text = "".join(pages(content))
    place = 0
    for step in FAULT_FINDING.steps:
        place = text.index(f"{step.number}{squeezed(re.sub('[*`]', '', step.command))}", place)
    for outcome in FAULT_FINDING.outcomes:
        place = text.index(squeezed(outcome.title), place)
    outside = [
        line
        for _, size, (left, top, right, bottom), line in words(content, tmp_path)
        if "DRAFT" not in line and not (left >= 4 and top >= 3 and right <= size[0] - 4 and bottom <= size[1] - 3)
    ]
    assert not outside


def inner_edges(form, tmp_path):
    """The least distance of a word from the left edge, for odd and for even pages."""
    least = [1000.0, 1000.0]
    for number, _, (left, *_), line in words(made(FAULT_FINDING, form), tmp_path):
        if "DRAFT" not in line:
            least[number % 2 == 0] = min(least[number % 2 == 0], left)
    return least


def test_margins_change_sides_where_sheets_are_turned_over(tmp_path):
    odd, even = inner_edges(Form("A4", "normal", "two-sided"), tmp_path)
    assert odd == pytest.approx(17, abs=0.5)
    assert even == pytest.approx(11, abs=0.5)
    odd, even = inner_edges(Form("A4"), tmp_path)
    assert odd == pytest.approx(even, abs=0.5)


def test_holes_of_a_ring_binder_meet_no_text(tmp_path):
    """ISO 838: holes 6 mm wide, their middle 12 mm from the edge; so the first 16 mm stay free."""
    odd, _ = inner_edges(Form("A4", "normal", "punched"), tmp_path)
    assert odd > 16


def drawn(content, tmp_path, dpi=200):
    (tmp_path / "card.pdf").write_bytes(content)
    command = ["pdftoppm", "-r", str(dpi), "-png", "-singlefile", "card.pdf", "page"]
    subprocess.run(command, cwd=tmp_path, check=True, timeout=60)
    return Image.open(tmp_path / "page.png")


@pytest.mark.parametrize("form", [FORMS[0], FORMS[1], Form("pocket")], ids="-".join)
@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_the_code_is_read_back_from_the_page(card, form, tmp_path):
    """By a reader of another hand (ZXing); each module at least 0.4 mm, with its quiet zone on white."""
    found = zxingcpp.read_barcodes(drawn(made(card, form), tmp_path))
    digest = digest_of(card)
    assert [each.text for each in found] == [
        f"{card.machine.key}/{card.id} revision {card.revision} digest {digest[:12]}"
    ]
    corners = found[0].position
    side = abs(corners.top_right.x - corners.top_left.x) / 200 * 25.4
    modules = len(next(iter(segno.make(found[0].text, error="m", boost_error=False, micro=False).matrix)))
    assert side / modules >= 0.4
    assert MODULE >= 0.4


def test_the_digest_and_the_number_of_pages_stand_at_the_head():
    for card in CARDS:
        found = pages(made(card))
        assert squeezed(f"Digest{code.short_digest(digest_of(card))}Pages{len(found)}") in found[0]


def test_paper_does_not_change_the_digest():
    assert pages(made(REPLACEMENT, Form("pocket")))[0].count(digest_of(REPLACEMENT)[:4]) >= 1


def test_ways_name_the_page_of_their_target():
    """`go to step 12, page 2`, `finding 3, page 4`: the number is that of the page on which step or finding stands."""
    first, last = FAULT_FINDING.steps[0], FAULT_FINDING.steps[-1]
    way = Choice("otherwise", "If not", "step", last.key, last.number)
    head = FAULT_FINDING.sections[0]
    steps = (head.steps[0]._replace(choices=(way,)), *head.steps[1:])
    card = FAULT_FINDING._replace(sections=(head._replace(steps=steps), *FAULT_FINDING.sections[1:]))
    content = made(card)
    found = pages(content)
    text = "".join(found)
    stands = {name.removeprefix("/"): 1 + at for name, at in destinations(content).items()}
    ways = [choice for step in card.steps for choice in step.choices if choice.kind in ("step", "outcome")]
    assert len({choice.kind for choice in ways}) == 2
    for choice in ways:
        target = f"{'step' if choice.kind == 'step' else 'finding'}-{choice.number}"
        said = "go to step" if choice.kind == "step" else "finding"
        named = set(re.findall(squeezed(f"{said} {choice.number}") + r"(?:[(,][^,:]*)?,page(\d)", text))
        assert named == {str(stands[target])}, target
    assert squeezed(first.command) in found[0] + found[1]
    assert squeezed(last.command) in found[stands[f"step-{last.number}"] - 1]


def destinations(content):
    """The page, counted from 0, on which each target of a link stands."""
    document = pypdf.PdfReader(io.BytesIO(content))
    return {name: document.get_destination_page_number(each) for name, each in document.named_destinations.items()}


def test_the_compiled_card_travels_inside():
    data = json.dumps(plain(RAM)).encode()
    attached = pdf.Attached("card.json", data, "The compiled card", "2026-06-11")
    content = made(RAM, attached=attached)
    with pikepdf.open(io.BytesIO(content)) as document:
        file = document.attachments["card.json"]
        assert file.get_file().read_bytes() == data
        assert file.get_file().creation_date == file.get_file().mod_date
        assert file.get_file().creation_date.date().isoformat() == "2026-06-11"
    assert content == made(RAM, attached=attached)


def test_what_is_to_be_put_back_stands_in_a_strip():
    card = RAM._replace(put_back=(
        LooseLine("open:cover", "cover open", (1,), (2,)),
        LooseLine("place:jumper", "jumper in place (bypasses the seat switch)", (1, 2)),
    ))  # fmt: skip
    text = "".join(pages(made(card)))
    assert "Coveropen12" in text
    assert "Jumperinplace(bypassestheseatswitch)1–2stays" in text
    assert text.index("Putback") < text.index("Findings")


def test_the_rule_after_a_pause_is_on_each_page():
    for text in pages(made(FAULT_FINDING)):
        assert squeezed(f"After a pause of more than {FAULT_FINDING.pause}: prove zero again.") in text


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_no_heading_stands_alone_at_the_end_of_a_page(card):
    heads = {squeezed(section.title) for section in card.sections}
    heads |= {"Findings", "Signoff", "Putback", "Haveathand", "Wear"}
    for page in pypdf.PdfReader(io.BytesIO(made(card))).pages:
        lines = [squeezed(line) for line in page.extract_text().splitlines() if line.strip()]
        body = [line for line in lines if not line.startswith(("DRAFT", card.machine.key)) and "prove" not in line]
        assert body[-1] not in heads
