"""`benchleaf calc`: published values through the command line, the shape of its output, and what it refuses."""

import json
import math
import subprocess
import sys
from pathlib import Path

import pint
import pytest
import yaml

from benchleaf.edge import cli
from benchleaf.edge.calc.answers import ANSWERS
from benchleaf.edge.calc.catalogue import calculations
from benchleaf.model.units import base_unit, find
from benchleaf.trade.numbers import SPACE

PUBLISHED = yaml.safe_load((Path(__file__).parents[1] / "data/published_calc.yaml").read_text("utf-8"))
NAMES = list(calculations())
# The contract of `calc`: results and their units.
RESULTS = {
    "torque": {"torque": "N·m", "preload": "N", "stress-area": "mm2", "proof-load": "N", "proof-stress": "MPa"},
    "preload": {"preload": "N", "share": "1"},
    "ventilation": {"flow": "m3/h", "opening": "cm2"},
    "short-circuit": {"current": "A"},
    "stored-energy": {"energy": "J"},
    "discharge": {"time": "s"},
    "lift": {"limit": "kg", "index": "1", "hm": "1", "vm": "1", "dm": "1", "am": "1", "fm": "1", "cm": "1"},
    "wire-drop": {"resistance": "ohm", "drop": "V", "share": "1", "diameter": "mm"},
    "battery-state": {"charge": "1", "full-voltage": "V", "empty-voltage": "V"},
    "convert": {"converted": "m", "printed": "m", "exact": ""},
    "guardband": {
        "half-width": "V",
        "standard-uncertainty": "V",
        "expanded-uncertainty": "V",
        "accept-low": "V",
        "accept-high": "V",
        "tur": "1",
        "risk": "1",
    },
}


@pytest.fixture
def answer(calc):
    """The JSON of a calculation that must succeed."""

    def answer_it(words):
        told = calc(words, "--format", "json")
        assert (told.code, told.err) == (0, ""), told.err
        return json.loads(told.out)

    return answer_it


@pytest.mark.parametrize("row", PUBLISHED, ids=lambda row: row["id"])
def test_published_value(answer, row):
    result = answer(row["calc"])["result"]
    for key, expected in row["result"].items():
        if isinstance(expected, str):
            assert result[key]["value"] == expected
        else:
            value, within, unit = expected
            assert abs(result[key]["value"] - value) <= float(within) + 1e-14 * abs(value), (key, result[key])
            assert result[key]["unit"] == unit
    assert row["source"] and row["why"] and row["known"] in ("public reproduction", "from memory")


def example(name):
    return calculations()[name].example.removeprefix("benchleaf calc ")


@pytest.mark.parametrize("name", NAMES)
def test_the_shape_of_a_result(answer, name):
    told = answer(example(name))
    assert list(told) == ["calc", "inputs", "result", "formula", "source"]
    assert told["calc"] == name
    assert {key: each["unit"] for key, each in told["result"].items()} == RESULTS[name]
    assert all(set(each) == {"value", "unit"} for each in told["result"].values())
    assert all(isinstance(text, str) for text in told["inputs"].values())
    assert told["formula"] and told["source"]


@pytest.mark.parametrize("name", NAMES)
def test_the_same_as_text(calc, answer, name):
    text, data = calc(example(name)).out, answer(example(name))
    for key in data["result"]:
        assert any(line.startswith(f"{key} ") for line in text.splitlines())
    for part in ("formula", "inputs", "source"):
        assert f"\n{part}" in text
    assert " ".join(data["source"].split()) in " ".join(text.split())


@pytest.mark.parametrize("name", NAMES)
def test_help_shows_an_example_and_every_key(run, name):
    told = run("calc", name, "--help")
    assert (told.code, told.err) == (0, "")
    assert f"example:\n  benchleaf calc {name} " in told.out
    assert all(f"\n  {key.name} " in told.out for key in calculations()[name].keys)
    assert all(result in told.out for result in calculations()[name].results)


def test_without_a_name_all_are_listed(run):
    told = run("calc")
    assert (told.code, told.err) == (0, "")
    assert all(f"\n{name}: " in f"\n{told.out}" for name in NAMES)


def test_every_calculation_has_its_function():
    assert list(ANSWERS) == NAMES == [name for name in NAMES if name in RESULTS]


def test_every_kind_and_unit_in_the_table_is_known():
    forms = {"any", "thread", "class", "friction", "coefficient", "whole", "number", "word", "accuracy"}
    forms |= {"gas-current", "unit", "gauge", "rate"}
    for calculation in calculations().values():
        for key in calculation.keys:
            assert key.kind in forms or base_unit(key.kind)
            assert key.about and not (key.above is not None and key.least is not None)
            assert set(key.unless) <= {each.name for each in calculation.keys}
        units = set(calculation.results.values()) - {"as asked", "text", "truth", "of the limit"}
        assert all(find(unit) for unit in units)


