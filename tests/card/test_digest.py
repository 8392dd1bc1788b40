"""The digest of a card: canonical JSON as RFC 8785 has it, over what is signed and nothing else.

Vectors: RFC 8785, 3.2.2 to 3.2.4, and the test data published beside it (cyberphone/json-canonicalization, testdata).
"""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.render.sample_cards import FAULT_FINDING, RAM, REPLACEMENT

from benchleaf.card.digest import canonical, content, digest
from benchleaf.card.model import Card, Issue, plain
from benchleaf.card.restore import restored

SAMPLES = {"FAULT_FINDING": FAULT_FINDING, "REPLACEMENT": REPLACEMENT, "RAM": RAM}
PUBLISHED = {
    "values": (
        '{"numbers": [1E30, 4.50, 333333333.33333329, 2e-3, 0.000000000000000000000000001],'
        r' "escaping": "\u20ac$\u000F\u000aA\u0027\u0042\u0022\u005c\\\"\/", "literals": [null, true, false]}',
        r'{"escaping":"€$\u000f\nA' + "'" + r'B\"\\\\\"/","literals":[null,true,false],'
        '"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27]}',
    ),
    "weird": (
        r'{"\u20ac": "Euro Sign", "1": "One", "\u0080": "Control\u007f", "\ud83d\ude02": "Smiley", "\u00f6": '
        r'"Latin Small Letter O With Diaeresis", "\ufb33": "Hebrew Letter Dalet With Dagesh", '
        '"</script>": "Browser Challenge"}',
        '{"1":"One","</script>":"Browser Challenge","\u0080":"Control\u007f","\u00f6":"Latin Small Letter O With '
        'Diaeresis","\u20ac":"Euro Sign","\U0001f602":"Smiley","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
    ),
    "structures": (
        r'{"1": {"f": {"f": "hi","F": 5} ,"\n": 56.0}, "10": { }, "": "empty", "a": { }, "111": [ { } ], "A": { }}',
        r'{"":"empty","1":{"\n":56,"f":{"F":5,"f":"hi"}},"10":{},"111":[{}],"A":{},"a":{}}',
    ),
    "french": (
        '{"peach": "This sorting order", "p\u00e9ch\u00e9": "is wrong according to French", '
        '"p\u00eache": "but canonicalization MUST", "sin": "ingnore locale"}',
        '{"peach":"This sorting order","p\u00e9ch\u00e9":"is wrong according to French",'
        '"p\u00eache":"but canonicalization MUST","sin":"ingnore locale"}',
    ),
}


@pytest.mark.parametrize("name", PUBLISHED)
def test_canonical_json_is_that_of_the_published_vectors(name):
    given, wanted = PUBLISHED[name]
    assert canonical(json.loads(given)).decode() == wanted


def test_what_json_cannot_carry_exactly_is_refused():
    """RFC 8785, 3.2.2.3: numbers beyond 2^53 have no exact form (RFC 7493, 2.2)."""
    with pytest.raises(ValueError):
        canonical({"n": 2**53 + 1})


JSON = st.recursive(
    st.none() | st.booleans() | st.integers(-(2**53) + 1, 2**53 - 1) | st.text(),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=4), inner, max_size=4),
    max_leaves=12,
)


@given(JSON)
def test_canonical_bytes_are_stable(data):
    once = canonical(data)
    assert canonical(json.loads(once)) == once


@pytest.mark.parametrize("name", SAMPLES)
def test_a_card_comes_back_from_its_content(name):
    card = SAMPLES[name]
    signed = json.loads(canonical(content(card)))
    assert content(restored(signed)) == content(card)
    outside = {name: getattr(card, name) for name in ("state", "tool", "paper")}
    assert plain(restored(signed)._replace(**outside)) == plain(card)
    assert digest(restored(signed)) == digest(card) == digest(plain(card)) == digest(signed)


@pytest.mark.parametrize(
    "outside",
    [
        {"state": "withdrawn"},
        {"tool": "9.9"},
        {"paper": "Letter"},
        {"flags": ("Valid until 2027-01-31.",)},
        {"history": (Issue("A", "2026-01-31", "technical: First issue", "somebody"),)},
    ],
)
def test_what_is_computed_or_layout_is_outside(outside):
    card = SAMPLES["FAULT_FINDING"]
    assert digest(card._replace(**outside)) == digest(card)


INSIDE = sorted(set(Card._fields) - {"state", "tool", "paper", "flags", "history"})


@pytest.mark.parametrize("field", INSIDE)
def test_every_other_field_is_inside(field):
    card = SAMPLES["FAULT_FINDING"]
    data = plain(card)
    data[field] = {"changed": "x"} if field in ("facts", "machine") else "changed"
    assert digest(data) != digest(card)


@pytest.mark.parametrize("spoiled", [{"id": 3}, {"sections": {}}, {"machine": "rig"}, {"crew": [{"role": 1}]}])
def test_what_is_no_card_is_refused(spoiled):
    with pytest.raises(ValueError):
        restored(content(SAMPLES["FAULT_FINDING"]) | spoiled)
