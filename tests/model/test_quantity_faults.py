"""Texts that are no quantities: each is refused, named, pointed at, and mended where there is one right mending."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.model import units
from benchleaf.model.quantity import FAULT_CODES, Fault, Quantity, parse

# text, code, the part pointed at, what it becomes (None: more than one, or no, right mending)
REFUSED = [
    ("", "empty", "", None),
    ("   ", "empty", "   ", None),
    ("42", "bare-number", "42", None),
    ("-42.0", "bare-number", "42.0", None),
    ("V", "no-number", "V", None),
    ("on", "no-number", "on", None),
    ("1/min", "no-number", "1/min", None),
    ("V 24", "no-number", "V 24", None),
    ("10,5 V", "decimal-comma", "10,5", "10.5 V"),
    ("1,5 V", "decimal-comma", "1,5", "1.5 V"),
    ("0,005 mm", "decimal-comma", "0,005", "0.005 mm"),
    ("1,500 V", "decimal-comma", "1,500", None),
    ("1.234,5 V", "decimal-comma", "1.234,5", "1234.5 V"),
    ("1,234,567 V", "thousands", "1,234,567", "1234567 V"),
    ("1,234.5 V", "thousands", "1,234.5", "1234.5 V"),
    ("1 500 V", "thousands", "1 500", "1500 V"),
    ("1'500 V", "thousands", "1'500", "1500 V"),
    ("1_000 V", "thousands", "1_000", "1000 V"),
    ("1.500.000 V", "thousands", "1.500.000", "1500000 V"),
    ("5\tV", "number-form", "\t", "5 V"),
    ("10 5 V", "number-form", "10 5", None),
    ("1.2.3 V", "number-form", "1.2.3", None),
    ("4.2e3 ohm", "exponent", "4.2e3", "4200 ohm"),
    ("4.2 × 10^3 ohm", "exponent", "4.2 × 10^3", "4200 ohm"),
    ("5e-3 V", "exponent", "5e-3", "0.005 V"),
    ("1e400 V", "exponent", "1e400", None),
    ("nan V", "not-finite", "nan", None),
    ("-inf V", "not-finite", "-inf", None),
    ("∞ ohm", "not-finite", "∞", None),
    ("2**8 V", "number-form", "**", None),
    ("5 x 100 mm", "number-form", "x", None),
    ("0x1F V", "number-form", "0x1F", None),
    ("05 V", "number-form", "05", "5 V"),
    ("00 V", "number-form", "00", "0 V"),
    (".5 V", "number-form", ".5", "0.5 V"),
    ("5. V", "number-form", "5.", "5 V"),
    ("- 5 V", "number-form", "- ", "-5 V"),
    ("--5 V", "number-form", "--", None),
    ("12:30:45", "number-form", "12:30:45", None),
    ("٣ V", "number-form", "٣", "3 V"),
    ("５ V", "number-form", "５", "5 V"),
    ("1/2 in", "fraction", "1/2", "0.5 in"),
    ("1 1/2 in", "fraction", "1 1/2", "1.5 in"),
    ("3½ in", "fraction", "3½", "3.5 in"),
    ("1/3 in", "fraction", "1/3", None),
    ("1/0 in", "fraction", "1/0", None),
    ("1/2-13", "thread", "1/2-13", None),
    ("9/16-18 UNF", "thread", "9/16-18 UNF", None),
    ("M10x1.5", "thread", "M10x1.5", None),
    ("14 AWG", "wire-gauge", "14 AWG", None),
    ("1/0 AWG", "wire-gauge", "1/0 AWG", None),
    ("1..8", "range", "..", None),
    ("1..8 V", "range", "..", None),
    ("5-10 V", "range", "-", None),
    ("5 V – 10 V", "range", " – ", None),
    ("12 V to 690 V", "range", " to ", None),
    ("5 V ± 2 %", "tolerance", "±", None),
    ("±5 V", "tolerance", "±", None),
    ("< 5 V", "tolerance", "<", None),
    ("about 5 V", "tolerance", "about", None),
    ("5 ft 6 in", "several", "6 in", None),
    ("2 h 30 min", "several", "30 min", None),
    ("24 v", "unknown-unit", "v", "24 V"),
    ("24v", "unknown-unit", "v", "24 V"),
    ("5 Kohm", "unknown-unit", "Kohm", "5 kohm"),
    ("10 MV", "unknown-unit", "MV", "10 mV"),
    ("35 nm", "unknown-unit", "nm", "35 N·m"),
    ("35 ft-lbs", "unknown-unit", "ft-lbs", "35 lbf·ft"),
    ("5 V DC", "unknown-unit", "V DC", "5 V"),
    ("5 bar abs", "unknown-unit", "bar abs", "5 bar(a)"),
    ("2 cc", "unknown-unit", "cc", None),
    ("3 smoots", "unknown-unit", "smoots", None),
    ("35 N·m per bolt", "unknown-unit", " per bolt", "35 N·m"),
    ("35 N·m each", "unknown-unit", " each", "35 N·m"),
    ("2.12 V/cell", "unknown-unit", "/cell", None),
    ("4k7", "number-form", "4k7", "4.7 kΩ"),
    ("3V3", "number-form", "3V3", "3.3 V"),
    ("35 omh", "unknown-unit", "omh", "35 ohm"),
    ("5 K ohm", "unknown-unit", "K ohm", "5 kΩ"),
    ("35 V.", "unknown-unit", "V.", "35 V"),
    ("100000000000000000000 V", "too-long", "100000000000000000000", None),
    ("9" * 2000 + " V", "too-long", "9" * 80, None),
    ("5 " + "V" * 100, "too-long", "5 " + "V" * 78, None),
]


def mended(fault: Fault) -> str:
    assert fault.change is not None
    return fault.text[: fault.offset] + fault.change + fault.text[fault.offset + fault.length :]


@pytest.mark.parametrize(("text", "code", "part", "becomes"), REFUSED, ids=[row[0][:20] for row in REFUSED])
def test_what_is_refused(text, code, part, becomes):
    fault = parse(text)
    assert isinstance(fault, Fault)
    assert (fault.code, fault.text[fault.offset : fault.offset + fault.length]) == (code, part)
    assert fault.text == text
    if becomes is None:
        assert fault.change is None
        assert fault.mend
    else:
        assert mended(fault) == becomes
        assert fault.mend == f"Write `{becomes}`."
        assert isinstance(parse(becomes), Quantity)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("1,500 V", ("`1500 V`", "`1.500 V`")),
        ("2 cc", ("`mL`", "`cm³`")),
        ("5 M", ("`MΩ`", "`m`")),
        ("42", ("`42 V`",)),
    ],
)
def test_where_several_are_possible_all_are_named(text, parts):
    fault = parse(text)
    assert isinstance(fault, Fault)
    assert all(part in fault.mend for part in parts)


def test_the_field_shapes_the_example():
    for dimension in units.dimensions():
        fault = parse("42", dimension)
        assert isinstance(fault, Fault)
        assert f"`42 {units.usual_unit(dimension).symbol}`" in fault.mend


def test_what_is_likely_in_the_field_is_offered_first():
    fault = parse("31 lbs", "mass")
    assert isinstance(fault, Fault) and fault.change == "lb"
    fault = parse("31 lbs", "force")
    assert isinstance(fault, Fault) and fault.change == "lbf"


def test_wrong_case_is_said_to_be_one():
    """SI Brochure, 9th edition, 5.2 and 3: m is milli and M mega, nine powers of ten apart (from memory)."""
    fault = parse("24 v")
    assert isinstance(fault, Fault)
    assert "capital and small letters" in fault.sentence


def test_spaces_around_do_not_move_the_pointer():
    fault = parse("  10,5 V ")
    assert isinstance(fault, Fault)
    assert fault.text[fault.offset : fault.offset + fault.length] == "10,5"
    assert mended(fault) == "  10.5 V "


def test_every_code_is_met():
    met = {row[1] for row in REFUSED} | {"wrong-dimension", "no-space", "accuracy", "gas-current"}
    assert met == set(FAULT_CODES)


PIECES = st.sampled_from(
    [
        *"0123456789 .,'/-+±×eE_:~<",
        "\u202f",
        "−",
        "V",
        "v",
        "kohm",
        "N·m",
        "mm",
        "1/min",
        "in",
        "°",
        "%",
        "to",
        "per",
        "½",
        "٣",
        "\n",
    ]
)


@given(
    st.one_of(st.text(max_size=100), st.lists(PIECES, max_size=12).map("".join)),
    st.sampled_from((None, *units.dimensions())),
)
def test_any_text_is_read_or_refused_with_reason(text, dimension):
    """Nothing raises; a fault lies inside its text; mending leads to a quantity in the end, never in a circle."""
    seen = []
    read = parse(text, dimension)
    while isinstance(read, Fault):
        assert read.code in FAULT_CODES
        assert read.sentence and (read.mend or read.change is not None)
        assert 0 <= read.offset <= read.offset + read.length <= len(read.text)
        assert read.text == text
        if read.change is None:
            return
        seen.append(text)
        text = mended(read)
        assert text not in seen
        read = parse(text, dimension)
    assert dimension is None or read.dimension == dimension


@given(st.lists(PIECES, max_size=10).map("".join))
def test_what_is_read_is_one_number_and_one_unit(text):
    """No reading drops or joins characters: number and unit make up the whole text."""
    read = parse(text)
    if isinstance(read, Quantity):
        digits = f"{abs(read.value):f}"
        rest = read.text.translate(str.maketrans("", "", "\u202f ")).lstrip("+-−")
        assert rest.startswith(digits)
        names = [name.replace(" ", "") for name in units.spellings(read.unit)]
        assert rest.removeprefix(digits) in names
