"""The hazard tables: every kind whole, every row with its source, signal words as ANSI Z535.6 defines them."""

import json

import pytest

from benchleaf.base.resources import table_text
from benchleaf.trade.hazards import KINDS, OCCASIONS, hazard, hazard_words

WARNINGS = [(kind, occasion, text) for kind in KINDS for occasion, text in hazard(kind).warnings.items()]


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_stays_is_warned_of(kind):
    assert "stays" in hazard(kind).warnings
    assert hazard(kind).sign.startswith("W")


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_names_its_threshold_and_where_that_comes_from(kind):
    row = json.loads(table_text("trade/hazards", f"{kind}.json"))
    assert row["threshold"]["quantity"] and row["threshold"]["source"]
    assert set(row) <= {*OCCASIONS, "kind", "sign", "name", "threshold", "gear", "gear_live", "chemistry", "emergency"}


@pytest.mark.parametrize(("kind", "occasion", "text"), WARNINGS)
def test_each_warning_has_three_parts_and_a_source(kind, occasion, text):
    # ANSI Z535.4 and Z535.6: hazard, consequence, avoidance; public reproduction.
    assert text.hazard and text.consequence and text.avoidance and text.signs
    assert text.source.strip()


@pytest.mark.parametrize("text", [t for _, _, t in WARNINGS] + [t for t, _ in hazard_words().values()])
def test_signal_words_fit_what_they_say(text):
    # ANSI Z535.6: danger "will", warning and caution "could" result in harm; public reproduction (2007 and later).
    assert text.word in ("danger", "warning", "caution", "notice")
    if text.word == "danger":
        assert "will" in text.consequence
    else:
        assert " will " not in text.consequence
