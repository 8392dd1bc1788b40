"""Laws of readings and decisions: guard bands stay inside limits, risks are probabilities, loading only lowers."""

import math

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import multivariate_normal, norm

from benchleaf.trade.guard import (
    Zone,
    global_risks,
    grey_zones,
    guard_factor,
    guard_width,
    guarded,
    one_sided_share,
    specific_risk,
    uncertainty_ratio,
    worst_risk,
)
from benchleaf.trade.meters import (
    Category,
    best_range,
    category_fits,
    impulse_voltage,
    loaded,
    loading_error,
    parse_category,
    uncertainty,
)
from benchleaf.trade.unread import Unread

SIZE = st.floats(-1e3, 1e3)
SMALL = st.floats(1e-3, 10.0)


@given(SIZE, SIZE, SMALL)
def test_a_guarded_band_lies_inside_its_limits(one, other, guard):
    low, high = sorted((one, other))
    zone = guarded(low, high, guard)
    assert zone.low is not None and zone.high is not None
    assert low < zone.low and zone.high < high
    assert zone.is_empty == (high - low < 2 * guard) or math.isclose(high - low, 2 * guard)
    assert guarded(low, None, guard) == (zone.low, None)
    assert guarded(None, high, guard) == (None, zone.high)


@given(SIZE, SMALL, SMALL)
def test_a_wider_guard_band_accepts_less(low, guard, more):
    near, far = guarded(low, low + 100, guard), guarded(low, low + 100, guard + more)
    assert near.low is not None and far.low is not None and near.high is not None and far.high is not None
    assert near.low < far.low and far.high < near.high


@given(SIZE, SMALL, st.floats(0.1, 50.0), SIZE)
def test_risk_is_a_probability_and_rises_towards_the_limit(low, standard, width, reading):
    assume(abs(reading - low) < 100)
    risk = specific_risk(reading, standard, low, low + width)
    assert 0 <= risk <= 1
    assert specific_risk(low + width / 2, standard, low, low + width) <= risk + 1e-12
    assert specific_risk(low, standard, low, None) == pytest.approx(0.5)
    below, above = specific_risk(reading, standard, low, None), specific_risk(reading, standard, None, low + width)
    assert risk == pytest.approx(min(1.0, below + above))


@given(SIZE, SMALL, st.floats(0.1, 50.0), st.floats(-40.0, 40.0))
def test_specific_risk_is_that_of_a_reference_library(low, standard, width, away):
    """scipy's normal distribution, both tails by themselves."""
    reading, high = low + away, low + width
    expected = norm.cdf(low, reading, standard) + norm.sf(high, reading, standard)
    assert specific_risk(reading, standard, low, high) == pytest.approx(min(1.0, expected), rel=1e-9, abs=1e-300)


@given(st.floats(-1.5, 1.5), st.floats(0.1, 2.0), st.floats(0.02, 0.6), st.floats(0.0, 1.4))
@settings(max_examples=30)
def test_global_risks_are_those_of_a_reference_library(mean, spread, standard, guard):
    """JCGM 106, 9.5, as the tails of scipy's bivariate normal distribution of true values and readings."""
    limits, accepted = Zone(-1.0, 1.0), guarded(-1.0, 1.0, guard)
    found = global_risks(mean, spread, standard, limits, accepted)
    shared = spread**2
    both = multivariate_normal([mean, mean], [[shared, shared], [shared, shared + standard**2]])

    def chance(true, read):
        corners = ((true[1], read[1], 1), (true[0], read[1], -1), (true[1], read[0], -1), (true[0], read[0], 1))
        return sum(sign * both.cdf([one, other]) for one, other, sign in corners)

    total = math.hypot(spread, standard)
    good = norm.cdf(1, mean, spread) - norm.cdf(-1, mean, spread)
    passed = norm.cdf(accepted.high, mean, total) - norm.cdf(accepted.low, mean, total)
    right = chance((-1.0, 1.0), (accepted.low, accepted.high))
    assume(not accepted.is_empty)
    assert found.consumer == pytest.approx(passed - right, abs=2e-5)
    assert found.producer == pytest.approx(good - right, abs=2e-5)


@given(st.floats(1e-9, 0.5))
def test_the_guard_factor_is_that_of_a_reference_library(risk):
    assert guard_factor(risk) == pytest.approx(norm.isf(risk), abs=1e-9)


@given(st.floats(0.0, 3.0), st.floats(1.0, 3.0))
def test_the_worst_risk_is_that_at_the_acceptance_limit(share, coverage):
    standard = 1.0
    zone = guarded(None, 10.0, share * coverage * standard)
    assert zone.high is not None
    assert specific_risk(zone.high, standard, None, 10.0) == pytest.approx(worst_risk(share, coverage), abs=1e-12)


@given(st.floats(1e-6, 0.5))
def test_a_guard_factor_keeps_its_risk(risk):
    assert worst_risk(guard_factor(risk), 1.0) == pytest.approx(risk, rel=1e-9)


@given(st.floats(-2.0, 2.0), st.floats(0.1, 3.0), st.floats(0.01, 1.0), st.floats(0.0, 2.0))
def test_global_risks_add_up(mean, spread, standard, guard):
    """Accepted and good, accepted and bad, refused and good, refused and bad: 1 in all (JCGM 106, 9.5)."""
    limits = Zone(-1.0, 1.0)
    accepted = guarded(-1.0, 1.0, guard)
    found = global_risks(mean, spread, standard, limits, accepted)
    bad = specific_risk(mean, spread, -1.0, 1.0)
    total = math.hypot(spread, standard)
    passed = 0.0 if accepted.is_empty else 1 - specific_risk(mean, total, accepted.low, accepted.high)
    assert 0 <= found.consumer <= bad + 1e-9
    # What passes is the good that is not refused and the bad that is.
    assert passed == pytest.approx(1 - bad - found.producer + found.consumer, abs=2e-6)