def test_a_torque_for_a_preload_also_tells_its_share(answer):
    result = answer("torque thread=M10 class=8.8 preload=20 kN")["result"]
    assert {key: each["unit"] for key, each in result.items()} == {**RESULTS["torque"], "share": "1"}


def test_numbers_have_all_the_digits_of_a_double(answer):
    result = answer("short-circuit voltage=1 V resistance=3 ohm")["result"]
    assert result["current"]["value"] == 1 / 3


def test_units_on_demand(answer):
    words = "torque thread=M10 class=8.8 friction=0.2"
    plain, asked = answer(words), answer(f"{words} unit.torque=lbf·ft unit.stress-area=in2 unit.proof-stress=ksi")
    assert asked["result"]["torque"]["unit"] == "lbf·ft"
    assert asked["result"]["torque"]["value"] == pytest.approx(
        plain["result"]["torque"]["value"] / 1.3558179483314004, rel=1e-15
    )
    assert asked["result"]["stress-area"]["value"] == pytest.approx(57.98959 / 645.16, rel=1e-6)
    assert asked["result"]["proof-stress"]["value"] == pytest.approx(580 / 6.894757293, rel=1e-9)
    assert asked["result"]["preload"] == plain["result"]["preload"]


def test_against_pint(answer):
    """The same by pint, from its own unit definitions: none of our factors takes part."""
    of = pint.UnitRegistry().Quantity
    gravity = of(1, "standard_gravity")
    held = (
        ("short-circuit voltage=12.65 V resistance=5 mohm unit.current=kA", of(12.65, "V") / of(5, "mohm"), "kA"),
        ("stored-energy kind=spring rate=100 lbf/in travel=2 in unit.energy=Btu",
         of(50, "lbf/in") * of(2, "in") ** 2, "Btu_it"),
        ("stored-energy kind=height mass=900 lb height=3 ft", of(900, "lb") * gravity * of(3, "ft"), "J"),
        ("stored-energy kind=battery voltage=48 V capacity=225 Ah unit.energy=kWh",
         of(48, "V") * of(225, "A*hour"), "kWh"),
        ("torque thread=1/2-13 UNC class=grade 5 preload=2000 lbf friction=0.2 unit.torque=lbf·in",
         0.2 * of(0.5, "in") * of(2000, "lbf"), "lbf*in"),
        ("preload thread=M10 class=8.8 torque=30 lbf·ft friction=0.2", of(30, "lbf*ft") / (0.2 * of(10, "mm")), "N"),
        ("wire-drop area=2 mm2 length=30 ft unit.resistance=mohm",
         of(1 / 58, "ohm*mm**2/m") * of(30, "ft") / of(2, "mm**2"), "mohm"),
        ("discharge capacitance=4700 uF resistance=2.2 kohm from=60 V to=5 V unit.time=min",
         of(4700, "uF") * of(2.2, "kohm") * math.log(12), "min"),
        ("convert value=75 psi to=bar", of(75, "psi"), "bar"),
        ("convert value=-40 °F to=°C", of(-40, "degF"), "degC"),
        ("convert value=12 US gal to=L", of(12, "US_liquid_gallon"), "L"),
    )  # fmt: skip
    for words, expected, unit in held:
        first = next(iter(answer(words)["result"].values()))
        assert first["value"] == pytest.approx(expected.to(unit).magnitude, rel=1e-9), words


def test_a_calculation_loads_no_more_than_it_needs():
    """Neither files, findings nor libraries from outside: a number on the command line must come at once."""
    words = ["calc", "torque", "thread=M10", "class=8.8"]
    code = f"from benchleaf.edge.cli import main; main({words!r}); import sys; print('loaded:', *sys.modules)"
    environment = {"PYTHONPATH": str(Path(cli.__file__).resolve().parents[2])}
    done = subprocess.run([sys.executable, "-c", code], env=environment, capture_output=True, text=True, check=True)
    loaded = set(done.stdout.rpartition("loaded:")[2].split())
    rooms = {f"benchleaf.{room}" for room in ("source", "passes", "safety", "card", "render", "build")}
    assert "benchleaf.trade.bolts" in loaded
    assert not loaded & (rooms | {"yaml", "jsonschema_rs", "jinja2", "weasyprint", "numpy", "pint", "click", "logging"})


def test_defaults_stand_among_the_inputs(answer):
    assert answer("torque thread=M10 class=8.8")["inputs"] == {
        "thread": "M10",
        "class": "8.8",
        "share": "75 %",
        "friction": "plain",
    }
    assert answer("stored-energy kind=gas pressure=6 bar volume=24 L")["inputs"]["ambient"] == "101325 Pa"


