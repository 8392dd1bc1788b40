"""`benchleaf calc`: published values through the command line, the shape of its output, and what it refuses."""

import json
from pathlib import Path

import pytest
import yaml

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
def calc(run):
    """Run `benchleaf calc`, the words as a shell would part them at spaces."""
    return lambda words, *more: run("calc", *words.split(), *more)


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


def test_whether_a_factor_is_exact(answer):
    assert answer("convert value=36 ft to=m")["result"]["exact"] == {"value": True, "unit": ""}
    assert answer("convert value=1 rad to=deg")["result"]["exact"]["value"] is False


REFUSED = [
    ("short-circuit voltage=4.2e3 V resistance=1 ohm", "`4.2e3` has an exponent", "Write `4200 V`."),
    ("short-circuit voltage=10,5 V resistance=1 ohm", "`10,5` has a comma", "Write `10.5 V`."),
    ("short-circuit voltage=1/2-13 resistance=1 ohm", "`1/2-13` is a thread", "`thread`"),
    ("short-circuit voltage=12 resistance=1 ohm", "`12` has no unit", "`12 V`"),
    ("short-circuit voltage=12 v resistance=1 ohm", "`v` is not a unit", "Write `12 V`."),
    ("short-circuit voltage=12 A resistance=1 ohm", "`12 A` is a current; a voltage is due here", "`V`"),
    ("short-circuit voltage=12 V resistance=0 ohm", "`resistance` must be above zero", ""),
    ("short-circuit voltage=-12 V resistance=1 ohm", "`voltage` must not be below zero", ""),
    ("short-circuit voltage=12 V", "needs `resistance`", "benchleaf calc short-circuit"),
    ("short-circuit voltage=12 V resistence=1 ohm", "no key `resistence`", "Did you mean `resistance`?"),
    ("short-circuit voltage=12 V voltage=13 V resistance=1 ohm", "`voltage` stands here twice", "Keep one"),
    ("short-circuit voltage= resistance=1 ohm", "`voltage` has no value", ""),
    ("short-circuit 12V resistance=1 ohm", "`12V` is no key with a value", "`key=value`"),
    ("short-circuit voltage=12 V resistance=1 ohm unit.current=V", "`V` is no unit of current", "`A`"),
    ("short-circuit voltage=12 V resistance=1 ohm unit.curent=A", "no result `curent`", "`unit.current`"),
    ("torque thread=1/2-13 class=8.8", "`1/2-13` does not name its series", "Write `1/2-13 UNC`."),
    ("torque thread=M10x2 class=8.8", "M10 has no pitch of 2 mm", "`M10x1.5`"),
    ("torque thread=m10 class=8.8", "`m10` is not how a thread is written", "Write `M10x1.5`."),
    ("torque thread=M10 class=10.8", "`10.8` is not a strength class", "`10.9`"),
    ("torque thread=M10 class=5", "`5` is not a strength class", "Write `grade 5`."),
    ("torque thread=M10 class=grade 5", "`grade 5` is a class for inch threads", "`8.8`"),
    ("torque thread=M20 class=9.8", "class 9.8 up to M16", ""),
    ("torque thread=M10 class=8.8 friction=oily", "neither a nut factor nor a word", "`oiled`"),
    ("torque thread=M10 class=8.8 friction=1.6", "`1.6` is no nut factor", "`0.16`"),
    ("torque thread=M10 class=8.8 friction=0,16", "`0,16` has a comma", "Write `0.16`."),
    ("torque thread=M10 class=8.8 share=0.75", "a share of 1, or of 100", "`75 %`"),
    ("torque thread=M10 class=8.8 share=75 % preload=5 N", "`share` has no place beside `preload`", "Keep one"),
    ("torque thread=M10 class=8.8 hole=11 mm", "needs `thread-friction`, `head-friction`, `head-diameter`", "all of"),
    (
        "torque thread=M10 class=8.8 thread-friction=0.1 head-friction=0.1 head-diameter=9 mm hole=11 mm",
        "The hole must be smaller",
        "",
    ),
    ("convert value=5 N·m to=J", "`J` is a unit of energy; `5 N·m` is torque", "`N·m`"),
    ("convert value=5 m to=foot", "`foot` is no unit", "`ft`"),
    ("convert value=5 bar to=bar(a)", "counts from the pressure of the air around", "`bar(a)`"),
    ("guardband accuracy=1 % resolution=1 mV", "needs `low` or `high`", ""),
    ("guardband low=5 V high=4 V accuracy=1 % resolution=1 mV", "above the upper one", "`low`"),
    ("guardband low=5 V accuracy=1 % FS resolution=1 mV", "not of the scale", ""),
    ("guardband low=5 V accuracy=1 % resolution=1 mA", "a current; a voltage is due", ""),
    ("guardband low=5 V accuracy=1 % resolution=1 mV coverage=2,0", "has a comma", "`2.0`"),
    ("guardband low=5 V accuracy=1 % resolution=1 mV unit.tur=%", "`tur` has no value", ""),
    ("ventilation cells=24 capacity=500 Ah current=7 A", "does not say for what capacity", "`7 A per 100 Ah`"),
    ("ventilation cells=2.5 capacity=500 Ah current=7 A per 100 Ah", "`2.5` is no whole number", "`24`"),
    ("stored-energy kind=battry", "`battry` is no kind", "Write `battery`."),
    ("stored-energy kind=spring rate=5 N/mm", "needs `travel`", ""),
    ("stored-energy kind=spring rate=5 N/mm travel=5 mm mass=5 kg", "`mass` says nothing of a spring", "rate, travel"),
    ("lift horizontal=30cm vertical=30cm distance=30cm frequency=2", "no number of lifts in a time", "`2/min`"),
    ("lift horizontal=30cm vertical=30cm distance=30cm duration=9 h", "up to 8 hours", "Share"),
    ("wire-drop length=2 m", "needs `gauge` or `area`", ""),
    ("wire-drop gauge=14 length=2 m", "`14` is not how a gauge is written", "Write `14 AWG`."),
    ("wire-drop gauge=5/0 AWG length=2 m", "from 4/0 AWG to 56 AWG", ""),
    ("wire-drop gauge=14 AWG area=2 mm2 length=2 m", "`gauge` has no place beside `area`", "Keep one"),
    ("wire-drop area=2 mm2 length=2 m temperature=-300 °C", "must be above absolute zero", ""),
    ("battery-state chemistry=lead-acid cells=6 voltage=12 V", "no chemistry", "`lead-acid-flooded`"),
    ("battery-state chemistry=lithium cells=4 voltage=25.9 V", "count the cells again", ""),
]


