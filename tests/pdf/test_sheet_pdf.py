"""The sheets around the cards as a PDF reader finds them: tags, pages, paper, type that can be read, the same bytes."""

import io
import os
import re
import subprocess
import sys
from pathlib import Path

import fontpkg_fira_sans
import pikepdf
import pypdf
import pytest
from fontTools.ttLib import TTFont
from tests.pdf.test_card_pdf import ROOT, pages, squeezed, structure
from tests.render.sample_sheets import MACHINES, all_samples, of_machine

from benchleaf.card.sheet_isolation import IsolationSheet, IsolatorLine
from benchleaf.card.sheet_limits import LimitsSheet
from benchleaf.card.sheet_tag import HeldBy
from benchleaf.render import pdf, sheets, signs
from benchleaf.render.theme import load

THEME = load()
NAMES = [sample.name for sample in all_samples()]
POINTS_PER_MM = 72 / 25.4


def made(sheet, pictures):
    page = sheets.page(sheet, pictures, THEME)
    return pdf.write_pdf(page, pictures, title=sheets.title(sheet), language="en")


@pytest.fixture(scope="module")
def files():
    """Sheet and PDF of each sample, by name."""
    return {sample.name: (sample.sheet, made(sample.sheet, sample.pictures)) for sample in all_samples()}


def runs(content):
    """Every piece of text on the pages: its text, size in points as printed, and where it begins."""
    found = []
    for number, page in enumerate(pypdf.PdfReader(io.BytesIO(content)).pages):

        def visit(text, matrix, text_matrix, font, size, number=number):
            if text.strip():
                # The height of a line of this size after both matrices, which may turn it upside down.
                height = abs(text_matrix[2] * matrix[1] + text_matrix[3] * matrix[3])
                x = text_matrix[4] * matrix[0] + text_matrix[5] * matrix[2] + matrix[4]
                y = text_matrix[4] * matrix[1] + text_matrix[5] * matrix[3] + matrix[5]
                upright = text_matrix[3] * matrix[3] > 0
                found.append((number, text.strip(), size * height, x, y, upright))

        page.extract_text(visitor_text=visit)
    return found


def drawn_text(pictures):
    """The text in drawings, with its size in the drawing's measure."""
    pattern = r'<text [^>]*font-size="([\d.]+)"[^>]*>([^<]+)</text>'
    found = (re.findall(pattern, each.decode()) for each in pictures.values())
    return [(words, float(size)) for each in found for size, words in each]


def sample_of(name):
    return next(sample for sample in all_samples() if sample.name == name)


@pytest.mark.parametrize("name", NAMES)
def test_tagged_titled_and_in_a_language(files, name):
    """PDF/UA-1 (ISO 14289-1): marked, title shown, language set, structure tree; read back, no validator ran."""
    sheet, content = files[name]
    with pikepdf.open(io.BytesIO(content)) as document:
        assert document.Root.MarkInfo.Marked
        assert str(document.Root.Lang) == "en"
        assert document.Root.ViewerPreferences.DisplayDocTitle
        assert str(document.docinfo["/Title"]) == sheets.title(sheet)
        with document.open_metadata() as metadata:
            assert metadata["pdfuaid:part"] == "1"
        kinds = [str(element.S) for element in structure(document)]
    assert kinds.count("/H1") == 1
    assert "/H2" in kinds
    assert isinstance(sheet, LimitsSheet) or {"/Table", "/TD"} <= set(kinds)


@pytest.mark.parametrize("name", NAMES)
def test_each_picture_says_what_it_shows(files, name):
    sheet, content = files[name]
    with pikepdf.open(io.BytesIO(content)) as document:
        texts = [str(element.get("/Alt", "")) for element in structure(document) if element.S == "/Figure"]
    assert all(texts)
    figure = getattr(sheet, "figure", None)
    assert figure is None or figure.alt in texts


@pytest.mark.parametrize("name", NAMES)
def test_only_our_fonts_are_in_it(files, name):
    with pikepdf.open(io.BytesIO(files[name][1])) as document:
        items = [item for item in document.objects if isinstance(item, pikepdf.Dictionary)]
        names = {str(item.BaseFont) for item in items if "/BaseFont" in item}
        descriptors = [item for item in items if "/FontName" in item]
        assert descriptors and all("/FontFile2" in item or "/FontFile3" in item for item in descriptors)
    assert names and all(re.match(r"/\w{6}\+Fira-Sans", each) for each in names)


@pytest.mark.parametrize("name", NAMES)
def test_no_type_is_too_small_for_a_torch(files, name):
    """Nine points at least: common practice, no source."""
    found = runs(files[name][1])
    assert len(found) > 5
    small = {(text, round(size, 1)) for _, text, size, *_ in found if size < 8.99}
    assert not small


