"""Converted values against NIST SP 811 and LC 1137, and the laws of bands that never widen."""

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest
import yaml
from hypothesis import assume, given
from hypothesis import strategies as st

from benchleaf.model import units
from benchleaf.model.quantity import Quantity, make, parse
from benchleaf.trade.rounding import FEWEST_FIGURES, Band, convert, convert_band, half_even, last_place, place_of

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "data/units_published.yaml").read_text("utf-8"))
ALL = tuple(unit for unit in units.units() if unit.symbol != "1")
WRITTEN = st.builds(
    lambda digits, place: Decimal(digits).scaleb(place),
    st.integers(-99999, 99999),
    st.integers(min_value=-4, max_value=0),
)


def read(text: str) -> Quantity:
    quantity = parse(text)
    assert isinstance(quantity, Quantity)
    return quantity


@st.composite
def pairs(draw):
    """Two units of one dimension."""
    unit = draw(st.sampled_from(ALL))
    return unit, draw(st.sampled_from([each for each in ALL if each.dimension == unit.dimension]))


@st.composite
def bands(draw):
    """A low, a nominal and a high of one unit, and another unit of the same dimension."""
    unit, other = draw(pairs())
    low, nominal, high = (make(value, unit) for value in sorted(draw(st.tuples(WRITTEN, WRITTEN, WRITTEN))))
    assume(low < high)
    return low, nominal, high, other


@pytest.mark.parametrize("row", PUBLISHED["rounding"], ids=lambda row: row["written"])
def test_published_examples(row):
    """NIST SP 811, B.7.2, and LC 1137; how each is known stands in the data file."""
    assert str(convert(read(row["written"]), row["to"]).printed) == row["printed"]


@pytest.mark.parametrize("row", PUBLISHED["half_even"], ids=lambda row: row["value"])
def test_half_goes_to_even(row):
    """NIST SP 811, B.7.1 (from memory)."""
    assert str(half_even(Decimal(row["value"]), row["place"])) == row["rounded"]


@pytest.mark.parametrize(
    ("written", "to", "printed"),
    [
        ("36 N·m", "lbf·ft", "27"),
        ("3 bar", "psi", "44"),
        ("2.4 kohm", "ohm", "2400"),
        ("24 V", "mV", "24000"),
        ("0.05 mm", "in", "0.0020"),
        ("25.0 °C", "°F", "77.0"),
        ("-5 °F", "°C", "-21"),
        ("8 h", "min", "480"),
        ("25.4 mm", "mm", "25.4"),
        ("0 °C", "°F", "32"),
        ("0 V", "mV", "0"),
    ],
)
def test_what_the_trade_prints(written, to, printed):
    """Common practice, no source: the digits a workshop expects in the other unit."""
    assert str(convert(read(written), to).printed) == printed


def test_a_note_of_sp_811():
    """B.7.2, note (from memory): 36 ft known to ± 1 inch is still 11.0 m; 10.97 m would claim five times too much."""
    assert place_of(2 * Fraction("0.0254")) == -1


def test_exact_and_rounded_are_said():
    assert convert(read("3 bar"), "kPa")[3:] == (True, False)
    assert convert(read("3 bar"), "psi")[3:] == (True, True)
    assert convert(read("180 °"), "rad")[3:] == (False, True)
    assert convert(read("36 ft"), "m").value == Decimal("10.9728")


def test_a_limit_is_rounded_inward_by_its_role():
    low, high = convert(read("36 N·m"), "lbf·ft", "low"), convert(read("36 N·m"), "lbf·ft", "high")
    assert [str(low.printed), str(high.printed)] == ["27", "26"]
    assert (convert(read("-5 psi"), "bar", "low").printed, convert(read("-5 psi"), "bar", "high").printed) == (
        Decimal("-0.34"),
        Decimal("-0.35"),
    )


def test_a_band_that_would_close_takes_one_more_digit():
    band = convert_band(read("36 N·m"), None, read("37 N·m"), "lbf·ft")
    assert band is not None
    assert (str(band.low), str(band.high), band.rounded) == ("26.6", "27.2", True)


