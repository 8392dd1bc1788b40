"""The unit table against pint, NIST SP 811 and UCUM."""

import runpy
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pint
import pytest
import yaml

from benchleaf.model import units
from benchleaf.model.quantity import Quantity, make, parse

ROOT = Path(__file__).parents[2]
PUBLISHED = yaml.safe_load((ROOT / "tests/data/units_published.yaml").read_text("utf-8"))
ALL = tuple(units.units())

# Where pint reads a spelling of ours otherwise: [dimension, spelling] and pint's reading. In each case the trade's
# reading is the one of the table; pint's Btu is the rounded one of ISO, and its hertz counts radians.
PINT_DIFFERS = {
    ("energy", "Btu"): "british_thermal_unit",
    ("energy", "BTU"): "british_thermal_unit",
    ("power", "Btu/h"): "british_thermal_unit / hour",
    ("power", "BTU/h"): "british_thermal_unit / hour",
    ("rotational-speed", "1/min"): "1 / minute",
    ("rotational-speed", "min⁻¹"): "1 / minute",
    ("rotational-speed", "min^-1"): "1 / minute",
    ("rotational-speed", "1/s"): "1 / second",
    ("rotational-speed", "s⁻¹"): "1 / second",
    ("rotational-speed", "s^-1"): "1 / second",
    ("count", "cycles"): "turn",
    ("count", "cycle"): "turn",
}


@pytest.fixture(scope="module")
def source():
    return yaml.safe_load((ROOT / "builder/scripts/units.yaml").read_text("utf-8"))


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


def test_table_is_as_the_script_writes_it():
    script = runpy.run_path(str(ROOT / "builder/scripts/make_units.py"))
    assert script["TARGET"].read_text("utf-8") == script["text"]()


def test_every_factor_is_pints(source, registry):
    """By pint's ordinary floating-point registry, while the script works in exact fractions."""
    for unit in ALL:
        entry = source["dimensions"][unit.dimension]
        base = registry.parse_units(entry["units"][entry["base"]][0])
        told = entry["units"][unit.symbol][0]
        for size in (0, 1, 37):
            theirs = registry.Quantity(float(size), registry.parse_units(told)).to(base).magnitude
            ours = float(size * unit.factor + unit.offset)
            assert theirs == pytest.approx(ours, rel=1e-12, abs=1e-12 * float(unit.factor)), unit


def test_spellings_that_pint_reads_have_pints_size(source):
    """Independent of what units.yaml says a symbol is: pint is asked about the spelling itself."""
    registry: Any = pint.UnitRegistry(non_int_type=Fraction)
    agreed: set[units.Unit] = set()
    differs = {}
    for unit in ALL:
        entry = source["dimensions"][unit.dimension]
        base = registry.parse_units(entry["units"][entry["base"]][0])
        for spelling in units.spellings(unit):
            try:
                theirs = registry.parse_units(spelling)
                zero, one = (Fraction(registry.Quantity(Fraction(n), theirs).to(base).magnitude) for n in (0, 1))
            except (pint.errors.PintError, ValueError, TypeError, AssertionError):  # all of which pint raises
                continue
            if abs((one - zero) / unit.factor - 1) < Fraction(1, 10**12):
                agreed.add(unit)
            else:
                differs[unit.dimension, spelling] = str(theirs)
    assert differs == PINT_DIFFERS
    assert len(agreed) > 0.9 * len(ALL)


def test_pint_is_not_needed_to_read():
    names = (ROOT / "builder/benchleaf").rglob("*.py")
    assert not [name for name in names if "import pint" in name.read_text("utf-8")]


@pytest.mark.parametrize("row", PUBLISHED["factors"], ids=lambda row: row["unit"])
def test_factors_of_sp_811(row):
    """NIST SP 811 (2008), B.8 and B.9; how each is known stands in the data file."""
    one = make(1, row["unit"])
    assert abs(one.to(row["in"]) - Decimal(row["is"])) <= Decimal(row["within"])
    assert one.number(row["in"]) == pytest.approx(row["full"], rel=4e-16)


@pytest.mark.parametrize("row", PUBLISHED["conversions"], ids=lambda row: row["written"])
def test_conversions_of_sp_811(row):
    quantity = parse(row["written"])
    assert isinstance(quantity, Quantity)
    assert abs(quantity.to(row["to"]) - Decimal(row["is"])) <= Decimal(row["within"])


@pytest.mark.parametrize(("symbol", "code"), PUBLISHED["ucum"].items())
def test_codes_of_ucum(symbol, code):
    assert units.unit(symbol).ucum == code


def test_inch_of_mercury_is_not_that_of_ucum():
    """UCUM's differs from the conventional one by 3 ppm: the code is the nearest there is, the factor is SP 811's."""
    theirs = PUBLISHED["ucum_inch_of_mercury"]
    ours = make(1, "inHg").to("Pa")
    assert Decimal(theirs["within"]) < abs(ours - Decimal(theirs["is"])) < Decimal("0.02")


def test_symbols_are_printed_by_the_si_brochure():
    """SI Brochure, 9th edition, 5.2 to 5.4 (from memory): a half-high dot, raised powers, one solidus, no full stop."""
    for unit in ALL:
        assert not set(unit.symbol) & set(".*^"), unit
        assert unit.symbol.count("/") <= 1, unit
        assert not unit.symbol[-1].isdecimal() or unit.symbol == "1", unit
        assert "ohm" not in unit.symbol.lower() and "μ" not in unit.symbol, unit


