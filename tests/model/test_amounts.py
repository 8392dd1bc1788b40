"""Accuracies, gassing currents and ranges as written."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.model.amounts import (
    Accuracy,
    GasCurrent,
    QuantityRange,
    parse_accuracy,
    parse_gas_current,
    parse_range,
)
from benchleaf.model.quantity import Fault


@pytest.mark.parametrize(
    ("text", "percent", "digits", "fixed"),
    [
        ("0.5 % + 2 digits", "0.5", 2, None),
        ("±(0.5 % + 2 digits)", "0.5", 2, None),
        ("± 0.5 % + 1 digit", "0.5", 1, None),
        ("3 counts + 0.9 %", "0.9", 3, None),
        ("4 %", "4", 0, None),
        ("0.5%", "0.5", 0, None),
        ("2 digits", "0", 2, None),
        ("1 % + 5 mV", "1", 0, "5 mV"),
        ("0.4 bar", "0", 0, "0.4 bar"),
        ("±1.5 dB(A)", "0", 0, "1.5 dB(A)"),
        ("(1 % + 0.1 bar(g))", "1", 0, "0.1 bar(g)"),
        ("1 % + 2 digits + 1 mohm", "1", 2, "1 mohm"),
    ],
)
def test_accuracies(text, percent, digits, fixed):
    accuracy = parse_accuracy(text)
    assert isinstance(accuracy, Accuracy)
    assert (str(accuracy.percent), accuracy.digits, accuracy.text) == (percent, digits, text)
    assert (accuracy.fixed.text if accuracy.fixed else None) == fixed


def test_degrees_of_an_accuracy_are_a_difference():
    accuracy = parse_accuracy("±2 °C")
    assert isinstance(accuracy, Accuracy) and accuracy.fixed
    assert accuracy.fixed.dimension == "temperature-difference"
    assert accuracy.fixed.to("K") == 2


@pytest.mark.parametrize(
    ("text", "code", "part"),
    [
        ("", "empty", ""),
        ("0.5", "bare-number", "0.5"),
        ("0,5 % + 2 digits", "decimal-comma", "0,5"),
        ("1 % + 2 Digits", "unknown-unit", "Digits"),
        ("(1 %", "accuracy", "(1 %"),
        ("1 % + 1 %", "accuracy", " 1 %"),
        ("2 digits + 1 digit", "accuracy", " 1 digit"),
        ("1 % of reading", "accuracy", "of reading"),
        ("(0.5 % + 2 digits", "accuracy", "(0.5 % + 2 digits"),
        ("0.5 % + 2 digits)", "accuracy", "0.5 % + 2 digits)"),
        ("1.6 % FS", "accuracy", "FS"),
        ("1.6 % of full scale", "accuracy", "of full scale"),
        ("0.5 % + 2 dgt", "accuracy", "dgt"),
        ("-1 %", "accuracy", "-1 %"),
        ("0 %", "accuracy", "0 %"),
        ("1 % + ", "empty", " "),
    ],
)
def test_accuracies_refused(text, code, part):
    fault = parse_accuracy(text)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.text[fault.offset : fault.offset + fault.length]) == (code, part)
    assert fault.text == text and fault.mend


def test_gassing_currents_keep_their_unit():
    """The traction form has A per 100 A·h, the stationary one mA per A·h: 5 mA per A·h is 0.5 A per 100 A·h
    (IEC 62485-3 and IEC 62485-2, from memory)."""
    traction, stationary = parse_gas_current("7 A per 100 Ah"), parse_gas_current("5 mA per Ah")
    assert isinstance(traction, GasCurrent) and isinstance(stationary, GasCurrent)
    assert traction.per_100_ah == 7
    assert stationary.per_100_ah == Decimal("0.5")
    assert stationary.capacity.text == "1 Ah"


@pytest.mark.parametrize(
    ("text", "code", "part"),
    [
        ("7 A", "gas-current", "7 A"),
        ("7", "gas-current", "7"),
        ("7 per 100 Ah", "bare-number", "7"),
        ("7 A per 100", "bare-number", "100"),
        ("7 V per 100 Ah", "wrong-dimension", "V"),
        ("7 A per 100 A", "wrong-dimension", "A"),
        ("7 A per cell", "gas-current", "cell"),
        ("7,5 A per 100 Ah", "decimal-comma", "7,5"),
        ("-7 A per 100 Ah", "gas-current", "-7 A per 100 Ah"),
        ("7 A per 0 Ah", "gas-current", "7 A per 0 Ah"),
    ],
)
def test_gassing_currents_refused(text, code, part):
    fault = parse_gas_current(text)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.text[fault.offset : fault.offset + fault.length]) == (code, part)
    assert fault.text == text and fault.mend


def test_ranges():
    found = parse_range("12 V to 690 V")
    assert isinstance(found, QuantityRange)
    assert (found.low.text, found.high.text) == ("12 V", "690 V")
    assert isinstance(parse_range("500 mV to 1 V", "voltage"), QuantityRange)


@pytest.mark.parametrize(
    ("text", "code", "mend"),
    [
        ("12 V", "range", "Write it as `12 V to 690 V`."),
        ("690 V to 12 V", "range", "Write `12 V to 690 V`."),
        ("12 to 690 V", "bare-number", "Write `12 V to 690 V`."),
        ("12 A to 690 V", "wrong-dimension", "Write it in `V` or its like."),
        ("1,2 V to 690 V", "decimal-comma", "Write `1.2 V to 690 V`."),
        ("12 V to 69,0 V", "decimal-comma", "Write `12 V to 69.0 V`."),
    ],
)
def test_ranges_refused(text, code, mend):
    fault = parse_range(text)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.mend, fault.text) == (code, mend, text)


def test_a_range_of_the_wrong_dimension():
    fault = parse_range("12 V to 690 V", "resistance")
    assert isinstance(fault, Fault) and fault.code == "wrong-dimension"


WORDS = st.lists(
    st.sampled_from(
        ["1", "0.5", " ", "%", "+", "digits", "(", ")", "±", "V", "per", " per ", " to ", "Ah", "A", ",", "of"]
    )
)


@given(WORDS.map("".join))
def test_any_text_is_read_or_refused_inside_it(text):
    for read in (parse_accuracy(text), parse_gas_current(text), parse_range(text)):
        if isinstance(read, Fault):
            assert read.text == text
            assert 0 <= read.offset <= read.offset + read.length <= len(text)
