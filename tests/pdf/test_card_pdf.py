"""The bench card as a PDF reader finds it: tags, text order, pages, fonts, marks, and the same bytes each time."""

import io
import os
import re
import subprocess
import sys
from pathlib import Path

import pikepdf
import pypdf
import pytest
from tests.pdf.drawn import drawn
from tests.render.sample_cards import CARDS, FAULT_FINDING, RAM, REPLACEMENT

from benchleaf.render import pdf
from benchleaf.render.fault import RenderFault
from benchleaf.render.markdown import block

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture(scope="module")
def files():
    """The PDF of each sample card, by id."""
    return {card.id: drawn(card) for card in CARDS}


def squeezed(text):
    """Text without the spaces and line ends that differ between readers."""
    return re.sub(r"\s+", "", text)


def said(text):
    return squeezed(re.sub(r"<[^>]+>", "", str(block(text))).replace("&quot;", '"'))


def pages(content):
    return [squeezed(page.extract_text()) for page in pypdf.PdfReader(io.BytesIO(content)).pages]


def structure(document):
    """All structure elements below the document element, in reading order."""

    def walk(element):
        kids = element.get("/K", pikepdf.Array())
        for kid in kids if isinstance(kids, pikepdf.Array) else [kids]:
            if isinstance(kid, pikepdf.Dictionary) and "/S" in kid:
                yield kid
                yield from walk(kid)

    return list(walk(document.Root.StructTreeRoot))


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_tagged_titled_and_in_a_language(files, card):
    """PDF/UA-1 (ISO 14289-1): marked, title shown, language set, structure tree; read back, no validator ran."""
    with pikepdf.open(io.BytesIO(files[card.id])) as document:
        assert document.Root.MarkInfo.Marked
        assert str(document.Root.Lang) == "en"
        assert document.Root.ViewerPreferences.DisplayDocTitle
        assert str(document.docinfo["/Title"]) == card.title
        with document.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"
            assert metadata["dc:title"] == card.title
        kinds = [str(element.S) for element in structure(document)]
        assert kinds.count("/H1") == 1
        assert {"/H2", "/Table", "/TH", "/TD", "/L", "/LI", "/Figure"} <= set(kinds)


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_each_picture_says_what_it_shows(files, card):
    with pikepdf.open(io.BytesIO(files[card.id])) as document:
        figures = [element for element in structure(document) if element.S == "/Figure"]
        texts = [str(element.get("/Alt", "")) for element in figures]
    assert texts
    assert all(texts)
    for step in card.steps:
        if step.figure:
            assert step.figure.alt in texts
        if step.reading and (step.reading.band.low or step.reading.band.high):
            assert f"Limit: {step.reading.band.sentence}" in texts


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_only_our_fonts_are_in_it(files, card):
    with pikepdf.open(io.BytesIO(files[card.id])) as document:
        fonts = [item for item in document.objects if isinstance(item, pikepdf.Dictionary) and "/BaseFont" in item]
        assert {re.sub(r"^/\w{6}\+(.+?)(-(Semi-)?Bold|-Italic)?$", r"\1", str(font.BaseFont)) for font in fonts} == {
            "Fira-Sans"
        }
        descriptors = [
            item for item in document.objects if isinstance(item, pikepdf.Dictionary) and "/FontName" in item
        ]
        assert descriptors
        assert all("/FontFile2" in item or "/FontFile3" in item for item in descriptors)


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_each_page_names_machine_title_revision_state_and_its_number(files, card):
    found = pages(files[card.id])
    state = {"draft": "Draft", "in review": "In review", "released": "Released"}[card.state]
    for number, text in enumerate(found, start=1):
        assert squeezed(f"{card.machine.name} · {card.title}") in text
        assert squeezed(f"revision {card.revision} · {state}") in text
        assert squeezed(f"page {number} of {len(found)}") in text
        assert ("notforuseonamachine" in text) == (card.state != "released")
        assert squeezed(f"{card.machine.key}/{card.id}") in text
        assert squeezed(card.shop) in text


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_warning_stands_directly_before_its_step_on_the_same_page(files, card):
    found = pages(files[card.id])
    for step in card.steps:
        if not step.warnings:
            continue
        says = [warn.word.upper() + squeezed(warn.hazard + warn.consequence + warn.avoidance) for warn in step.warnings]
        together = "".join(says) + f"{step.number}" + said(step.command)
        assert sum(together in text for text in found) == 1


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_all_steps_and_findings_are_read_in_order(files, card):
    text, place = "".join(pages(files[card.id])), 0
    for step in card.steps:
        place = text.index(f"{step.number}{said(step.command)}{squeezed(step.time)}", place)
        for choice in step.choices:
            place = text.index(squeezed(choice.label), place)
    for outcome in card.outcomes:
        place = text.index(squeezed(outcome.title), place)


