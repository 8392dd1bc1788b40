"""The hazard tables: every kind whole, every row with its source, signal words as ANSI Z535.6 defines them."""

import json
from decimal import Decimal

import pytest

from benchleaf.base.resources import table_text
from benchleaf.model.quantity import make
from benchleaf.trade.hazards import (
    KINDS,
    NEARNESSES,
    OCCASIONS,
    SEVERITIES,
    hazard,
    hazard_words,
    limits,
    signal_word,
)

WARNINGS = [(kind, occasion, text) for kind in KINDS for occasion, text in hazard(kind).warnings.items()]


@pytest.mark.parametrize("kind", KINDS)
def test_whatever_stays_is_warned_of(kind):
    assert "stays" in hazard(kind).warnings
    assert hazard(kind).sign.startswith("W")


@pytest.mark.parametrize("kind", KINDS)
def test_each_kind_says_how_far_it_reaches_and_where_everything_comes_from(kind):
    row = json.loads(table_text("trade/hazards", f"{kind}.json"))
    assert row["reach"] in ("touch", "near", "zone") and row["reach_source"]
    assert all(row[f"{name}_source"] for name in ("gear", "gear_live", "emergency") if name in row)
    assert all(each["source"] for each in row.get("chemistry", {}).values())
    sources = {f"{name}_source" for name in ("reach", "gear", "gear_live", "emergency")}
    known = {*OCCASIONS, *sources, "kind", "sign", "name", "reach", "gear", "gear_live", "chemistry", "emergency"}
    assert set(row) <= known


@pytest.mark.parametrize(("kind", "occasion", "text"), WARNINGS)
def test_each_warning_has_three_parts_and_a_source(kind, occasion, text):
    # ANSI Z535.4 and Z535.6: hazard, consequence, avoidance; public reproduction.
    assert text.hazard and text.consequence and text.avoidance and text.signs
    assert text.source.strip()


EVERY = [t for _, _, t in WARNINGS] + [t for t, _ in hazard_words().values()]


@pytest.mark.parametrize("text", EVERY)
def test_each_row_has_severity_and_likelihood_by_nearness(text):
    assert text.severity in SEVERITIES and text.below in (*SEVERITIES, "")
    assert tuple(text.likelihood) == NEARNESSES and set(text.likelihood.values()) <= {"will", "could"}
    assert not text.threshold or text.threshold in limits()
    # The farther away, the less likely.
    order = [text.likelihood[name] for name in NEARNESSES]
    assert order == sorted(order, reverse=True)


@pytest.mark.parametrize(
    ("severity", "likelihood", "word"),
    [
        # ANSI Z535.6, definitions, from memory: "a hazardous situation that, if not avoided, will result in death or
        # serious injury"; "... could result in death or serious injury"; "... could result in minor or moderate
        # injury"; notice: practices not related to physical injury.
        ("grave", "will", "danger"),
        ("grave", "could", "warning"),
        ("slight", "will", "caution"),
        ("slight", "could", "caution"),
        ("none", "will", "notice"),
        ("none", "could", "notice"),
    ],
)
def test_the_signal_word_follows_from_severity_and_likelihood(severity, likelihood, word):
    assert signal_word(severity, likelihood) == word


@pytest.mark.parametrize("text", EVERY)
def test_signal_words_fit_what_they_say(text):
    # ANSI Z535.6: danger "will", warning and caution "could" result in harm; public reproduction (2007 and later).
    will = any(signal_word(text.severity, each) == "danger" for each in text.likelihood.values())
    assert (" will " in text.consequence) == will


def test_limits_are_those_that_are_published():
    held = limits()
    # 29 CFR 1910.333(a)(1): 50 V. IEC 60204-1, 6.2.4: 60 V within 5 s, so 50 V is on its safe side. ISO 13732-1: bare
    # metal burns from 65 °C on within a second. NIOSH lifting equation: load constant 23 kg. Rest after a charge and
    # jets: common practice, no source.
    assert {name: limit.text for name, limit in held.items()} == {
        "shock": "50 V",
        "residual-voltage": "50 V",
        "burn": "60 °C",
        "lift": "23 kg",
        "injection": "7 bar",
        "rest-after-charge": "1 h",
    }
    for limit in held.values():
        number, _, unit = limit.text.partition(" ")
        quantity = make(Decimal(number), unit)
        assert quantity.dimension == limit.dimension, limit
        assert quantity.number() == pytest.approx(limit.size), limit
        assert limit.source and limit.tighter in ("lower", "higher")
    assert held["residual-voltage"].size <= 60 and held["burn"].size <= 65 + 273.15
