"""Laws of screwed joints: there and back again, more torque more preload, more depth more hold."""

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from benchleaf.trade.stripping import bolt_shear_area, engagement_for, nut_shear_area, stripping_load
from benchleaf.trade.terminals import terminal_source, terminal_torque
from benchleaf.trade.threads import threads
from benchleaf.trade.tightening import (
    equivalent_nut_factor,
    lever_arm,
    long_lever_arm,
    mean_bearing_diameter,
    preload_at_yield,
    preload_of,
    tightening_torque,
)
from benchleaf.trade.torque_tools import (
    WrenchFit,
    deviation,
    extended_setting,
    permissible_deviation,
    stages_fault,
    true_torques,
    wrench_fit,
)

THREADS = st.sampled_from(list(threads().values()))
FRICTION = st.floats(0.02, 0.5)
FORCE = st.floats(1.0, 1e6)
PREVAILING = st.floats(0.0, 50.0)


@given(THREADS, FRICTION, FORCE, PREVAILING)
def test_from_preload_to_torque_and_back(thread, nut_factor, preload, prevailing):
    lever = lever_arm(thread, nut_factor)
    torque = tightening_torque(preload, lever, prevailing)
    assert torque > prevailing
    assert preload_of(torque, lever, prevailing) == pytest.approx(preload, rel=1e-6)
    assert tightening_torque(preload_of(torque, lever, prevailing), lever, prevailing) == pytest.approx(torque)


@given(THREADS, FRICTION, FRICTION, FORCE)
def test_the_long_form_is_the_short_one_with_its_own_nut_factor(thread, in_thread, under_head, preload):
    lever = long_lever_arm(thread, in_thread, under_head, 1.3 * thread.diameter)
    short = lever_arm(thread, equivalent_nut_factor(thread, lever))
    assert tightening_torque(preload, short) == pytest.approx(tightening_torque(preload, lever))


@given(THREADS, FRICTION, FRICTION, st.floats(0.001, 0.2))
def test_more_friction_needs_more_torque(thread, in_thread, under_head, more):
    bearing = 1.3 * thread.diameter
    lever = long_lever_arm(thread, in_thread, under_head, bearing)
    assert long_lever_arm(thread, in_thread + more, under_head, bearing) > lever
    assert long_lever_arm(thread, in_thread, under_head + more, bearing) > lever
    assert long_lever_arm(thread, 0.0, 0.0, bearing) == pytest.approx(thread.pitch / (2 * math.pi))


@given(THREADS, FRICTION, FORCE, st.floats(1.001, 10.0))
def test_more_torque_gives_more_preload(thread, nut_factor, torque, factor):
    lever = lever_arm(thread, nut_factor)
    assert preload_of(torque * factor, lever) > preload_of(torque, lever)
    assert preload_of(torque, lever * factor) < preload_of(torque, lever)


def test_torque_that_only_turns_a_locking_nut_gives_no_preload():
    assert preload_of(3.0, 2.0, prevailing=4.0) == 0.0


@given(THREADS, FRICTION, st.floats(0.001, 0.2), st.floats(100, 1200))
def test_friction_leaves_less_preload_at_yield(thread, in_thread, more, yielding):
    least = preload_at_yield(thread, yielding, in_thread + more)
    assert 0 < least < preload_at_yield(thread, yielding, in_thread) < 0.9 * yielding * thread.pitch_diameter**2


@given(THREADS, st.floats(1.0, 100.0), st.floats(30.0, 1200.0), st.floats(30.0, 1500.0))
def test_stripping(thread, engagement, nut, bolt):
    alone = stripping_load(thread, engagement, nut)
    assert stripping_load(thread, engagement, nut, bolt) <= alone
    assert engagement_for(thread, alone, nut) == pytest.approx(engagement)
    # The nut's thread is the longer way round: it strips first only where it is the weaker material.
    assert nut_shear_area(thread, engagement) > bolt_shear_area(thread, engagement)


def test_terminal_torques():
    """IEC 60947-1 (from memory): nothing for slotted screws above M10, nothing at all above M24."""
    by_name = threads()
    assert terminal_torque(by_name["M4x0.7"], "slotted-headless") == 0.7
    assert terminal_torque(by_name["M12x1.75"], "slotted") is None
    assert terminal_torque(by_name["M27x3"]) is None
    assert "IEC 60947-1" in terminal_source() and "from memory" in terminal_source()


@given(st.floats(0.0, 200.0))
@example(10.0)
@example(19.9)
@example(20.0)
@example(100.0)
def test_where_a_torque_lies_in_a_wrench(torque):
    fit = wrench_fit(torque, 10.0, 100.0)
    expected = (
        WrenchFit.BELOW_MARKED
        if torque < 10
        else WrenchFit.BELOW_FIFTH
        if torque < 20
        else WrenchFit.FITS
        if torque <= 100
        else WrenchFit.ABOVE_MARKED
    )
    assert fit is expected


@given(st.floats(0.5, 500.0), st.floats(0.0, 0.2))
def test_true_torques_are_those_with_the_permissible_deviation(setting, permissible):
    least, most = true_torques(setting, permissible)
    assert least <= setting <= most
    assert deviation(setting, least) == pytest.approx(permissible)
    assert deviation(setting, most) == pytest.approx(-permissible)


@pytest.mark.parametrize(
    ("stages", "fault"),
    [
        ((), ""),
        ((1.0,), ""),
        ((0.5, 1.0), ""),
        ((0.5, 0.5, 1.0), "do not rise"),
        ((0.5, 0.9), "not 100 %"),
        ((0.0, 1.0), "do not rise"),
        ((0.5, 1.2), "not 100 %"),
    ],
)
def test_stages_rise_to_the_whole(stages, fault):
    assert fault in stages_fault(stages) if fault else not stages_fault(stages)


@pytest.mark.parametrize(
    "call",
    [
        lambda: lever_arm(threads()["M10x1.5"], 0.0),
        lambda: long_lever_arm(threads()["M10x1.5"], -0.1, 0.1, 12.0),
        lambda: long_lever_arm(threads()["M10x1.5"], 0.1, 0.1, 0.0),
        lambda: mean_bearing_diameter(11.0, 11.0),
        lambda: deviation(10.0, 0.0),
        lambda: true_torques(10.0, 1.0),
        lambda: extended_setting(10.0, 0.0, 1.0),
    ],
)
def test_impossible_sizes_are_refused(call):
    with pytest.raises(ValueError):
        call()


def test_an_unknown_class_of_tool():
    with pytest.raises(KeyError):
        permissible_deviation("III A", 100.0)