def test_every_unit_is_found_by_its_spellings():
    for unit in ALL:
        names = units.spellings(unit)
        assert names[0] == unit.symbol
        assert all(units.find(name, unit.dimension) == unit for name in names)


@pytest.mark.parametrize(
    ("spelling", "symbol"),
    [
        ("ohm", "Ω"),
        ("Ohm", "Ω"),
        ("Ω", "Ω"),
        ("\N{OHM SIGN}", "Ω"),
        ("kohm", "kΩ"),
        ("kΩ", "kΩ"),
        ("mohm", "mΩ"),
        ("Mohm", "MΩ"),
        ("N·m", "N·m"),
        ("N⋅m", "N·m"),
        ("Nm", "N·m"),
        ("N.m", "N·m"),
        ("N m", "N·m"),
        ("ft·lbf", "lbf·ft"),
        ("lbf·ft", "lbf·ft"),
        ("ft-lb", "lbf·ft"),
        ("lb-ft", "lbf·ft"),
        ("in-lb", "lbf·in"),
        ("mm2", "mm²"),
        ("mm^2", "mm²"),
        ("mm²", "mm²"),
        ("m3/h", "m³/h"),
        ("uF", "µF"),
        ("µF", "µF"),
        ("μF", "µF"),
        ("degC", "°C"),
        ("°C", "°C"),
        ("℃", "°C"),
        ("Ah", "A·h"),
        ("kWh", "kW·h"),
        ("l", "L"),
        ("rpm", "r/min"),
        ("min-1", "1/min"),
        ("bara", "bar(a)"),
        ("gal", "US gal"),
        ("mph", "mi/h"),
        ("cfm", "ft³/min"),
        ("deg", "°"),
        ("VA", "V·A"),
    ],
)
def test_spellings_of_the_trade(spelling, symbol):
    assert units.unit(spelling).symbol == symbol


@pytest.mark.parametrize(
    ("wrong", "dimension", "right"),
    [
        ("v", None, ("V",)),
        ("Kohm", None, ("kohm",)),
        ("MV", None, ("mV",)),
        ("KW", None, ("kW",)),
        ("mhz", None, ("MHz",)),
        ("nm", None, ("N·m",)),
        ("NM", None, ("N·m",)),
        ("PSI", None, ("psi",)),
        ("hrs", None, ("h",)),
        ("ft-lbs", None, ("lbf·ft",)),
        ("cc", None, ("mL", "cm³")),
        ("lbs", "mass", ("lb",)),
        ("lbs", "force", ("lbf",)),
        ("ºC", None, ("°C",)),
        ("Bar", None, ("bar",)),
        ("kohn", None, ("kohm",)),
        ("k", "resistance", ("kΩ",)),
        ("gallon", None, ("US gal", "UK gal")),
        ("smoot", None, ()),
    ],
)
def test_wrong_spellings_have_a_right_one_near(wrong, dimension, right):
    assert units.find(wrong) is None
    assert units.nearest(wrong, dimension) == right


def test_case_never_gives_another_size_unseen():
    """The same letters in another case are never a unit of another size, but for the SI's own pairs."""
    pairs = {frozenset(("m", "M")), frozenset(("h", "H")), frozenset(("s", "S")), frozenset(("f", "F"))}
    by_letters: dict[str, list[str]] = {}
    for unit in ALL:
        for spelling in units.spellings(unit):
            by_letters.setdefault(spelling.casefold(), []).append(spelling)
    for same in by_letters.values():
        for one in same:
            for other in same:
                a, b = units.unit(one), units.unit(other)
                changed = {frozenset((x, y)) for x, y in zip(one, other, strict=True) if x != y}
                assert a.factor == b.factor or changed & pairs, (one, other)


def test_dimensions_are_told_apart():
    assert units.find("N·m", "energy") is None
    assert units.find("bar(g)", "absolute-pressure") is None
    assert units.find("bar(a)", "pressure") is None
    assert units.unit("bar").dimension == "pressure"
    assert units.unit("bar", "absolute-pressure").symbol == "bar(a)"
    assert units.unit("K").dimension == "temperature"
    assert units.unit("K", "temperature-difference").offset == 0
    assert units.unit("°F", "temperature-difference").factor == Fraction(5, 9)
    assert units.unit("psi", "stress").dimension == "stress"
    with pytest.raises(KeyError):
        units.unit("furlong")


def test_dimensions_have_a_base_of_their_own():
    for dimension in units.dimensions():
        base = units.base_unit(dimension)
        assert base.factor == 1 and base.offset == 0 and base.dimension == dimension
        assert units.usual_unit(dimension).dimension == dimension
        assert base in tuple(units.units(dimension))


def test_only_pi_is_inexact():
    assert {unit.symbol for unit in ALL if not unit.exact} == {"rad", "mrad", "rad/s", "N·m/rad"}


def test_every_mend_is_a_right_spelling(source):
    for wrong, right in source["mends"].items():
        assert units.find(wrong) is None, wrong
        assert all(units.find(symbol) for symbol in right), wrong
    for symbol, meant in source["instead"].items():
        assert units.find(symbol), symbol
        for dimension, other in meant.items():
            assert units.instead(symbol, dimension) == units.unit(other, dimension)
