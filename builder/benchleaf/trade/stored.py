"""How much energy a machine holds, in joules, by kind; every size is the largest that the machine file allows."""

import math

GRAVITY = 9.80665
ATMOSPHERE = 101_325.0


def capacitor_energy(capacitance: float, voltage: float) -> float:
    """½ C V² in J, from F and V."""
    return 0.5 * capacitance * voltage * voltage


def spring_energy(rate: float, travel: float) -> float:
    """½ k x² in J, from N/m and m."""
    return 0.5 * rate * travel * travel


def height_energy(mass: float, height: float) -> float:
    """m g h in J, from kg and m, with standard gravity."""
    return mass * GRAVITY * height


def battery_energy(voltage: float, charge: float) -> float:
    """V Q in J, from V and C."""
    return voltage * charge


def gas_energy(gauge_pressure: float, volume: float, ambient: float = ATMOSPHERE) -> float:
    """p V ln(p / p0) in J for gas let go at constant temperature, from gauge pressure (Pa) and volume (m³).

    The isothermal value is the upper bound of the work that the gas can do.
    """
    absolute = gauge_pressure + ambient
    return absolute * volume * math.log(absolute / ambient) if gauge_pressure > 0 else 0.0


def short_circuit_current(voltage: float, resistance: float) -> float:
    """V / R in A: what a slipped spanner draws. ValueError for a resistance that is not positive."""
    if resistance <= 0:
        raise ValueError("resistance must be above zero")
    return voltage / resistance


def hydrogen_ventilation(cells: int, gas_current: float, capacity: float) -> float:
    """Air needed while charging, m³/h: Q = 0.05 n I_gas C / 100, with I_gas in A per 100 A·h and C in A·h.

    Source: IEC 62485-3 (traction batteries). The stationary form counts mA per A·h and divides by 1000.
    """
    return 0.05 * cells * gas_current * capacity / 100.0
