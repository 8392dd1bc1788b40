"""Whether a torque wrench suits a torque, what it is off by, and what an extension makes of its setting. In N·m."""

import json
from enum import StrEnum
from functools import cache
from itertools import pairwise
from typing import Any

from benchleaf.base.resources import table_text


class WrenchFit(StrEnum):
    """How a torque lies in a wrench's marked range."""

    BELOW_MARKED = "below the lowest marked value"
    BELOW_FIFTH = "below a fifth of the scale"
    FITS = "fits"
    ABOVE_MARKED = "above the highest marked value"


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("trade", "torque_tools.json"))
    return table


def lowest_share() -> float:
    """The share of the scale from which wrenches were calibrated by ISO 6789:2003; the 2017 edition has none."""
    return float(_table()["scale"]["lowest_share"])


def wrench_fit(torque: float, lowest: float, highest: float) -> WrenchFit:
    """Where a torque lies between the lowest and the highest marked value."""
    if torque < lowest:
        return WrenchFit.BELOW_MARKED
    if torque > highest:
        return WrenchFit.ABOVE_MARKED
    return WrenchFit.BELOW_FIFTH if torque < lowest_share() * highest else WrenchFit.FITS


def permissible_deviation(tool_class: str, highest: float) -> float:
    """Deviation as a share of the reference value that ISO 6789:2003 allows a tool: `II A` is a click wrench.

    `highest` is its largest torque. KeyError for a class that is not in the table.
    """
    row = next((row for row in _table()["rows"] if row[0] == tool_class), None)
    if row is None:
        raise KeyError(tool_class)
    return float(row[1] if highest <= 10 else row[2]) / 100


def deviation(indicated: float, reference: float) -> float:
    """(Xa - Xr)/Xr: how far the indicated or set value is off, as a share of the reference (ISO 6789)."""
    if reference <= 0:
        raise ValueError("the reference value must be above zero")
    return (indicated - reference) / reference


def true_torques(setting: float, permissible: float) -> tuple[float, float]:
    """Least and most torque that a wrench within its permissible deviation (a share) gives at a setting."""
    if not 0 <= permissible < 1:
        raise ValueError("a deviation lies from 0 to below 1")
    return setting / (1 + permissible), setting / (1 - permissible)


def extended_setting(torque: float, wrench_length: float, total_length: float) -> float:
    """Setting for a torque at the end of an extension in line with the wrench: M1 = M2 L1/L2 (lever law).

    `wrench_length` from the middle of the grip to the square drive, `total_length` to the bolt.
    """
    if min(wrench_length, total_length) <= 0:
        raise ValueError("lengths must be above zero")
    return torque * wrench_length / total_length


def stages_fault(stages: tuple[float, ...]) -> str:
    """What is wrong with the stages of tightening (shares of the torque): empty text where nothing is."""
    if not stages:
        return ""
    if any(later <= earlier for earlier, later in pairwise(stages)) or stages[0] <= 0:
        return "The stages do not rise."
    if abs(stages[-1] - 1) > 1e-9:
        return "The last stage is not 100 %."
    return ""
