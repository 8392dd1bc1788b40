"""Sizes taken where a circuit does not state them: tolerances by kind of element, a diode, a fuse, a meter.

Common practice, no source; potentiometers of 20 % after the preferred values of IEC 60393-1 (from memory).
"""

import json
from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import Any, NamedTuple

from benchleaf.base.resources import table_text


class Usual(NamedTuple):
    """Relative tolerances by kind; volts over a conducting diode and over a fuse at its rating; ohms otherwise."""

    tolerance: Mapping[str, float]
    forward_voltage: float
    diode_resistance: float
    fuse_drop: float
    meter: float


@cache
def usual() -> Usual:
    """The sizes to be taken."""
    table: dict[str, Any] = json.loads(table_text("trade", "network_usual.json"))
    return Usual(
        MappingProxyType(table["tolerance"]),
        table["forward voltage"],
        table["diode resistance"],
        table["fuse drop"],
        table["meter"],
    )