def test_a_band_keeps_half_its_width():
    """From 26.55 to 28.76 lbf·ft nothing is lost by 27 to 28; from 26.55 to 28.03 one digit more is taken."""
    wide = convert_band(read("34 N·m"), read("36 N·m"), read("38 N·m"), "lbf·ft")
    assert wide is not None
    assert [str(each) for each in wide[:3]] == ["26", "27", "28"]
    narrow = convert_band(read("35 N·m"), None, read("37 N·m"), "lbf·ft")
    assert narrow is not None
    assert Fraction(narrow.high or 0) - Fraction(narrow.low or 0) >= make(2, "N·m").exactly("lbf·ft") / 2


def test_a_band_in_its_own_unit_stays_as_written():
    band = convert_band(read("50.2 V"), read("50.90 V"), read("51.6 V"), "V")
    assert band == Band(Decimal("50.2"), Decimal("50.90"), Decimal("51.6"), units.unit("V"), False)
    assert str(band.nominal) == "50.90"


def test_limits_may_be_written_in_different_units():
    band = convert_band(read("500 mV"), None, read("1.2 V"), "V")
    assert band is not None and (band.low, band.high, band.rounded) == (Decimal("0.5"), Decimal("1.2"), False)


def test_a_band_of_no_width():
    inch, millimetre = read("1 in"), read("1 mm")
    exact = convert_band(inch, None, inch, "mm")
    assert exact is not None and exact.low == exact.high == Decimal("25.4")
    assert convert_band(millimetre, None, millimetre, "in") is None


def test_what_is_no_band():
    with pytest.raises(ValueError, match="is above"):
        convert_band(read("5 V"), None, read("4 V"), "mV")
    with pytest.raises(ValueError, match="at least one limit"):
        convert_band(None, None, None, "V")
    with pytest.raises(ValueError, match="is not a voltage"):
        convert(read("5 N·m"), units.unit("V"))


@given(WRITTEN, pairs())
def test_digits_are_consistent_with_what_is_written(value, both):
    """SP 811, B.7.2: the step printed is within the square root of ten of the step written, unless fewer than two
    figures would be left; and the value is off by half a step at most."""
    unit, other = both
    quantity = make(value, unit)
    converted = convert(quantity, other)
    assume(unit != other)
    step = Fraction(10) ** last_place(converted.printed)
    true_step = Fraction(10) ** last_place(value) * unit.factor / other.factor
    exact = quantity.exactly(other)
    assert converted.rounded == (Fraction(converted.printed) != exact)
    if step == 1:
        # Whole numbers carry no mark of how far they are rounded.
        coarsest = max(true_step**2 * 10, Fraction(1))
        assert (2 * (Fraction(converted.printed) - exact)) ** 2 <= coarsest
    else:
        assert abs(Fraction(converted.printed) - exact) * 2 <= step
        few = len(str(abs(int(Fraction(converted.printed) / step)))) <= FEWEST_FIGURES + 1
        assert true_step**2 / 10 <= step**2 <= true_step**2 * 10 or (few and step < true_step)


@given(bands())
def test_a_printed_band_lies_inside_the_true_one(drawn):
    low, nominal, high, other = drawn
    band = convert_band(low, nominal, high, other)
    assert band is not None and band.low is not None and band.nominal is not None and band.high is not None
    assert low.exactly(other) <= Fraction(band.low) <= Fraction(band.high) <= high.exactly(other)
    assert band.low <= band.nominal <= band.high
    assert Fraction(band.high) - Fraction(band.low) >= (high.exactly(other) - low.exactly(other)) / 2


@given(bands())
def test_there_and_back_never_widens(drawn):
    low, nominal, high, other = drawn
    there = convert_band(low, nominal, high, other)
    assert there is not None and there.low is not None and there.high is not None
    assume(there.low < there.high)
    back = convert_band(make(there.low, other), None, make(there.high, other), low.unit)
    assert back is not None and back.low is not None and back.high is not None
    assert low.value <= back.low <= back.high <= high.value


@given(WRITTEN, pairs())
def test_one_sided_limits_never_widen(value, both):
    unit, other = both
    limit = make(value, unit)
    low, high = convert_band(limit, None, None, other), convert_band(None, None, limit, other)
    assert low is not None and low.low is not None and Fraction(low.low) >= limit.exactly(other)
    assert high is not None and high.high is not None and Fraction(high.high) <= limit.exactly(other)
    assert (low.low, high.high) == (convert(limit, other, "low").printed, convert(limit, other, "high").printed)
