"""Laws of wire, lifting and batteries, the reader of gauges, and what the tables of the trade must carry."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.base.resources import table_text
from benchleaf.trade.batteries import battery_state, chemistries, cut_off_voltage, ventilation_opening
from benchleaf.trade.lifting import LOAD_CONSTANT, frequency_multiplier, lift
from benchleaf.trade.unread import Unread
from benchleaf.trade.wire import (
    THICKEST,
    THINNEST,
    circle_area,
    circle_diameter,
    conductor_resistance,
    gauge_diameter,
    parse_gauge,
    resistance_per_metre,
    standard_areas,
    standard_resistance,
    temperature_factor,
)

GAUGES = st.integers(THICKEST, THINNEST)


@pytest.mark.parametrize(
    ("text", "gauge"), [("14 AWG", 14), ("14AWG", 14), ("0 AWG", 0), ("1/0 AWG", 0), ("4/0 AWG", -3)]
)
def test_gauges_that_are_read(text, gauge):
    assert parse_gauge(text) == gauge


@pytest.mark.parametrize(
    ("text", "change"),
    [
        ("14", "14 AWG"),
        ("awg 14", "14 AWG"),
        ("#14", "14 AWG"),
        ("14 ga", "14 AWG"),
        ("0000", "4/0 AWG"),
        ("2 awg", "2 AWG"),
    ],
)
def test_gauges_that_were_meant(text, change):
    read = parse_gauge(text)
    assert isinstance(read, Unread) and read.change == change


@pytest.mark.parametrize("text", ["5/0 AWG", "57 AWG", "0/0 AWG", "thick", "", "2.5 mm2", "14/0 AWG"])
def test_gauges_that_are_none(text):
    assert isinstance(parse_gauge(text), Unread)


@given(GAUGES)
def test_gauges_by_their_definition(gauge):
    """ASTM B258: 39 steps from 0.005 in to 0.46 in; every six halve the diameter within half a percent."""
    assert gauge_diameter(gauge) > gauge_diameter(gauge + 1)
    assert gauge_diameter(gauge) / gauge_diameter(gauge + 6) == pytest.approx(92 ** (6 / 39), rel=1e-12)
    assert circle_diameter(circle_area(gauge_diameter(gauge))) == pytest.approx(gauge_diameter(gauge))


@given(st.floats(0.1, 500.0), st.floats(0.1, 1e3), st.floats(-40.0, 150.0))
def test_resistance_is_in_proportion_to_length_and_against_area(area, length, temperature):
    one = conductor_resistance(area, length, temperature, by_table=False)
    assert conductor_resistance(area, 2 * length, temperature, by_table=False) == pytest.approx(2 * one)
    assert conductor_resistance(2 * area, length, temperature, by_table=False) == pytest.approx(one / 2)
    assert one == pytest.approx(length / 58 / area * temperature_factor(temperature))


def test_a_table_area_takes_the_table():
    for area in standard_areas():
        table = standard_resistance(area)
        assert table is not None
        assert conductor_resistance(area, 1.0) == table > resistance_per_metre(area)
    assert standard_resistance(2.0) is None
    assert conductor_resistance(2.0, 1.0) == resistance_per_metre(2.0)


@pytest.mark.parametrize("call", [lambda: resistance_per_metre(0.0), lambda: standard_resistance(2.5, 1)])
def test_impossible_conductors_are_refused(call):
    with pytest.raises(ValueError):
        call()


LIFTS = {
    "horizontal": st.floats(0.0, 80.0),
    "vertical": st.floats(0.0, 200.0),
    "distance": st.floats(0.0, 200.0),
    "angle": st.floats(0.0, 180.0),
    "frequency": st.floats(0.0, 20.0),
    "hours": st.floats(0.1, 8.0),
    "coupling": st.sampled_from(["good", "fair", "poor"]),
}


@given(st.fixed_dictionaries(LIFTS))
def test_a_weight_limit_is_a_share_of_the_load_constant(sizes):
    found = lift(**sizes)
    assert all(0 <= each <= 1 for each in found[1:])
    assert 0 <= found.limit <= LOAD_CONSTANT
    product = LOAD_CONSTANT
    for each in found[1:]:
        product *= each
    assert found.limit == pytest.approx(product)
    index = found.lifting_index(10.0)
    assert (index is None) == (found.limit == 0)


@given(st.fixed_dictionaries(LIFTS), st.floats(0.1, 50.0))
def test_farther_longer_more_twisted_and_more_often_is_never_better(sizes, more):
    limit = lift(**sizes).limit
    for key in ("horizontal", "distance", "angle", "frequency"):
        assert lift(**{**sizes, key: sizes[key] + more}).limit <= limit + 1e-9
    assert lift(**{**sizes, "hours": 8.0}).limit <= limit + 1e-9
    assert lift(**{**sizes, "coupling": "poor"}).limit <= limit + 1e-9


def test_the_equation_ends_at_eight_hours():
    with pytest.raises(ValueError, match="8 hours"):
        frequency_multiplier(1.0, 8.1, 100.0)
    with pytest.raises(ValueError, match="below zero"):
        lift(-1.0, 75.0, 25.0)


@given(st.sampled_from(sorted(chemistries())), st.integers(1, 200), st.floats(0.0, 1.0), st.none() | st.floats(-20, 50))
def test_charge_rises_with_the_voltage(name, cells, share, temperature):
    chemistry = chemistries()[name]
    state = battery_state(name, cells, cells * chemistry.rest[0][1], temperature)
    assert state.empty < state.full
    voltage = state.empty + share * (state.full - state.empty)
    charge = battery_state(name, cells, voltage, temperature).charge
    if chemistry.tells_charge:
        assert charge is not None and -1e-9 <= charge <= 1 + 1e-9
        above = battery_state(name, cells, min(voltage + 0.01 * cells, state.full), temperature).charge
        assert above is not None and above >= charge - 1e-9
        assert battery_state(name, cells, state.full, temperature).charge == pytest.approx(1.0)
        assert battery_state(name, cells, 0.0, temperature).charge == 0.0
    else:
        assert charge is None


def test_a_warm_lead_battery_rests_a_little_higher():
    """0.2 mV per kelvin and cell: common practice, no source."""
    cold = battery_state("lead-acid-flooded", 24, 50.0, 6.7)
    plain = battery_state("lead-acid-flooded", 24, 50.0)
    assert plain.full - cold.full == pytest.approx(24 * 20 * 0.0002)


@pytest.mark.parametrize(
    "call",
    [
        lambda: battery_state("lithium", 4, 25.9),
        lambda: battery_state("lithium", 0, 3.9),
        lambda: battery_state("lithium", 1, -1.0),
        lambda: ventilation_opening(-1.0),
    ],
)
def test_impossible_batteries_are_refused(call):
    with pytest.raises(ValueError):
        call()


def test_every_chemistry_says_how_it_is_known():
    for chemistry in chemistries().values():
        shares = [share for share, _ in chemistry.rest]
        volts = [each for _, each in chemistry.rest]
        assert shares == sorted(set(shares)) and volts == sorted(set(volts))
        assert (shares[0], shares[-1]) == (0, 1)
        assert cut_off_voltage(chemistry.name, 1) < volts[-1] <= chemistry.charging
        assert chemistry.source and chemistry.known and chemistry.caveat


TABLES = {
    "threads": ("metric", "inch"),
    "bolt_classes": ("standards",),
    "friction": ("words",),
    "tightening": ("methods",),
    "nut_materials": ("materials",),
    "battery_states": ("chemistries",),
}
WHOLE = ("terminals", "heads", "categories", "conductors", "lifting", "torque_tools")


@pytest.mark.parametrize("name", [*TABLES, *WHOLE])
def test_every_table_names_its_source(name):
    """And how it is known: read in a public reproduction, or from memory."""
    table = json.loads(table_text("trade", f"{name}.json"))
    parts = [table] if name in WHOLE else [each for key in TABLES[name] for each in _rows(table[key])]
    for part in parts:
        for source in part.get("sources", [part]):
            assert source["source"], part
            assert "public reproduction" in source["known"] or "from memory" in source["known"], part


def _rows(part):
    return part if isinstance(part, list) else [part]
