"""Wire, lifting and batteries against standards, the NIOSH manual and trade tables."""

import pytest

from benchleaf.trade.batteries import OPENING, battery_state, chemistries, cut_off_voltage, ventilation_opening
from benchleaf.trade.lifting import (
    asymmetry_multiplier,
    coupling_multiplier,
    distance_multiplier,
    frequency_multiplier,
    horizontal_multiplier,
    lift,
    vertical_multiplier,
)
from benchleaf.trade.stored import hydrogen_ventilation
from benchleaf.trade.wire import (
    FLEXIBLE,
    circle_area,
    conductor_resistance,
    gauge_diameter,
    parse_gauge,
    resistance_per_metre,
    standard_resistance,
    temperature_factor,
)

PUBLISHED = "published_supply.yaml"
CM = 2.54
POUND = 0.45359237
MULTIPLIERS = {
    "hm": horizontal_multiplier,
    "vm": vertical_multiplier,
    "dm": distance_multiplier,
    "am": asymmetry_multiplier,
}


def diameter(given):
    gauge = parse_gauge(given["gauge"])
    assert isinstance(gauge, int), gauge
    return gauge_diameter(gauge)


def resistance(area, conductor=FLEXIBLE):
    found = standard_resistance(area, conductor)
    assert found is not None, area
    return found


def ohms_per_thousand_feet(given):
    return resistance_per_metre(circle_area(diameter(given))) * 304.8


def drop(given):
    return given["current"] * conductor_resistance(given["area"], given["length"], given["temperature"])


def pounds(given):
    found = lift(
        given["H"] * CM,
        given["V"] * CM,
        given["D"] * CM,
        0.0,
        given["frequency"],
        given["hours"],
        given["coupling"],
    )
    return found.limit / POUND


RECKON = {
    "gauge-diameter": lambda given: diameter(given) / 25.4,
    "gauge-resistance": ohms_per_thousand_feet,
    "standard-resistance": lambda given: 1000 * resistance(given["area"], given["conductor"]),
    "reduction-to-20": lambda given: 1 / temperature_factor(given["temperature"], 0.004),
    "drop": drop,
    "multiplier": lambda given: MULTIPLIERS[given["multiplier"]](given["at"]),
    "frequency-multiplier": lambda given: frequency_multiplier(given["frequency"], given["hours"], given["vertical"]),
    "coupling-multiplier": lambda given: coupling_multiplier(given["coupling"], given["vertical"]),
    "weight-limit": pounds,
    "charge": lambda given: battery_state(given["chemistry"], given["cells"], given["voltage"]).charge,
    "charge-other-table": lambda given: battery_state("lead-acid-flooded", 6, given["voltage"]).charge,
    "cut-off": lambda given: cut_off_voltage(given["chemistry"], given["cells"]),
    "charging": lambda given: chemistries()[given["chemistry"]].charging,
    "opening": lambda given: ventilation_opening(given["flow"]),
    "opening-by-speed": lambda given: OPENING,
    "ventilation": lambda given: hydrogen_ventilation(given["cells"], given["gas"], given["capacity"]),
}


def test_published_value(published):
    value = RECKON[published.of](published.given)
    assert published.agrees(value), f"{value} for {published}"


def test_nothing_published_is_passed_over(rows):
    assert {row.of for row in rows} == set(RECKON)


def test_two_coefficients_of_copper_stay_apart():
    """IEC 60228 reckons with 0.004 per kelvin, IEC 60028 with 0.00393: 0.3 % apart at 70 °C, and 0.00393 is taken."""
    apart = temperature_factor(70.0, 0.004) / temperature_factor(70.0)
    assert apart == pytest.approx(1.003, abs=5e-4)
    assert temperature_factor(70.0) == pytest.approx(1 + 0.00393 * 50)


def test_a_table_conductor_has_no_less_resistance_than_solid_copper():
    """IEC 60228 allows up to 16 % above 1/(58 A): strands are longer than the cable (public reproduction)."""
    for area in (0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120):
        share = resistance(area) / resistance_per_metre(area)
        assert 1 <= share <= 1.16
