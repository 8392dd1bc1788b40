"""What `benchleaf calc` refuses: a sentence, the place, and the nearest right thing, always with exit code 2."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from benchleaf.edge.calc.catalogue import calculations

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


VALUES = (
    st.text(max_size=12)
    | st.from_regex(r"-?[0-9]{1,9}(\.[0-9]{1,3})? ?[A-Za-z°%·/]{0,6}", fullmatch=True)
    | st.sampled_from(["M10", "8.8", "grade 5", "1/2-13 UNC", "0.16", "14 AWG", "75 %", "24", "1 % + 2 digits", "good"])
    | st.sampled_from(["0 V", "5 V", "5 ohm", "1 m", "20 °C", "5 N·m", "999999999999999 kV", "0.000000000000001 nF"])
)


@st.composite
def command_lines(draw):
    """A calculation with any values for some of its keys, and sometimes a unit."""
    calculation = calculations()[draw(st.sampled_from(sorted(calculations())))]
    keys = draw(st.lists(st.sampled_from([key.name for key in calculation.keys]), unique=True))
    words = [f"{key}={draw(VALUES)}" for key in keys]
    if draw(st.booleans()):
        words.append(f"unit.{draw(st.sampled_from(sorted(calculation.results)))}={draw(VALUES)}")
    return calculation.name, *words


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(command_lines())
def test_no_argument_breaks_a_calculation(run, words):
    told = run("calc", *words)
    assert told.code in (0, 2), told.err
    assert bool(told.out) == (told.code == 0) and bool(told.err) == (told.code == 2)


@settings(max_examples=300, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.data())
def test_sizes_beyond_all_reason_give_numbers_or_are_refused(run, data):
    """The largest and the smallest that the grammar reads, in every place that takes a quantity."""
    name = data.draw(st.sampled_from(sorted(calculations())))
    words = []
    for word in calculations()[name].example.removeprefix(f"benchleaf calc {name} ").split():
        key, sign, value = word.partition("=")
        if sign and value[:1].isdigit() and data.draw(st.booleans()):
            value = data.draw(st.sampled_from(["0", "0.000000000000001", "999999999999999"]))
        words.append(key + sign + value)
    told = run("calc", name, *words, "--format", "json")
    assert told.code in (0, 2), told.err
    assert "Infinity" not in told.out and "NaN" not in told.out
