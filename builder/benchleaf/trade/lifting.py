"""How much a person should lift: the revised NIOSH lifting equation in its metric form (Pub. 94-110), in cm and kg.

It does not hold for lifting with one hand, seated, kneeling or in a narrow space, for more than 8 hours, for loads that
shift, for carrying, pushing and pulling, on slippery floors or in heat; nor for two people.
"""

import json
from functools import cache
from typing import Any, Literal, NamedTuple

from benchleaf.base.resources import table_text

LOAD_CONSTANT = 23.0
Coupling = Literal["good", "fair", "poor"]

# Nearer, shorter and rarer than this changes nothing; farther, higher and more twisted than this nobody should lift.
NEAREST, FARTHEST = 25.0, 63.0
KNUCKLES, HIGHEST = 75.0, 175.0
SHORTEST, LONGEST = 25.0, 175.0
MOST_TWIST = 135.0
RAREST = 0.2
MOST_HOURS = 8.0


class Lift(NamedTuple):
    """The recommended weight limit in kg, and the six multipliers that make it out of 23 kg."""

    limit: float
    hm: float
    vm: float
    dm: float
    am: float
    fm: float
    cm: float

    def lifting_index(self, mass: float) -> float | None:
        """Lifting index: mass (kg) over limit; None where nothing should be lifted so."""
        return mass / self.limit if self.limit else None


def horizontal_multiplier(horizontal: float) -> float:
    """25/H for the hands' distance from the ankles (cm): 1 below 25 cm, 0 beyond 63 cm."""
    return 0.0 if horizontal > FARTHEST else NEAREST / max(horizontal, NEAREST)


def vertical_multiplier(vertical: float) -> float:
    """1 - 0.003 |V - 75| for the hands' height at the start (cm): 0 beyond 175 cm."""
    return 0.0 if vertical > HIGHEST else 1 - 0.003 * abs(vertical - KNUCKLES)


def distance_multiplier(distance: float) -> float:
    """0.82 + 4.5/D for the vertical travel (cm): 1 below 25 cm, 0 beyond 175 cm."""
    return 0.0 if distance > LONGEST else 0.82 + 4.5 / max(distance, SHORTEST)


def asymmetry_multiplier(angle: float) -> float:
    """1 - 0.0032 A for the twist (degrees): 0 beyond 135°."""
    return 0.0 if angle > MOST_TWIST else 1 - 0.0032 * angle


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("trade", "lifting.json"))
    return table


def frequency_multiplier(frequency: float, hours: float, vertical: float) -> float:
    """From table 5, by lifts a minute, hours of work and the hands' height (cm), linear between rows; 0 beyond them.

    ValueError for more than 8 hours.
    """
    column = next((each for each in _table()["frequency"]["columns"] if hours <= each["hours"]), None)
    if column is None:
        raise ValueError("the equation holds for up to 8 hours")
    values = column["low" if vertical < KNUCKLES else "high"]
    steps = _table()["frequency"]["per_minute"]
    rate = max(frequency, RAREST)
    if rate > steps[-1]:
        return 0.0
    for place in range(1, len(steps)):
        if rate <= steps[place]:
            share = (rate - steps[place - 1]) / (steps[place] - steps[place - 1])
            before, after = values[place - 1], values[place]
            return float(before + share * (after - before))
    raise AssertionError("the steps begin at the rarest lift")


def coupling_multiplier(coupling: Coupling, vertical: float) -> float:
    """From table 7: good, fair or poor grip, below and from 75 cm of height on."""
    return float(_table()["coupling"][coupling][0 if vertical < KNUCKLES else 1])


def lift(
    horizontal: float,
    vertical: float,
    distance: float,
    angle: float = 0.0,
    frequency: float = RAREST,
    hours: float = 1.0,
    coupling: Coupling = "good",
) -> Lift:
    """Recommended weight limit in kg: 23 HM VM DM AM FM CM, at full precision.

    Horizontal, vertical and distance in cm, angle in degrees, frequency in lifts a minute. The printed examples of the
    source multiply two-decimal multipliers and differ by up to 2 %. ValueError for sizes below zero, more than 8 h.
    """
    if min(horizontal, vertical, distance, angle, frequency, hours) < 0:
        raise ValueError("distances, angle, frequency and duration must not be below zero")
    hm, vm = horizontal_multiplier(horizontal), vertical_multiplier(vertical)
    dm, am = distance_multiplier(distance), asymmetry_multiplier(angle)
    fm, cm = frequency_multiplier(frequency, hours, vertical), coupling_multiplier(coupling, vertical)
    return Lift(LOAD_CONSTANT * hm * vm * dm * am * fm * cm, hm, vm, dm, am, fm, cm)