@pytest.mark.parametrize(
    "words",
    [
        "discharge capacitance=4700 uF resistance=2.2 kohm from=63.6 V to=5 V",
        "discharge capacitance=4700uF resistance=2.2kohm from=63.6V to=5V",
        "discharge to=5V from=63.6 V resistance=2.2 kΩ --format json capacitance=4.7 mF",
    ],
)
def test_spaces_and_order_do_not_matter(answer, words):
    assert answer(words)["result"]["time"]["value"] == pytest.approx(26.2964, abs=1e-4)


def test_a_value_in_one_word(run):
    told = run("calc", "ventilation", "cells=24", "capacity=500 Ah", "current=7 A per 100 Ah", "--format", "json")
    assert json.loads(told.out)["result"]["flow"]["value"] == pytest.approx(42)


def test_text_prints_numbers_as_the_cards_do(calc):
    out = calc("torque thread=M10 class=8.8 friction=0.2").out
    assert f"preload       25{SPACE}225.5{SPACE}N\n" in out
    assert f"stress-area   57.9896{SPACE}mm²\n" in out


@pytest.mark.parametrize(
    ("words", "printed"),
    [
        # NIST SP 811, B.7.2 (public reproduction); LC 1137 (public reproduction); 11.8 atm from memory.
        ("convert value=36 ft to=m", "11.0"),
        ("convert value=36 in to=cm", "91"),
        ("convert value=40.1 in to=cm", "101.9"),
        ("convert value=11.8 atm to=MPa(a)", "1.20"),
        # Common practice, no source: the digits of what is written.
        ("convert value=36.00 ft to=ft", "36.00"),
        ("convert value=20 °C to=°F", "68"),
    ],
)
def test_what_a_converted_value_prints(answer, words, printed):
    assert answer(words)["result"]["printed"]["value"] == printed


def test_a_risk_of_nearly_nothing_is_said_so(calc):
    told = calc("guardband low=9.9V high=10.1V reading=10V resolution=1mV", "accuracy=0.05 % + 3 digits").out
    assert f"below 0.000{SPACE}001\n" in told


def test_whether_a_factor_is_exact(answer):
    assert answer("convert value=36 ft to=m")["result"]["exact"] == {"value": True, "unit": ""}
    assert answer("convert value=1 rad to=deg")["result"]["exact"]["value"] is False


def test_stationary_batteries_are_no_factor_of_ten_off(answer):
    """IEC 62485-2 counts mA per A·h, IEC 62485-3 A per 100 A·h, a factor of ten apart (public reproduction)."""
    words = "ventilation cells=24 capacity=200 Ah current="
    stationary, traction = answer(f"{words}5 mA per Ah"), answer(f"{words}0.5 A per 100 Ah")
    assert stationary["result"] == traction["result"]
    assert stationary["result"]["flow"]["value"] == pytest.approx(1.2)


def test_a_nickel_battery_does_not_tell_its_charge(answer):
    told = answer("battery-state chemistry=nickel cells=10 voltage=12.5 V")
    assert set(told["result"]) == {"full-voltage", "empty-voltage"}
    assert "does not tell its charge" in told["source"]


def test_where_nobody_should_lift(answer):
    told = answer("lift mass=1 kg horizontal=64 cm vertical=75 cm distance=25 cm")
    assert told["result"]["limit"]["value"] == 0 and "index" not in told["result"]
    assert "nobody should lift so" in told["formula"]


def test_limits_of_temperature(answer):
    """The difference of two temperatures is no temperature: 0.5 K is 0.9 °F, not -458.77 °F."""
    told = answer("guardband low=50 °F high=86 °F accuracy=0.5 K resolution=0.1 K")["result"]
    # a and half of the last digit, each over √3; k = 2. Closed form.
    expected = 2 * 1.8 * (0.25 + 0.0025) ** 0.5 / 3**0.5
    assert told["expanded-uncertainty"]["value"] == pytest.approx(expected, rel=1e-12)
    assert told["accept-low"]["value"] == pytest.approx(50 + expected)
    asked = answer("guardband low=50 °F high=86 °F accuracy=0.5 K resolution=0.1 K unit.expanded-uncertainty=K")
    assert asked["result"]["expanded-uncertainty"]["value"] == pytest.approx(expected / 1.8)


def test_guard_bands_that_meet_are_told(answer):
    told = answer("guardband low=4.9 V high=5 V accuracy=2 % resolution=1 mV")
    assert told["result"]["accept-low"]["value"] > told["result"]["accept-high"]["value"]
    assert "no reading is surely good" in told["formula"]


def test_without_a_reading_the_larger_limit_decides(answer):
    told = answer("guardband low=1 V high=10 V accuracy=1 % + 1 digits resolution=1 mV")
    assert told["result"]["half-width"]["value"] == pytest.approx(0.101)
    assert "risk" not in told["result"] and "at the larger limit" in told["formula"]
