"""Sentences and words are counted as ASD-STE100 counts them (counting rules from memory)."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.passes.language import MOST_DESCRIBING, MOST_PROCEDURAL, MOST_SENTENCES
from benchleaf.passes.language_words import count, numbers_with_units, sentences


def test_the_numbers_of_the_standard():
    """ASD-STE100: 20 words in a procedural, 25 in a descriptive sentence, 6 sentences (public reproduction)."""
    assert (MOST_PROCEDURAL, MOST_DESCRIBING, MOST_SENTENCES) == (20, 25, 6)


@pytest.mark.parametrize(
    ("sentence", "words"),
    [
        ("Turn the key on.", 4),
        ("Set the on-off key to a half-open place.", 8),
        ("Wait 5 min.", 2),
        ("Tighten to 36 N·m in two stages.", 6),
        ("It reads 50.2 V at 20 °C.", 5),
        ("Part the plug (the yellow one on the left).", 6),
        ("Part it (it is the yellow plug on the left side).", 9),
        ("Use the `P1` and **N1** studs - both.", 7),
        ("", 0),
    ],
)
def test_words(sentence, words):
    assert count(sentence) == words


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("One. Two! Three?", ["One.", "Two!", "Three?"]),
        ("It reads 50.2 V. Go on.", ["It reads 50.2 V.", "Go on."]),
        ("See fig. 3 and no. 4 of the plate.", ["See fig. 3 and no. 4 of the plate."]),
        ("Take e.g. Plug P1. Go on.", ["Take e.g. Plug P1.", "Go on."]),
        ("- one\n- two\n- three", ["one", "two", "three"]),
        ("Look at\nthe rim.", ["Look at\nthe rim."]),
        ("First.\n\nSecond", ["First.", "Second"]),
        ("…", []),
    ],
)
def test_sentences(text, expected):
    found = sentences(text)
    assert [stretch.text for stretch in found] == expected
    assert all(text[stretch.start : stretch.end] == stretch.text for stretch in found)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Fill in 5 L of oil.", ["5 L"]),
        ("It takes 36 N·m, then 90°.", ["36 N·m", "90°"]),
        ("At −5 °C wait 10min.", ["−5 °C", "10min"]),
        ("Use M10x1.5, pin 2 in plug 3, 4 A-studs.", []),
        ("Drawing MW-0031, sheet 2, of 2026.", []),
        ("(12 mm)", ["12 mm"]),
    ],
)
def test_numbers_with_units(text, expected):
    found = numbers_with_units(text)
    assert [stretch.text for stretch in found] == expected
    assert all(text[stretch.start : stretch.end] == stretch.text for stretch in found)


@given(st.text(alphabet="ab .!?()-\n*`5V", max_size=60))
def test_sentences_hold_all_letters_in_order(text):
    together = "".join(stretch.text for stretch in sentences(text))
    assert [letter for letter in together if letter.isalnum()] == [letter for letter in text if letter.isalnum()]


@given(st.text(max_size=80))
def test_any_text_is_counted(text):
    assert sum(count(stretch.text) for stretch in sentences(text)) <= max(len(text), 0)