def test_a_one_sided_limit_has_global_risks_as_well():
    found = global_risks(0.0, 1.0, 0.5, Zone(None, 1.0), Zone(None, 1.0))
    mirrored = global_risks(0.0, 1.0, 0.5, Zone(-1.0, None), Zone(-1.0, None))
    assert found == pytest.approx(mirrored)
    assert 0 < found.consumer < found.producer


@given(SIZE, st.floats(0.0, 5.0), st.integers(0, 20), SMALL, st.floats(0.0, 5.0))
def test_uncertainty_of_a_meter(reading, percent, digits, resolution, fixed):
    """GUM 4.3.7: u = a/√3, and the resolution counts of its own only where no digits are given."""
    found = uncertainty(reading, percent, digits, resolution, fixed)
    a = abs(reading) * percent / 100 + digits * resolution + fixed
    assert found.half_width == pytest.approx(a)
    extra = 0.0 if digits else resolution / 2
    assert found.standard == pytest.approx(math.sqrt((a**2 + extra**2) / 3))
    assert found.expanded == pytest.approx(2 * found.standard)
    assert uncertainty(-reading, percent, digits, resolution, fixed) == found


@given(st.floats(0.01, 1e3), st.floats(0.01, 1e3))
def test_the_smaller_of_uncertainty_and_largest_error_guards(expanded, largest):
    assert guard_width(expanded, largest) == min(expanded, largest)


def test_ratio_and_share():
    assert uncertainty_ratio(9.0, 11.0, 0.25) == 4.0
    assert uncertainty_ratio(9.0, 11.0, 0.0) == math.inf
    assert one_sided_share(-4.0, 1.0) == 0.25
    assert one_sided_share(0.0, 1.0) == math.inf
    assert grey_zones(9.0, 11.0, 0.5) == ((8.5, 9.5), (10.5, 11.5))
    assert grey_zones(None, 11.0, 0.5) == ((10.5, 11.5),)


def test_a_reading_without_uncertainty_is_right_or_wrong():
    assert specific_risk(1.0, 0.0, 0.0, 1.0) == 0.0
    assert specific_risk(1.1, 0.0, 0.0, 1.0) == 1.0


@given(st.floats(0.0, 1e9), st.floats(1.0, 1e9), st.floats(0.0, 1e3))
def test_loading_only_lowers_a_reading(source, inner, value):
    """Voltage divider, Ohm's law: 10 MΩ at 100 kΩ reads 1 % low (closed form)."""
    shown = loaded(value, source, inner)
    assert 0 <= shown <= value
    assert -1 <= loading_error(source, inner) <= 0
    assert shown == pytest.approx(value * (1 + loading_error(source, inner)), abs=1e-9)
    assert loading_error(100e3, 10e6) == pytest.approx(-1 / 101)


@pytest.mark.parametrize(
    ("value", "place"), [(0.5, 0), (5.9, 0), (6.0, 0), (6.1, 1), (-50.0, 1), (61.0, 2), (601.0, None)]
)
def test_the_smallest_range_that_holds_the_value(value, place):
    assert best_range(((0.0, 6.0), (0.0, 60.0), (0.0, 600.0)), value) == place


def test_ranges_need_no_order_and_may_begin_above_zero():
    ranges = ((0.0, 600.0), (12.0, 690.0), (0.0, 6.0))
    assert best_range(ranges, 5.0) == 2
    assert best_range(ranges, 650.0) == 1
    assert best_range(((10.0, 100.0),), -50.0) is None
    assert best_range((), 1.0) is None


def test_categories():
    """IEC 61010-2-030 (public reproduction): CAT II appliance circuits, III installation, IV its source."""
    meter = parse_category("CAT III 600 V")
    assert meter == Category(3, 600.0) and str(meter) == "CAT III 600 V"
    assert parse_category("cat. 4 / 300V") == Category(4, 300.0)
    rated = (Category(3, 600.0), Category(2, 1000.0))
    assert category_fits(rated, Category(3, 400.0))
    assert category_fits(rated, Category(2, 900.0))
    assert not category_fits(rated, Category(3, 900.0))
    assert not category_fits(rated, Category(4, 230.0))
    assert impulse_voltage(Category(3, 1500.0)) is None


@pytest.mark.parametrize("text", ["CAT V 600 V", "CAT I 600 V", "600 V", "CAT III", ""])
def test_categories_that_are_none(text):
    assert isinstance(parse_category(text), Unread)


@pytest.mark.parametrize(
    "call",
    [
        lambda: guarded(0.0, 1.0, -0.1),
        lambda: uncertainty_ratio(2.0, 1.0, 0.1),
        lambda: specific_risk(0.0, -1.0, None, 1.0),
        lambda: guard_factor(0.6),
        lambda: guard_factor(0.0),
        lambda: global_risks(0.0, 0.0, 1.0, Zone(0.0, 1.0), Zone(0.0, 1.0)),
        lambda: uncertainty(1.0, -1.0, 0, 0.1),
        lambda: uncertainty(1.0, 1.0, 0, 0.1, coverage=0.0),
        lambda: loaded(1.0, -1.0, 1.0),
        lambda: loaded(1.0, 1.0, 0.0),
    ],
)
def test_impossible_sizes_are_refused(call):
    with pytest.raises(ValueError):
        call()
