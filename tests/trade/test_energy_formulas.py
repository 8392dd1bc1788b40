"""Formulas of stored energy against published examples and closed forms."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.trade.discharge import discharge_time, rounded_up
from benchleaf.trade.stored import (
    battery_energy,
    capacitor_energy,
    gas_energy,
    height_energy,
    hydrogen_ventilation,
    short_circuit_current,
    spring_energy,
)


# Source: exponential discharge of an RC circuit, closed form t = RC ln(V0/V); from memory, computed.
@pytest.mark.parametrize(
    ("ohm", "farad", "start", "end", "seconds"),
    [
        (10_000, 1000e-6, 400, 60, 18.9712),
        (10_000, 1000e-6, 400, 50, 20.7944),
        (100_000, 470e-6, 325, 60, 79.4056),
        (100_000, 470e-6, 325, 50, 87.9747),
        (2_200, 4700e-6, 80, 60, 2.97463),
        (2_200, 4700e-6, 80, 50, 4.85984),
    ],
)
def test_discharge_times(ohm: float, farad: float, start: float, end: float, seconds: float) -> None:
    assert discharge_time(farad, ohm, start, end) == pytest.approx(seconds, rel=1e-5)


# Source: IEC 62485-3 (EN 50272-3), traction ventilation Q = 0.05 n Igas Cn / 100; public reproduction, computed.
@pytest.mark.parametrize(
    ("cells", "gas", "capacity", "flow"), [(24, 7, 500, 42.0), (24, 2, 500, 12.0), (12, 1, 225, 1.35)]
)
def test_hydrogen_ventilation_of_traction_batteries(cells: int, gas: float, capacity: float, flow: float) -> None:
    assert hydrogen_ventilation(cells, gas, capacity) == pytest.approx(flow, rel=1e-12)


# Source: IEC 62485-2 counts mA per A·h and divides by 1000: the same number of the other standard is ten times less.
def test_stationary_figures_give_a_tenth_when_taken_for_traction_ones() -> None:
    stationary = 0.05 * 24 * 5 * 200 / 1000
    assert stationary == pytest.approx(1.2)
    assert hydrogen_ventilation(24, 5, 200) == pytest.approx(10 * stationary)


# Source: Ohm's law, textbook; from memory.
@pytest.mark.parametrize(("volts", "ohm", "amperes"), [(12.65, 0.005, 2530), (50.4, 0.008, 6300)])
def test_short_circuit_current(volts: float, ohm: float, amperes: float) -> None:
    assert short_circuit_current(volts, ohm) == pytest.approx(amperes)


def test_short_circuit_of_no_resistance_is_refused() -> None:
    with pytest.raises(ValueError, match="above zero"):
        short_circuit_current(12.0, 0.0)


def test_stored_energies() -> None:
    # Textbook closed forms; m g h: 500 kg raised 1.2 m, from memory.
    assert height_energy(500, 1.2) == pytest.approx(5883.99, rel=1e-6)
    assert capacitor_energy(4700e-6, 63.6) == pytest.approx(9.5057, rel=1e-4)
    assert spring_energy(60e3, 12e-3) == pytest.approx(4.32)
    assert battery_energy(48, 225 * 3600) == pytest.approx(48 * 225 * 3600)


def test_gas_let_go_at_constant_temperature() -> None:
    # 50 L at 11.013 bar absolute, p V ln(p/p0): 132 kJ; trade page, public reproduction.
    assert gas_energy(1_101_300 - 101_300, 0.05, ambient=101_300) == pytest.approx(132e3, rel=0.01)
    # The isothermal value is the upper bound of the adiabatic one, 68.0 kJ computed for the same vessel.
    assert gas_energy(1_101_300 - 101_300, 0.05, ambient=101_300) > 68_043
    assert gas_energy(0.0, 1.0) == 0.0


@given(st.floats(1e-6, 1.0), st.floats(1.0, 1e7), st.floats(1.0, 1000.0), st.floats(0.5, 1000.0))
def test_after_the_time_the_voltage_is_down(farad: float, ohm: float, start: float, end: float) -> None:
    seconds = discharge_time(farad, ohm, start, end)
    assert seconds >= 0
    assert start * math.exp(-seconds / (ohm * farad)) <= max(end, start if seconds == 0 and start <= end else 0.0) * (
        1 + 1e-9
    )


@given(st.floats(0.0, 1e5))
def test_a_waiting_time_is_never_shortened(seconds: float) -> None:
    assert rounded_up(seconds) >= seconds - 1e-6
    assert rounded_up(seconds) % 10 == 0