@pytest.mark.parametrize(("words", "sentence", "mend"), REFUSED, ids=[row[0] for row in REFUSED])
def test_what_is_refused_and_the_nearest_right_thing(calc, words, sentence, mend):
    told = calc(words)
    assert (told.code, told.out) == (2, "")
    assert sentence in told.err
    assert "Traceback" not in told.err
    if mend:
        assert any(mend in line for line in told.err.splitlines() if line.startswith("  mend: ")), told.err


def test_all_that_is_wrong_is_told_at_once(calc):
    told = calc("torque thread=1/2-13 clas=8.8 share=0.75 friction=0,16")
    assert told.err.count("benchleaf: ") == 5


def test_a_finding_points_at_its_part_and_bears_the_slug(calc):
    told = calc("short-circuit voltage=10,5 V resistance=1 ohm")
    assert told.err == (
        "benchleaf: `10,5` has a comma. [quantity.unreadable]\n"
        "    voltage=10,5 V\n"
        "            ^^^^\n"
        "  mend: Write `10.5 V`.\n"
    )


def test_controls_in_arguments_do_not_reach_the_terminal(run):
    told = run("calc", "short-circuit", "voltage=\x1b[31m5 V", "resistance=1 ohm")
    assert told.code == 2 and "\x1b" not in told.err


@pytest.mark.parametrize(("name", "hint"), [("torq", "did you mean `torque`?"), ("xyz", "there are torque, preload")])
def test_a_calculation_that_is_none(run, name, hint):
    for arguments in ((name,), (name, "--help")):
        told = run("calc", *arguments)
        assert (told.code, told.out) == (2, "")
        assert f"no calculation is called `{name}`; {hint}" in told.err


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
