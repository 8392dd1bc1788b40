"""Cards with extreme texts: whatever a writer writes stands on paper, whole and within the page."""

import re
import subprocess

import pytest
from pypdf import PdfReader
from tests.render.sample_cards import FIGURES, REPLACEMENT
from tests.render.sample_sheets import of_machine, picking_sample, reading_samples

from benchleaf.build.readback import missing, text_of_pdf
from benchleaf.render import html, pdf, sheets
from benchleaf.render.form import Form
from benchleaf.render.theme import load

LONG = " ".join(["Turn the slow wheel by hand and look at the belt while it moves."] * 154)
UNBREAKABLE = "Wheelbearinghousing" * 16


def everywhere(card, **changed):
    """The card with these fields of each of its written steps changed."""
    sections = tuple(
        section._replace(steps=tuple(step if step.inserted else step._replace(**changed) for step in section.steps))
        for section in card.sections
    )
    return card._replace(sections=sections)


def first_only(card, **changed):
    key = next(step.key for step in card.steps if not step.inserted)
    return card._replace(
        sections=tuple(
            section._replace(
                steps=tuple(step._replace(**changed) if step.key == key else step for step in section.steps)
            )
            for section in card.sections
        )
    )


def three_hundred(card):
    last = card.sections[-1]
    step = next(step for step in card.steps if not step.inserted)._replace(figure=None, warnings=(), reading=None)
    steps = (step._replace(key=f"more-{place}", number=100 + place) for place in range(300))
    return card._replace(sections=(*card.sections[:-1], last._replace(steps=(*last.steps, *steps))))


def unbreakable(card):
    card = everywhere(card, command=UNBREAKABLE, place=UNBREAKABLE)
    return card._replace(
        title=UNBREAKABLE,
        purpose=UNBREAKABLE,
        complaint=UNBREAKABLE,
        owner=UNBREAKABLE,
        after=UNBREAKABLE,
        machine=card.machine._replace(name=UNBREAKABLE, serials=UNBREAKABLE),
        outcomes=tuple(each._replace(title=UNBREAKABLE, text=UNBREAKABLE) for each in card.outcomes),
        hazards=tuple(
            each._replace(name=UNBREAKABLE, size=UNBREAKABLE, isolation=UNBREAKABLE, proof=UNBREAKABLE)
            for each in card.hazards
        ),
        emergency=(UNBREAKABLE, LONG[:2000]),
    )


A4, POCKET = Form(), Form("pocket")
CASES = {
    "a step of two thousand words": (lambda card: first_only(card, command=LONG), (A4, POCKET)),
    "a remark of two thousand words": (lambda card: first_only(card, info=LONG), (POCKET,)),
    "three hundred steps": (three_hundred, (A4,)),
    "words that nothing breaks": (unbreakable, (A4, POCKET)),
}


@pytest.mark.parametrize(
    ("spoilt", "form"),
    [
        pytest.param(spoilt, form, id=f"{name}, {form.paper}")
        for name, (spoilt, forms) in CASES.items()
        for form in forms
    ],
)
def test_no_text_is_lost_or_cut(spoilt, form, tmp_path):
    card = spoilt(REPLACEMENT)
    page = html.page(card, FIGURES, load(), form)
    content = pdf.write_pdf(page, FIGURES, title="Extreme", language="en", zoom=form.zoom)
    assert missing(card, text_of_pdf(content)) == ()
    assert all(inside_page(content, tmp_path))


def inside_page(content, tmp_path):
    """Of each word whether the box of its glyphs lies within the page."""
    file = tmp_path / "made.pdf"
    file.write_bytes(content)
    box = PdfReader(file).pages[0].mediabox
    asked = ["pdftotext", "-bbox", str(file), "-"]
    told = subprocess.run(asked, check=True, capture_output=True, text=True).stdout
    words = re.findall(r'xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">([^<]*)', told)
    assert len(words) > 50
    return [
        float(left) >= 0 and float(right) <= box.width and float(top) >= 0 and float(bottom) <= box.height
        for left, top, right, bottom, word in words
        # The mark across the page is turned, and boxes of turned text are not to be believed.
        if word != "DRAFT"
    ]


# What a writer words, as the fields of the sheets' records are called.
WORDED = frozenset(
    [
        "absent",
        "complaint",
        "command",
        "detail",
        "does",
        "emergency",
        "how",
        "info",
        "isolation",
        "lock",
        "maker",
        "name",
        "owner",
        "place",
        "proof",
        "serials",
        "shop",
        "size",
        "source",
        "stays",
        "text",
        "title",
    ]
)


def worded(value):
    """The record with a word that nothing breaks in all that a writer words."""
    if not isinstance(value, tuple):
        return value
    if not hasattr(value, "_fields"):
        return tuple(map(worded, value))
    changed = {
        name: UNBREAKABLE if name in WORDED and isinstance(each, str) and each else worded(each)
        for name, each in zip(value._fields, value, strict=True)
    }
    return type(value)(**changed)


@pytest.mark.parametrize("kind", ["isolation", "tag", "machine", "limits", "picking", "reading"])
def test_no_word_runs_off_a_sheet(kind, tmp_path):
    sample = {**of_machine("ht-600"), "picking": picking_sample(), "reading": reading_samples()[0]}[kind]
    sheet = worded(sample.sheet)
    page = sheets.page(sheet, sample.pictures, load())
    assert page.count(UNBREAKABLE) > 5
    content = pdf.write_pdf(page, sample.pictures, title="Extreme", language="en")
    assert all(inside_page(content, tmp_path))