@pytest.mark.parametrize("machine", MACHINES)
def test_no_number_of_a_figure_is_too_small_for_a_torch(machine):
    """The figure is drawn 160 mm wide, or 102 mm high where that makes it smaller."""
    (drawing,) = of_machine(machine)["isolation"].pictures.values()
    width, height = map(float, re.search(r'viewBox="\d+ \d+ (\d+) (\d+)"', drawing.decode()).groups())
    scale = min(160 / width, 102 / height) * POINTS_PER_MM
    found = drawn_text({"machine": drawing})
    assert len(found) > 10 and all(size * scale >= 9 for _, size in found)


@pytest.mark.parametrize("name", NAMES)
def test_all_type_lies_within_its_page(files, name):
    """Five millimetres from each edge, which most printers can't reach (common practice, no source)."""
    _, content = files[name]
    boxes = [page.mediabox for page in pypdf.PdfReader(io.BytesIO(content)).pages]
    margin = 5 * POINTS_PER_MM
    # Text of a drawing comes in the drawing's own measure; the drawing as a whole lies within the page's margins.
    drawn = {words for words, _ in drawn_text(sample_of(name).pictures)}
    for number, text, _, x, y, _ in runs(content):
        width, height = float(boxes[number].width), float(boxes[number].height)
        within = margin <= x <= width - margin and margin <= y <= height - margin
        assert within or text in drawn, (number, text, x, y)


@pytest.mark.parametrize("name", [name for name in NAMES if not name.startswith("tag")])
def test_each_page_has_its_number_and_the_mark_of_its_content(files, name):
    sheet, content = files[name]
    found = pages(content)
    for number, text in enumerate(found, start=1):
        assert squeezed(f"page {number} of {len(found)}") in text
        assert f"mark{sheets.content_mark(sheet)}" in text


def test_paper_is_what_the_shop_says(files):
    """A4: 210 mm by 297 mm, A6: 105 mm by 148 mm (ISO 216); a quarter of Letter: 4.25 in by 5.5 in."""
    for name, (sheet, content) in files.items():
        letter = getattr(sheet, "paper", None) == "Letter"
        size = (105, 148) if isinstance(sheet, LimitsSheet) else (215.9, 279.4) if letter else (210, 297)
        for page in pypdf.PdfReader(io.BytesIO(content)).pages:
            found = (float(page.mediabox.width), float(page.mediabox.height))
            assert found == pytest.approx([each * POINTS_PER_MM for each in size], abs=0.1), name


@pytest.mark.parametrize("kind", ["isolation", "machine", "tag", "limits"])
def test_letter_paper(kind):
    sample = of_machine("rc-48")[kind]
    sheet = sample.sheet._replace(head=sample.sheet.head._replace(paper="Letter"))
    page = pypdf.PdfReader(io.BytesIO(made(sheet, sample.pictures))).pages[0]
    wanted = (306, 396) if kind == "limits" else (612, 792)
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(wanted, abs=0.1)


def test_steps_of_the_isolation_sheet_are_read_in_their_order(files):
    for sheet, content in files.values():
        if isinstance(sheet, IsolationSheet):
            text, place = "".join(pages(content)), 0
            for step in (*sheet.lock, *sheet.prove, *sheet.back):
                place = text.index(squeezed(f"{step.number}{step.command}"), place)
                for red, black in step.pairs:
                    place = text.index(squeezed(red.name), place)
                    place = text.index(squeezed(black.name), place)


def test_a_reading_sheet_is_one_page(files):
    for name, (_, content) in files.items():
        if name.startswith("reading"):
            assert len(pages(content)) == 1, name


# The out-of-service tag


def cap_height(points):
    """The height of capitals in millimetres, of the bold face at this size."""
    with TTFont(Path(fontpkg_fira_sans.ROOT) / "files" / "FiraSans-Bold.ttf") as font:
        return points * font["OS/2"].sCapHeight / font["head"].unitsPerEm / POINTS_PER_MM


@pytest.fixture(params=["ht-600", "pc-9", "rc-48"])
def tag(request, files):
    return files[f"tag {request.param}"]


def test_the_tag_can_be_read_at_two_metres(tag):
    """Capitals of a hundred-and-fiftieth of the distance (ANSI Z535.4, annex B, from memory)."""
    for words in ("DANGER", "DO NOT OPERATE", "OUT OF SERVICE"):
        (size,) = {size for _, text, size, *_ in runs(tag[1]) if text == words}
        assert cap_height(size) >= 2000 / 150


