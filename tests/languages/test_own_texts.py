"""Translations of a procedure's own texts: used by its documents, and held by `check` against what the card says."""

import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from benchleaf.build import pipeline
from benchleaf.build.request import Making, Request, silence
from benchleaf.build.wordings import digest_of
from benchleaf.edge import cli

FILE = "procedures/df-1/filter-clean.de.po"
ALL = """
msgid "Clean the filter"
msgstr "Filter reinigen"
"""


@pytest.fixture
def root(tmp_path):
    place = tmp_path / "ws"
    assert cli.main(["begin", str(place)]) == 0
    return place


def write(root, content):
    (root / FILE).write_text(content, "utf-8")


def told(root):
    verdict = pipeline.run(Request(root, "2026-06-01"), silence).verdict
    return [(each.slug, each.span.file, each.span.line, each.sentence) for each in verdict.findings]


def built(root, language):
    out = root / "out"
    pipeline.run(Request(root, "2026-06-01", (), Making(out, ("html",), language=language)), silence)
    return (out / "df-1" / "filter-clean" / "checklist.html").read_text("utf-8")


def test_documents_say_the_translated_texts_and_stay_as_written_without(root):
    write(root, ALL)
    page = built(root, "de")
    assert re.search(r"<h1>Filter reinigen</h1>", page) and '<html lang="de"' in page
    assert "Wortlaut nicht geprüft" in page
    assert "Filter reinigen" in (root / "out" / "index.html").read_text("utf-8")
    spanish = built(root, "es")
    assert "<h1>Clean the filter</h1>" in spanish and "Filter reinigen" not in spanish
    assert "<h1>Clean the filter</h1>" in built(root, "")


def test_sheets_say_the_translated_texts(root):
    """What the sheets print of a procedure and its machine: its title, a part."""
    write(root, ALL + '\nmsgid "filter mat"\nmsgstr "Filtermatte"\n')
    pipeline.run(Request(root, "2026-06-01", (), Making(root / "out", ("pdf",), language="de")), silence)

    def text(file):
        return " ".join(page.extract_text() for page in PdfReader(root / "out" / "df-1" / file).pages)

    reading = text("filter-clean/reading-sheet.pdf")
    assert "Filter reinigen" in reading and "Clean the filter" not in reading
    picking = text("picking-list.pdf")
    assert "Filter reinigen" in picking and "Filtermatte" in picking and "filter mat" not in picking
    assert "Filtermatte" in text("machine-sheet.pdf")


def test_an_empty_catalogue_lists_every_text_with_its_place(root):
    write(root, "")
    found = [(file, line) for slug, file, line, _ in told(root) if slug == "document.not-translated"]
    source = (root / "procedures/df-1/filter-clean.yaml").read_text("utf-8").splitlines()
    assert len(found) > 5 and {file for file, _ in found} == {"procedures/df-1/filter-clean.yaml"}
    assert any("title:" in source[line - 1] for _, line in found)


def test_a_text_that_was_changed_makes_its_translation_stale(root):
    write(root, ALL)
    assert "document.stale-translation" not in {slug for slug, *_ in told(root)}
    source = root / "procedures/df-1/filter-clean.yaml"
    source.write_text(
        source.read_text("utf-8").replace("title: Clean the filter", "title: Clean the air filter"), "utf-8"
    )
    stale = [(file, line) for slug, file, line, _ in told(root) if slug == "document.stale-translation"]
    assert stale == [(FILE, 2)]
    missing = [sentence for slug, _, _, sentence in told(root) if slug == "document.not-translated"]
    assert any("Clean the air filter" in sentence for sentence in missing)


@pytest.mark.parametrize(
    ("content", "line"),
    [("this is no catalogue\n", 1), ('msgid "Open the {lid}."\nmsgstr "Deckel öffnen."\n', 1)],
)
def test_a_broken_catalogue_stops_the_procedure(root, content, line):
    write(root, content)
    assert ("document.broken-translation", FILE, line) in [each[:3] for each in told(root)]


def test_a_fuzzy_translation_is_not_said(root):
    write(root, "#, fuzzy" + ALL)
    assert "Filter reinigen" not in built(root, "de")


def test_a_check_remembers_nothing_past_a_changed_catalogue(root, capsys):
    write(root, ALL)
    shop = root / "procedures/shop.yaml"
    shop.write_text(shop.read_text("utf-8").replace("languages: [en]", "languages: [de]"), "utf-8")

    def slugs():
        capsys.readouterr()
        cli.main(["check", str(root)])
        return set(re.findall(r"\[([a-z.-]+)\]", capsys.readouterr().out))

    assert "document.wording-unsigned" in slugs()
    assert "document.stale-translation" not in slugs()
    write(root, ALL + '\nmsgid "Never said."\nmsgstr "Nie gesagt."\n')
    assert "document.stale-translation" in slugs()
    signed = f"signed_wording:\n  de: {{by: A. Reader, on: 2026-05-02, digest: {digest_of('de')}}}\n"
    shop.write_text(shop.read_text("utf-8") + signed, "utf-8")
    assert "document.wording-unsigned" not in slugs()
    assert "Wortlaut nicht geprüft" not in built(root, "")
    assert Path(root, "out/df-1/filter-clean/checklist.html").exists()
