"""Places inside texts, nearest names, blanks: what the findings of several passes are made with."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.base.span import Span
from benchleaf.model.identifiers import blanks_in, each_value, filled, is_identifier, spellings
from benchleaf.model.nearest import nearest
from benchleaf.model.places import within
from benchleaf.model.relations import earlier_station

KNOWN = ("drive-motor", "drive-wheel", "contactor", "key-switch")


@pytest.mark.parametrize(
    ("name", "meant"),
    [("drive-moter", "drive-motor"), ("Contactor", "contactor"), ("drive-", None), ("pump", None), ("", None)],
)
def test_a_name_is_meant_only_where_it_stands_out(name, meant):
    assert nearest(name, KNOWN).meant == meant


def test_of_two_that_are_equally_near_none_is_meant():
    assert nearest("stand-c", ("stand-a", "stand-b")).names == ("stand-b", "stand-a")
    assert nearest("stand-c", ("stand-a", "stand-b")).meant is None
    assert nearest("pack-at-noon", ("pack-at-rest",)).names == ("pack-at-rest",)
    assert nearest("pack-at-noon", ("pack-at-rest",)).meant is None


def test_nearest_names_are_told_best_first():
    assert nearest("drive-meel", KNOWN).names == ("drive-wheel", "drive-motor")
    assert nearest("drive-meel", KNOWN).clause == "; nearest: `drive-wheel`, `drive-motor`"
    assert nearest("zzz", KNOWN).clause == ""


def test_places_in_plain_quoted_and_folded_texts():
    plain = Span("f", 3, 10, 3, 18)
    assert within("some text", Span("f", 3, 10, 3, 19), 5, 9) == Span("f", 3, 15, 3, 19)
    assert within("some text", Span("f", 3, 10, 3, 21), 5, 9) == Span("f", 3, 16, 3, 20)
    assert within("some text", plain, 5, 9) == plain
    assert within("some text", Span("f", 3, 10, 4, 19), 5, 9) == Span("f", 3, 10, 4, 19)


@pytest.mark.parametrize(
    ("text", "one"),
    [
        ("drive-motor", True),
        ("p1", True),
        ("P1", False),
        ("two words", False),
        ("-a", False),
        ("a--b", False),
        ("", False),
    ],
)
def test_what_is_a_name(text, one):
    assert is_identifier(text) is one


def test_each_goes_through_all_values_in_every_way():
    assert each_value("1..3") == ("1", "2", "3")
    assert each_value("3..1") == ()
    assert each_value("1..9999") == ()
    assert spellings("b{n}-{side}", {"n": "1..2", "side": "1..2"}) == ("b1-1", "b1-2", "b2-1", "b2-2")
    assert spellings("b{n}", {}) == ("b{n}",)
    assert len(spellings("{a}{b}{c}", dict.fromkeys("abc", "1..150"))) == 200


@given(st.text(alphabet="a{}b-1 ", max_size=30))
def test_blanks_are_where_they_are_said_to_be(text):
    for blank in blanks_in(text):
        assert text[blank.start : blank.end] == "{" + blank.name + "}"
    assert filled(text, {}) == text
    values = {blank.name: "X" for blank in blanks_in(text)}
    assert len(filled(text, values)) == len(text) - sum(b.end - b.start - 1 for b in blanks_in(text))


def test_a_limit_in_a_block_means_the_block_s_own_reading():
    keys = {"rest", "in-rest", "in-sag", "in-deep-sag", "sag"}
    assert earlier_station(keys, "sag", "rest") == "rest"
    assert earlier_station(keys, "in-sag", "rest") == "in-rest"
    assert earlier_station(keys, "in-deep-sag", "rest") == "in-rest"
    assert earlier_station(keys, "sag", "none") == ""
