"""Quantities as written: what is read, and how sizes compare and convert."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.model import units
from benchleaf.model.quantity import Fault, Quantity, fit, make, parse

ALL = tuple(units.units())
WRITABLE = [unit for unit in ALL if unit.symbol != "1"]
NUMBERS = st.decimals(min_value=-(10**14), max_value=10**14, places=6).map(lambda number: number.normalize() + 0)


def read(text: str, dimension: str | None = None) -> Quantity:
    quantity = parse(text, dimension)
    assert isinstance(quantity, Quantity), quantity
    return quantity


@pytest.mark.parametrize(
    ("text", "value", "symbol", "dimension"),
    [
        ("24 V", "24", "V", "voltage"),
        ("25.0 °C", "25.0", "°C", "temperature"),
        ("2.4 kohm", "2.4", "kΩ", "resistance"),
        ("38 N·m", "38", "N·m", "torque"),
        ("1.00 kohm", "1.00", "kΩ", "resistance"),
        ("-5 psi", "-5", "psi", "pressure"),
        ("−5 psi", "-5", "psi", "pressure"),
        ("+5 V", "5", "V", "voltage"),
        ("0.05 mm", "0.05", "mm", "length"),
        ("1.265 SG", "1.265", "SG", "specific-gravity"),
        ("1500 1/min", "1500", "1/min", "rotational-speed"),
        ("90°", "90", "°", "angle"),
        ("78 dB(A)", "78", "dB(A)", "sound-level"),
        ("10 mil", "10", "mil", "length"),
        ("5 fl oz", "5", "US fl oz", "volume"),
        ("5\u00a0V", "5", "V", "voltage"),
        ("12\u202f345.678\u202f9\u202fV", "12345.6789", "V", "voltage"),
        ("5\u202fUS\u202fgal", "5", "US gal", "volume"),
        (" 5 V ", "5", "V", "voltage"),
    ],
)
def test_what_is_read(text, value, symbol, dimension):
    quantity = read(text)
    assert str(quantity.value) == value
    assert (quantity.unit.symbol, quantity.dimension) == (symbol, dimension)


def test_a_missing_space_is_read_and_noted():
    """SI Brochure, 9th edition, 5.4.3 (from memory): a space always, but not before the degree of an angle."""
    (note,) = read("24V").notes
    assert (note.code, note.offset, note.length, note.change, note.mend) == ("no-space", 2, 0, " ", "Write `24 V`.")
    assert [note.code for note in read("75%").notes] == ["no-space"]
    assert [note.code for note in read("25°C").notes] == ["no-space"]
    assert read("24 V").notes == read("90°").notes == read("5\u202fV").notes == ()


@pytest.mark.parametrize(
    ("text", "dimension", "symbol"),
    [
        ("5 K", "temperature-difference", "K"),
        ("5 °C", "temperature-difference", "°C"),
        ("1013 mbar", "absolute-pressure", "mbar(a)"),
        ("3 bar", "pressure", "bar"),
        ("3 bar(g)", "pressure", "bar(g)"),
        ("640 MPa", "stress", "MPa"),
    ],
)
def test_the_field_says_which_of_two_dimensions(text, dimension, symbol):
    quantity = read(text, dimension)
    assert (quantity.unit.symbol, quantity.dimension) == (symbol, dimension)
    assert fit(read(text), dimension) == quantity


def test_a_difference_has_no_zero_point():
    """A span of 9 °F is 5 K; 9 °F itself is -12.78 °C (NIST SP 811, B.8, from memory)."""
    assert read("9 °F", "temperature-difference").to("K") == 5
    assert read("9 °F").to("°C") == pytest.approx(Decimal("-12.778"), abs=Decimal("0.001"))


@pytest.mark.parametrize(
    ("text", "dimension", "change"),
    [
        ("5 V", "resistance", None),
        ("25 C", "temperature", "°C"),
        ("20 N·m", "energy", "J"),
        ("20 J", "torque", "N·m"),
        ("3 bar(g)", "absolute-pressure", None),
        ("3 psia", "pressure", None),
        ("5 K", "resistance", "kΩ"),
        ("12 Ah", "current", "A"),
        ("5 kg", "force", "kgf"),
    ],
)
def test_the_wrong_dimension_is_refused(text, dimension, change):
    fault = parse(text, dimension)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.change) == ("wrong-dimension", change)
    assert text[fault.offset : fault.offset + fault.length] == text.split()[1]


def test_gauge_never_becomes_absolute_by_a_change_of_symbol():
    fault = parse("3 bar(g)", "absolute-pressure")
    assert isinstance(fault, Fault)
    assert "air around" in fault.mend


@given(NUMBERS, st.sampled_from(WRITABLE))
def test_what_is_written_is_read_again(number, unit):
    made = make(number, unit)
    again = read(made.text, unit.dimension)
    assert (again.value, again.unit) == (number, unit)
    assert again.same(made)


@given(NUMBERS, st.data())
def test_converting_there_and_back_changes_nothing(number, data):
    unit = data.draw(st.sampled_from(WRITABLE))
    other = data.draw(st.sampled_from([each for each in ALL if each.dimension == unit.dimension]))
    there = make(number, unit).exactly(other)
    assert (there * other.factor + other.offset - unit.offset) / unit.factor == Fraction(number)


@given(NUMBERS, NUMBERS, st.data())
def test_order_is_that_of_sizes(one, two, data):
    unit = data.draw(st.sampled_from(WRITABLE))
    other = data.draw(st.sampled_from([each for each in WRITABLE if each.dimension == unit.dimension]))
    a, b = make(one, unit), make(two, other)
    assert [a < b, a.same(b), a > b].count(True) == 1
    assert (a <= b) == (not a > b) and (a >= b) == (not a < b)
    assert (a < b) == (a.exactly(other) < Fraction(two))


def test_equal_as_written_and_equal_in_size():
    assert read("1 V") == read("1 V")
    assert read("1 V") != read("1000 mV")
    assert read("1 V").same(read("1000 mV"))
    assert not read("20 N·m").same(read("20 J"))


def test_base_is_exact():
    assert read("0.1 mV").base == Fraction(1, 10000)
    assert read("30 psi").base == 30 * Fraction("4.4482216152605") / Fraction("0.0254") ** 2
    assert read("32 °F").base == Fraction("273.15")
    assert read("24 V").number() == 24.0
    assert read("1 in").number("mm") == 25.4


def test_conversion_ends_at_34_digits_where_it_never_ends():
    assert str(read("1 mm").to("in")) == "0.03937007874015748031496062992125984"
    assert str(read("1 in").to("mm")) == "25.4"


def test_what_cannot_be_compared():
    with pytest.raises(TypeError, match="torque and energy"):
        _ = read("20 N·m") < read("20 J")
    with pytest.raises(ValueError, match="is not a voltage"):
        read("20 N·m").to(units.unit("V"))
    with pytest.raises(KeyError, match="no unit 'V' of torque"):
        read("20 N·m").to("V")
