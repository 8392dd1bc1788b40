"""Message catalogues: complete, current, with the blanks of the English, in the signal words of the standards."""

import json
import re
from pathlib import Path

import pytest
from babel import Locale
from tests.languages.scripted import refresh_wording

from benchleaf.base.said import fill
from benchleaf.base.span import Span
from benchleaf.build.wordings import digest_of, languages, wording
from benchleaf.model.basics import Words
from benchleaf.model.shop import Shop, SignedWording
from benchleaf.render.html import script_words
from benchleaf.source.translations import Broken, read

ROOT = Path(__file__).resolve().parents[2]
TEMPLATES = ROOT / "themes" / "daylight"

OTHERS = [language for language in languages() if language != "en"]
BLANK = re.compile(r"\{\w+\}")
SHOP = Shop(Span("shop.yaml"), "benchleaf/shop/1", Words("A shop"))
# ANSI Z535.6 asks for signal words in the reader's language. German: GEFAHR, WARNUNG, VORSICHT, HINWEIS as in
# DIN EN 82079-1 practice; Spanish: PELIGRO, ADVERTENCIA, ATENCIÓN, AVISO. From memory; common practice in both.
SIGNAL_WORDS = {
    "de": ("GEFAHR", "WARNUNG", "VORSICHT", "HINWEIS"),
    "es": ("PELIGRO", "ADVERTENCIA", "ATENCIÓN", "AVISO"),
}
# What stands in a template outside of tags, expressions and styles.
PIECES = re.compile(
    r"\{#.*?#\}|\{%.*?%\}|\{\{.*?\}\}|<style>.*?</style>|<script.*?</script>"
    r"|<[^<>]*?(?:\{\{.*?\}\}[^<>]*?|\{%.*?%\}[^<>]*?)*>",
    re.DOTALL,
)


def messages(language):
    return read((refresh_wording.LANGUAGES / f"{language}.po").read_text("utf-8"))


def test_catalogues_hold_what_is_said_and_nothing_else():
    stale = [path.name for path, content in refresh_wording.files().items() if path.read_bytes() != content]
    assert not stale, f"run builder/scripts/refresh_wording.py, then translate what is new in {stale}"


@pytest.mark.parametrize("language", OTHERS)
def test_every_message_is_translated_with_its_blanks(language):
    found = messages(language)
    assert len(found) == len(refresh_wording.messages()) > 900
    assert [each.text for each in found if not each.translation or each.fuzzy] == []
    assert [
        each.text for each in found if sorted(BLANK.findall(each.text)) != sorted(BLANK.findall(each.translation))
    ] == []


@pytest.mark.parametrize("language", OTHERS)
def test_what_scripts_say_within_other_text_is_translated_too(language):
    script = 'refuse(`${serial}: ${say("Take the card that is for it.")}`); say("Stopped")'
    words = json.loads(script_words(script, wording(language, SHOP)))["words"]
    assert words.keys() == {"Take the card that is for it.", "Stopped"}
    assert all(english != said for english, said in words.items())


@pytest.mark.parametrize("language", OTHERS)
def test_translations_are_not_the_english(language):
    same = [each.text for each in messages(language) if each.text == each.translation and len(each.text.split()) > 3]
    assert same == []


@pytest.mark.parametrize("language", OTHERS)
def test_spaces_at_the_ends_and_full_stops_are_kept(language):
    def ends(text):
        return text[:1] == " ", text[-1:] == " ", text.rstrip()[-1:] in ".?:"

    assert [each.text for each in messages(language) if ends(each.text)[:2] != ends(each.translation)[:2]] == []
    sentences = [each for each in messages(language) if each.text.endswith(".") and each.text.count(" ") > 1]
    assert [each.text for each in sentences if each.translation[-1:] not in ".?"] == []


@pytest.mark.parametrize("language", OTHERS)
def test_signal_words(language):
    said = {each.text: each.translation for each in messages(language)}
    assert tuple(said[word] for word in ("DANGER", "WARNING", "CAUTION", "NOTICE")) == SIGNAL_WORDS[language]


@pytest.mark.parametrize("language", OTHERS)
def test_numbers_as_the_locale_writes_them(language):
    """Decimal marks as in the Unicode CLDR, which Babel carries."""
    mark = Locale.parse(language).number_symbols["latn"]["decimal"]
    said = wording(language, SHOP)
    assert said.mark == mark
    from benchleaf.base.said import number

    assert (
        said.speak(number("50.2\u202fV to 1\u202f051.6\u202fV"))
        == f"50{mark}2\u202fV {said.to} 1\u202f051{mark}6\u202fV"
    )
    # A decimal point in running text is left alone: it may be a clause of a standard.
    assert said.speak(fill("{name}?", name="1910.147")).endswith("1910.147?")


def test_no_template_says_a_word_past_the_catalogue():
    loose = []
    for file in sorted(TEMPLATES.glob("*.html")):
        if file.name not in refresh_wording.ENGLISH_ONLY:
            rest = PIECES.split(file.read_text("utf-8"))
            loose += [f"{file.name}: {text.strip()}" for text in rest if re.search(r"[A-Za-z]{2}", text)]
    assert loose == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_wording_is_marked_until_the_shop_has_signed_these_very_words(language):
    assert digest_of(language) in wording(language, SHOP).note
    signed = SignedWording(Span("shop.yaml"), Words("A. Reader"), "2026-11-02", digest_of(language))
    assert wording(language, SHOP._replace(signed_wording={language: signed})).note == ""
    other = signed._replace(digest="0" * 12)
    assert digest_of(language) in wording(language, SHOP._replace(signed_wording={language: other})).note


def test_a_file_that_is_no_catalogue_is_told_with_its_line():
    with pytest.raises(Broken) as told:
        read('msgid "Open the lid."\nDeckel öffnen.\n')
    assert told.value.line > 0