def operations(drawing):
    """Operator and operands of each instruction of a page or drawing."""
    return [(str(each.operator), each.operands) for each in pikepdf.parse_content_stream(drawing)]


def artifacts(page):
    """Names of the drawings that the page paints as artifacts, and of those that it paints otherwise."""
    inside: set[str] = set()
    outside: set[str] = set()
    depth = []
    for operator, operands in operations(page):
        if operator in ("BDC", "BMC"):
            depth.append(str(operands[0]))
        elif operator == "EMC":
            depth.pop()
        elif operator == "Do":
            (inside if "/Artifact" in depth else outside).add(str(operands[0]))
    return inside, outside


def shows_text(drawing):
    """Whether the drawing, or one within it, shows text."""
    if drawing.Subtype != "/Form":
        return False
    for operator, operands in operations(drawing):
        if operator in ("Tj", "TJ"):
            return True
        if operator == "Do" and shows_text(drawing.Resources.XObject[str(operands[0])]):
            return True
    return False


def with_text(page, names):
    return {name for name in names if shows_text(page.Resources.XObject[name])}


def test_mark_of_a_draft_is_on_each_page_and_no_part_of_the_reading_order(files):
    """The mark is a background, which is painted as an artifact: it belongs to no element of the structure."""
    for card, marks in ((FAULT_FINDING, 1), (REPLACEMENT, 0)):
        with pikepdf.open(io.BytesIO(files[card.id])) as document:
            for page in document.pages:
                inside, outside = artifacts(page)
                assert len(with_text(page, inside)) == marks
                assert not with_text(page, inside) & outside
    assert all(text.startswith("DRAFT") for text in pages(files[FAULT_FINDING.id]))
    assert not [text for text in pages(files[REPLACEMENT.id]) if "DRAFT" in text]


def test_paper_is_what_the_card_says(files):
    """A4: 210 mm by 297 mm (ISO 216). Letter: 8.5 in by 11 in (ANSI/ASME Y14.1)."""
    for card, size in ((FAULT_FINDING, (595.28, 841.89)), (REPLACEMENT, (612, 792))):
        for page in pypdf.PdfReader(io.BytesIO(files[card.id])).pages:
            assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(size, abs=0.01)


HEADS = {"What can hurt you on this machine", "Wear", "In an emergency", "Have at hand",
         "Must be true before you start", "Fit the motor", "Test Power on", "Findings", "Sign off"}  # fmt: skip


def layout(card, content):
    """Which heads and steps begin on which page: one line a page."""
    starts = {f"{step.number} {step.command}": str(step.number) for step in card.steps}

    def begins(line):
        return f"[{line}]" if line in HEADS else next((starts[each] for each in starts if line.startswith(each)), "")

    return [" ".join(filter(None, map(begins, map(str.strip, page.extract_text().splitlines()))))
            for page in pypdf.PdfReader(io.BytesIO(content)).pages]  # fmt: skip


def test_boxes_stand_on_their_pages(files):
    assert layout(REPLACEMENT, files[REPLACEMENT.id]) == [
        "[What can hurt you on this machine] [Wear] [In an emergency] [Have at hand] [Must be true before you start]",
        "[Fit the motor] 1 2 3 [Test Power on] 4 [Findings]",
        "[Sign off]",
    ]


