"""The kinds of measurement."""

import pytest

from benchleaf.model import units
from benchleaf.model.measures import measures, nearness_by


def test_every_kind_is_whole():
    for kind, measure in measures().items():
        assert measure.kind == kind
        assert measure.dimension in units.dimensions()
        assert measure.power in ("on", "off", "either")
        assert measure.near in ("near", "probe", "hands")
        assert measure.label and measure.instrument


@pytest.mark.parametrize(
    ("kind", "power"),
    [
        ("dc-voltage", "on"),
        ("ac-voltage", "on"),
        ("dc-current", "on"),
        ("ac-current", "on"),
        ("voltage-drop", "on"),
        ("running-pressure", "on"),
        ("resistance", "off"),
        ("continuity", "off"),
        ("diode", "off"),
        ("insulation-resistance", "off"),
    ],
)
def test_what_a_reading_wants_of_the_power(kind, power):
    """Common practice, no source: an ohmmeter feeds its own current and must see no other."""
    assert measures()[kind].power == power


@pytest.mark.parametrize(
    ("kind", "near"),
    [
        ("dc-voltage", "probe"),
        ("gap", "hands"),
        ("length", "hands"),
        ("specific-gravity", "hands"),
        ("pressure", "hands"),
        ("speed", "near"),
    ],
)
def test_how_close_a_measurement_brings_a_person(kind, near):
    assert measures()[kind].near == near


def test_what_it_is_made_with_goes_before():
    assert nearness_by()["clamp"] == nearness_by()["installed gauge"] == nearness_by()["display"] == "near"
    assert nearness_by()["tape"] == nearness_by()["feeler gauge"] == nearness_by()["hydrometer"] == "hands"


def test_a_difference_is_measured_in_one():
    assert measures()["temperature"].dimension == "temperature"
    assert measures()["temperature-difference"].dimension == "temperature-difference"
