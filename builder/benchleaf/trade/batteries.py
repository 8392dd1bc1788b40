"""What a battery's voltage at rest says of its charge, by chemistry, and how large an opening lets its gas out.

Voltages in V, temperatures in °C.
"""

import json
from collections.abc import Sequence
from functools import cache
from itertools import pairwise
from typing import NamedTuple

from benchleaf.base.resources import table_text

# Air moves through an opening at 0.1 m/s at least: 1e4/(0.1 · 3600) = 27.8, which the standard rounds to 28.
OPENING = 28.0
# A resting cell a little above its charging voltage is a meter's error; more is a miscount of cells.
_SURELY_TOO_HIGH = 1.02


class Chemistry(NamedTuple):
    """Voltages of one cell: `rest` from empty to full as (share of charge, V); `charging` at most, `cut_off` at least.

    `tells_charge`: whether the voltage at rest says anything of the charge.
    """

    name: str
    rest: tuple[tuple[float, float], ...]
    at: float
    per_kelvin: float
    cut_off: float
    charging: float
    rest_hours: float
    tells_charge: bool
    source: str
    known: str
    caveat: str


class BatteryState(NamedTuple):
    """Share of charge (None where the chemistry does not show it), and the whole battery's voltages at rest."""

    charge: float | None
    full: float
    empty: float


@cache
def chemistries() -> dict[str, Chemistry]:
    """All chemistries by the name that machine files use."""
    found = {}
    for row in json.loads(table_text("trade", "battery_states.json"))["chemistries"]:
        cells = row.get("cells", 1)
        found[row["chemistry"]] = Chemistry(
            row["chemistry"],
            tuple((share, volts / cells) for share, volts in row["rest"]),
            row["at"],
            row["per_kelvin"],
            row["cut_off"],
            row["charging"],
            row["rest_hours"],
            not row.get("tells_no_charge", False),
            row["source"],
            row["known"],
            row["caveat"],
        )
    return found


def battery_state(name: str, cells: int, voltage: float, temperature: float | None = None) -> BatteryState:
    """Charge by the voltage at rest, linear between the rows of the chemistry's table; beyond its ends 0 or 1.

    Without a temperature that of the table is taken. KeyError for an unknown chemistry; ValueError for no cells, and
    for a voltage that so many cells never have.
    """
    chemistry = chemistries()[name]
    if cells < 1 or voltage < 0:
        raise ValueError("a battery has one cell at least, and no voltage below zero")
    if voltage / cells > chemistry.charging * _SURELY_TOO_HIGH:
        raise ValueError(
            f"{voltage / cells:.2f} V a cell is more than {name} ever has ({chemistry.charging:g} V while charged): "
            "count the cells again"
        )
    warmer = 0.0 if temperature is None else chemistry.per_kelvin * (temperature - chemistry.at)
    rest = tuple((share, volts + warmer) for share, volts in chemistry.rest)
    charge = _between(rest, voltage / cells) if chemistry.tells_charge else None
    return BatteryState(charge, cells * rest[-1][1], cells * rest[0][1])


def _between(rest: Sequence[tuple[float, float]], volts: float) -> float:
    if volts <= rest[0][1]:
        return 0.0
    for (share, low), (next_share, high) in pairwise(rest):
        if volts <= high:
            return share + (volts - low) / (high - low) * (next_share - share)
    return 1.0


def cut_off_voltage(name: str, cells: int) -> float:
    """Voltage under load at which to stop discharging, V: 1.75 V a cell for lead-acid."""
    return chemistries()[name].cut_off * cells


def ventilation_opening(flow: float) -> float:
    """Free area in cm² of each of two openings for a flow of air in m³/h: A = 28 Q (IEC 62485-3)."""
    if flow < 0:
        raise ValueError("a flow of air is not below zero")
    return OPENING * flow
