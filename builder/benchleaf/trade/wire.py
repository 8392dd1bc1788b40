"""Copper conductors: gauge to diameter and area, resistance by length and temperature, voltage drop.

Diameters in mm, areas in mm², lengths in m, resistances in Ω, temperatures in °C.
"""

import json
import math
import re
from functools import cache
from typing import Any

from benchleaf.base.resources import table_text
from benchleaf.trade.unread import Unread, proposed

# International annealed copper standard: 1/58 Ω mm²/m at 20 °C, 0.00393 per kelvin (IEC 60028).
RESISTIVITY = 1 / 58
COEFFICIENT = 0.00393
REFERENCE = 20.0
# Four noughts: the thickest gauge of ASTM B258; 56: the thinnest.
THICKEST, THINNEST = -3, 56
# What IEC 60228 calls flexible conductors.
FLEXIBLE, STRANDED = 5, 2


def parse_gauge(text: str) -> int | Unread:
    """Read `14 AWG` or `1/0 AWG`; the number of noughts less one counts down from 0, so that 4/0 is -3."""
    plain = re.fullmatch(r"([0-9]{1,2})(/0)? ?AWG", text.strip())
    if plain:
        number = int(plain[1])
        gauge = 1 - number if plain[2] else number
        if (not plain[2] or number >= 1) and THICKEST <= gauge <= THINNEST:
            return gauge
        return Unread(f"`{text}` is no gauge: they go from 4/0 AWG to {THINNEST} AWG.", "Write it as in `14 AWG`.")
    loose = re.fullmatch(r"(?i)(?:awg)? ?#? ?([0-9]{1,2}(?:/0)?|0{2,4}) ?(?:awg|ga\.?|gauge)?", text.strip())
    if loose:
        name = f"{len(loose[1])}/0" if set(loose[1]) == {"0"} and len(loose[1]) > 1 else loose[1]
        if isinstance(parse_gauge(f"{name} AWG"), int):
            return proposed(f"`{text}` is not how a gauge is written.", (f"{name} AWG",))
    return Unread(f"`{text}` is no wire gauge.", "Write it as in `14 AWG` or `1/0 AWG`, or give the `area`.")


def gauge_diameter(gauge: int) -> float:
    """0.127 mm · 92^((36 - n)/39), mm (ASTM B258: 0.005 in for 36 AWG, 0.46 in for 4/0 AWG)."""
    return float(0.127 * 92 ** ((36 - gauge) / 39))


def circle_area(diameter: float) -> float:
    """π d²/4, mm² from mm."""
    return math.pi * diameter**2 / 4


def circle_diameter(area: float) -> float:
    """Diameter in mm of one round wire of that area (mm²); a strand of many is thicker."""
    return math.sqrt(4 * area / math.pi)


def temperature_factor(temperature: float, coefficient: float = COEFFICIENT) -> float:
    """Resistance at a temperature over that at 20 °C: 1 + α (T - 20).

    IEC 60228 reduces measured resistances with α = 0.004 instead of 0.00393: 0.3 % more at 70 °C.
    """
    return 1 + coefficient * (temperature - REFERENCE)


def resistance_per_metre(area: float, temperature: float = REFERENCE) -> float:
    """Of annealed copper of that area (mm²), Ω/m: 1/58 Ω mm²/m over the area. ValueError for no area."""
    if area <= 0:
        raise ValueError("the area must be above zero")
    return RESISTIVITY / area * temperature_factor(temperature)


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("trade", "conductors.json"))
    return table


def standard_resistance(area: float, conductor: int = FLEXIBLE) -> float | None:
    """Most that a metre of a standard conductor of plain copper has at 20 °C, Ω/m; None for an area that is none.

    Source: IEC 60228, class 2 (stranded) and class 5 (flexible). ValueError for another class.
    """
    column = {STRANDED: 1, FLEXIBLE: 2}.get(conductor)
    if column is None:
        raise ValueError(f"class {conductor} is not in the table")
    return next((row[column] / 1000 for row in _table()["rows"] if math.isclose(row[0], area, rel_tol=1e-9)), None)


def standard_areas() -> tuple[float, ...]:
    """Areas in mm² that IEC 60228 lists."""
    return tuple(float(row[0]) for row in _table()["rows"])


def conductor_resistance(area: float, length: float, temperature: float = REFERENCE, by_table: bool = True) -> float:
    """Ω of a conductor of that area (mm²) and length (m).

    By the most that IEC 60228 allows a flexible one, where the area is a standard one and `by_table` is set; else
    of solid annealed copper, 1/58 Ω mm²/m.
    """
    standard = standard_resistance(area) if by_table else None
    per_metre = resistance_per_metre(area) if standard is None else standard
    return per_metre * length * temperature_factor(temperature)
