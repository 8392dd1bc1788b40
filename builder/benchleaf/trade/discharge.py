"""How long stored electric charge takes to bleed away: t = R C ln(V0 / V)."""

import math


def discharge_time(capacitance: float, resistance: float, start: float, end: float) -> float:
    """Seconds until a capacitor (F) over a resistor (ohm) has fallen from `start` to `end` (V).

    Zero where it starts at or below `end`. ValueError for sizes that are not positive.
    Source: exponential discharge of an RC circuit, any textbook of electrical engineering.
    """
    if min(capacitance, resistance, end) <= 0 or start < 0:
        raise ValueError("capacitance, resistance and end voltage must be above zero")
    return resistance * capacitance * math.log(start / end) if start > end else 0.0


def rounded_up(seconds: float) -> int:
    """A waiting time for a clock: up to 2 min in tens of seconds, then in whole minutes; never less than needed."""
    step = 10 if seconds <= 120 else 60
    return max(step, math.ceil(seconds / step - 1e-9) * step)
