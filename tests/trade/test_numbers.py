"""Numbers and quantities as printed, against the SI Brochure."""

from decimal import Decimal
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.model import units
from benchleaf.model.quantity import Fault, Quantity, make, parse
from benchleaf.trade.numbers import number, printed, printed_band, with_unit

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "data/units_published.yaml").read_text("utf-8"))
WRITABLE = [unit for unit in units.units() if unit.symbol != "1"]
WRITTEN = st.builds(
    lambda digits, place: Decimal(digits).scaleb(place), st.integers(-(10**12), 10**12), st.integers(-9, 0)
)
SHOP = {
    "torque": ("N·m", "lbf·ft"),
    "length": ("mm", "in"),
    "pressure": ("bar", "psi"),
    "temperature": ("degC", "degF"),
}


def read(text: str) -> Quantity:
    quantity = parse(text)
    assert isinstance(quantity, Quantity)
    return quantity


def plain(text: str) -> str:
    """The text with its narrow no-break spaces made visible."""
    return text.replace("\u202f", "~")


@pytest.mark.parametrize("row", PUBLISHED["printed"], ids=lambda row: row["written"])
def test_print_of_the_si_brochure(row):
    assert plain(printed(read(row["written"]), {})) == row["printed"], row["clause"]


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ("0", "0"),
        ("-0", "0"),
        ("0.50", "0.50"),
        ("-5", "−5"),
        ("9999", "9999"),
        ("10000", "10~000"),
        ("1234567.0001", "1~234~567.0001"),
        ("0.00012", "0.000~12"),
        ("-0.000001", "−0.000~001"),
        ("1E+6", "1~000~000"),
    ],
)
def test_digits(value, text):
    """SI Brochure, 9th edition, 5.4.4 (from memory)."""
    assert plain(number(Decimal(value))) == text


@pytest.mark.parametrize(
    ("locale", "text"),
    [("en", "12~345.6"), ("en-GB", "12~345.6"), ("de", "12~345,6"), ("de_AT", "12~345,6"), ("es", "12~345,6")],
)
def test_the_decimal_mark_is_that_of_the_language(locale, text):
    assert plain(number(Decimal("12345.6"), locale)) == text


def test_a_language_that_is_not_known_is_said():
    with pytest.raises(ValueError, match="how xx writes numbers is not known; known are en, de, es"):
        number(Decimal(1), "xx")


@pytest.mark.parametrize(
    ("written", "text"),
    [
        ("36 N·m", "36~N·m (27~lbf·ft)"),
        ("27 lbf·ft", "37~N·m (27~lbf·ft)"),
        ("0.05 mm", "0.05~mm (0.0020~in)"),
        ("350 kPa", "3.50~bar (50.8~psi)"),
        ("-5 °C", "−5~°C (23~°F)"),
        ("50.9 V", "50.9~V"),
        ("5 US gal", "5~US~gal"),
    ],
)
def test_the_shop_says_which_units(written, text):
    assert plain(printed(read(written), SHOP)) == text


def test_three_units_and_units_of_one_symbol():
    assert plain(printed(read("1.5 bar"), {"pressure": ("bar", "psi", "kPa")})) == "1.5~bar (22~psi; 150~kPa)"
    assert plain(printed(read("1.5 bar"), {"pressure": ("bar", "bar")})) == "1.5~bar"
    with pytest.raises(KeyError):
        printed(read("1.5 bar"), {"pressure": ("N·m",)})


def test_absolute_pressure_is_printed_as_such():
    quantity = parse("1013 mbar", "absolute-pressure")
    assert isinstance(quantity, Quantity)
    assert plain(printed(quantity, SHOP)) == "1013~mbar(a)"


def test_a_pure_ratio_has_no_unit():
    assert with_unit(Decimal("0.85"), units.unit("1")) == "0.85"


def test_a_limit_by_its_role_is_rounded_inward():
    assert plain(printed(read("36 N·m"), SHOP, "low")) == "36~N·m (27~lbf·ft)"
    assert plain(printed(read("36 N·m"), SHOP, "high")) == "36~N·m (26~lbf·ft)"


def band(low: str, nominal: str, high: str, locale: str = "en") -> list[str]:
    bottom, middle, top = (read(text) if text else None for text in (low, nominal, high))
    return [plain(text) for text in printed_band(bottom, middle, top, SHOP, locale)]


def test_bands():
    assert band("50.2 V", "50.9 V", "51.6 V") == ["50.2~V", "50.9~V", "51.6~V", "50.2~V to 51.6~V"]
    assert band("34 N·m", "36 N·m", "38 N·m") == [
        "34~N·m (26~lbf·ft)",
        "36~N·m (27~lbf·ft)",
        "38~N·m (28~lbf·ft)",
        "34~N·m to 38~N·m (26~lbf·ft to 28~lbf·ft)",
    ]
    assert band("", "", "3 bar") == ["", "", "3~bar (43~psi)", "≤~3~bar (≤~43~psi)"]
    assert band("3 bar", "", "")[3] == "≥~3~bar (≥~44~psi)"
    assert band("", "36 N·m", "")[3] == "36~N·m (27~lbf·ft)"
    assert band("4.5 V", "", "5.5 V", "de")[3] == "4,5~V bis 5,5~V"
    assert band("1 in", "", "1 in")[3] == "25.4~mm (1~in)"
    with pytest.raises(ValueError, match="at least one limit"):
        band("", "", "")


def test_a_unit_in_which_no_band_lies_inside_is_left_out():
    assert band("1 mm", "", "1 mm")[3] == "1~mm"
    one = read("1 mm")
    assert plain(printed_band(one, None, one, {"length": ("in",)}).text) == "1~mm"


@given(WRITTEN, st.sampled_from(WRITABLE))
def test_what_is_printed_is_read_again(value, unit):
    again = parse(printed(make(value, unit), {}), unit.dimension)
    assert isinstance(again, Quantity), again
    assert (again.value, again.unit) == (value, unit)
    assert f"{abs(again.value):f}" == f"{abs(value):f}"


@given(WRITTEN, st.sampled_from(WRITABLE))
def test_a_decimal_comma_is_never_misread(value, unit):
    """What a German card prints is read as the same number, or refused; never as another one."""
    again = parse(with_unit(value, unit, "de"), unit.dimension)
    if isinstance(again, Quantity):
        assert again.value == value
    else:
        assert "," in with_unit(value, unit, "de")
        assert again.code in {"decimal-comma", "thousands", "number-form"}


def test_a_comma_of_three_digits_is_refused_with_both_readings():
    fault = parse(with_unit(Decimal("1.500"), units.unit("V"), "de"))
    assert isinstance(fault, Fault) and fault.change is None
    assert "`1500\u202fV` or `1.500\u202fV`" in fault.mend


@given(st.sampled_from(("en", "de", "es")), WRITTEN, st.sampled_from(WRITABLE))
def test_a_printed_quantity_never_breaks(locale, value, unit):
    """No ordinary space stands in a number, nor between it and its unit."""
    text = with_unit(value, unit, locale)
    assert not set(text) & {" ", "-", "\t"} or "-" in unit.symbol
    assert text.endswith(unit.symbol.replace(" ", "\u202f"))