def test_pages_can_be_drawn(files, tmp_path):
    (tmp_path / "card.pdf").write_bytes(files[RAM.id])
    subprocess.run(
        ["pdftoppm", "-r", "40", "-gray", "-singlefile", "card.pdf", "page"], cwd=tmp_path, check=True, timeout=60
    )
    picture = (tmp_path / "page.pgm").read_bytes()
    assert picture.startswith(b"P5\n331 468\n255\n")
    dark = sum(dot < 128 for dot in picture[-331 * 468 :])
    assert 0.02 < dark / (331 * 468) < 0.2


TWICE = """
import hashlib
from benchleaf.render import html, pdf
from benchleaf.render.theme import load
from tests.render.sample_cards import FAULT_FINDING as card, FIGURES
page = html.page(card, FIGURES, load())
print(hashlib.sha256(pdf.write_pdf(page, FIGURES, title=card.title, language=card.language)).hexdigest())
"""


def test_same_bytes_from_separate_processes_with_other_hash_seeds():
    digests = set()
    for seed in ("1", "2"):
        environment = os.environ | {
            "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join((str(ROOT / "builder"), str(ROOT)))
        }  # fmt: skip
        run = subprocess.run(
            [sys.executable, "-c", TWICE], env=environment, check=True, capture_output=True, text=True, timeout=120
        )
        assert run.stderr == ""
        digests.add(run.stdout)
    assert len(digests) == 1


def page_with(body):
    return (
        f"<!DOCTYPE html><html lang=en><title>t</title><style>html {{ font-family: 'Fira Sans' }}</style>{body}</html>"
    )


def fault(body, assets=None):
    with pytest.raises(RenderFault) as caught:
        pdf.write_pdf(page_with(body), assets or {}, title="t", language="en")
    return str(caught.value)


def test_nothing_is_fetched_that_is_not_part_of_the_page(tmp_path):
    secret = tmp_path / "secret.svg"
    secret.write_text('<svg xmlns="http://www.w3.org/2000/svg"/>', encoding="utf-8")
    for address in (secret.as_uri(), "http://127.0.0.1:9/x.png", "asset:other.svg", "relative.svg"):
        assert fault(f'<img src="{address}" alt="x">').startswith("the page asks for something that is not part of it")


def test_what_the_renderer_complains_of_is_a_fault(heard):
    assert fault("<p style='colour: red'>x</p>").startswith("the PDF renderer complains: ")
    assert fault('<img src="asset:a.png" alt="x">', {"a.png": b"no picture"}).startswith("the PDF renderer complains: ")
    assert {record.name for record in heard} == {"weasyprint"}


def test_character_that_the_font_lacks_is_a_fault():
    assert fault("<p>☃</p>") == "the card's font has no sign for ☃ (U+2603): write it in words"


def test_characters_with_a_twin_in_the_font_are_printed():
    content = pdf.write_pdf(page_with("<p>3/8″ non‑slip 5′</p>"), {}, title="t", language="en")
    assert pages(content) == ["3/8\"non-slip5'"]


def test_libraries_are_there():
    assert pdf.pango_missing() == ""


BARE = """
import importlib.abc, sys
class None_(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name == "weasyprint":
            print("loud advice of the renderer")
            raise OSError("cannot load library 'libpango-1.0-0'\\nmore lines")
sys.meta_path.insert(0, None_())
from benchleaf.render import pdf
from benchleaf.render.fault import RenderFault
print(pdf.pango_missing())
try:
    pdf.write_pdf("<p>x</p>", {}, title="t", language="en")
except RenderFault as fault:
    print(fault)
"""


def test_missing_libraries_are_told_in_a_sentence():
    run = subprocess.run(
        [sys.executable, "-c", BARE],
        env=os.environ | {"PYTHONPATH": str(ROOT / "builder")},
        check=True, capture_output=True, text=True, timeout=60,
    )  # fmt: skip
    lines = run.stdout.splitlines()
    assert len(lines) == 2
    assert lines[0] == lines[1]
    assert lines[0].startswith("PDF output needs the library Pango")
    assert "libpango-1.0-0 libpangoft2-1.0-0" in lines[0]
    assert run.stderr == ""