def test_the_tag_forbids_and_has_a_blank_for_all_that_the_next_person_needs(tag):
    """29 CFR 1910.147(c)(5)(iii): it warns and says what not to do; (c)(5)(ii)(D): it names who put it on."""
    sheet, content = tag
    (text,) = pages(content)
    for words in ("Do not start, switch, lower or connect anything", "Serial number", "Date and time", "Put on by",
                  "Phone", "number of the finding", "Locked", "Left open, removed", "This tag is no lock"):  # fmt: skip
        assert squeezed(words) in text
    for line in sheet.isolators:
        assert squeezed(f"{line.name}: {line.value}").lower() in text.lower()
    for thing in sheet.things:
        assert squeezed(thing.name).lower() in text.lower()
    for each in sheet.stays:
        assert squeezed(each.name) in text


def test_the_back_of_the_tag_is_upside_down_above_the_fold(tag):
    """Folded back along the middle, both sides stand upright."""
    fold = 148.5 * POINTS_PER_MM
    sides = {text: (upright, y) for _, text, _, _, y, upright in runs(tag[1])}
    assert sides["DO NOT OPERATE"][0] and sides["DO NOT OPERATE"][1] < fold
    assert not sides["Locked: tick what carries a lock"][0] and sides["Locked: tick what carries a lock"][1] > fold
    assert all(upright == (y < fold) for upright, y in sides.values())


@pytest.mark.parametrize(("paper", "height"), [("A4", 297), ("Letter", 279.4)])
@pytest.mark.parametrize("count", [0, 1, 3, 4, 12, 13])
def test_a_crowded_tag_still_fits(count, paper, height):
    """Whatever the machine has, nothing runs over the edge or onto the other side."""
    sheet = of_machine("rc-48")["tag"].sheet
    valves = [IsolatorLine(f"v{n}", f"isolating valve number {n}", "shut and blanked", "", "lock", "break")
              for n in range(count)]  # fmt: skip
    props = tuple(HeldBy(f"service prop {n}", ()) for n in range(9))
    sheet = sheet._replace(isolators=tuple(valves), things=props, stays=sheet.stays * 2)
    content = made(sheet._replace(head=sheet.head._replace(paper=paper)), {})
    fold, margin = height / 2 * POINTS_PER_MM, 5 * POINTS_PER_MM
    assert len(pages(content)) == 1
    for _, text, _, _, y, upright in runs(content):
        assert (margin <= y < fold) if upright else (fold < y <= 2 * fold - margin), text


TWICE = """
import hashlib
from benchleaf.render import pdf, sheets
from benchleaf.render.theme import load
from tests.render.sample_sheets import of_machine, picking_sample, reading_samples
whole = hashlib.sha256()
for sample in (*of_machine("rc-48").values(), picking_sample(), reading_samples()[0]):
    page = sheets.page(sample.sheet, sample.pictures, load())
    whole.update(pdf.write_pdf(page, sample.pictures, title=sheets.title(sample.sheet), language="en"))
sample = of_machine("rc-48")["isolation"]
whole.update(sheets.screen(sample.sheet, sample.pictures, load()).encode())
print(whole.hexdigest())
"""


def test_same_bytes_from_separate_processes_with_other_hash_seeds():
    digests = set()
    for seed in ("1", "2"):
        environment = os.environ | {
            "PYTHONHASHSEED": seed, "PYTHONPATH": os.pathsep.join((str(ROOT / "builder"), str(ROOT)))
        }  # fmt: skip
        run = subprocess.run(
            [sys.executable, "-c", TWICE], env=environment, check=True, capture_output=True, text=True, timeout=240
        )
        assert run.stderr == ""
        digests.add(run.stdout)
    assert len(digests) == 1


def shades(text):
    """The colours that a style or a drawing names, greys left out, as parts of one."""
    names = re.findall(r"#([0-9a-f]{6})\b", text.lower())
    found = {tuple(round(int(each[place : place + 2], 16) / 255, 2) for place in (0, 2, 4)) for each in names}
    return {each for each in found if max(each) - min(each) > 0.05}


def test_colour_stands_only_behind_words_and_in_signs(files):
    """The panel of the tag and the frame of the emergency; printed in grey, nothing is lost but the look."""
    known = shades(THEME.light["danger"]) | shades(THEME.light["safe"])
    known = known.union(*(shades(signs.drawing(number)) for number in signs.signs()))
    seen = set()
    for _, content in files.values():
        with pikepdf.open(io.BytesIO(content)) as document:
            for each in (each for page in document.pages for each in pikepdf.parse_content_stream(page)):
                if str(each.operator) in ("rg", "RG"):
                    shade = tuple(round(float(value), 2) for value in each.operands)
                    seen |= {shade} if max(shade) - min(shade) > 0.05 else set()
    assert seen
    assert not {one for one in seen if one not in known}
