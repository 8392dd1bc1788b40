"""Torques of clamping screws at electrical terminals, by diameter and by what turns them."""

import json
from functools import cache
from typing import Any, Literal

from benchleaf.base.resources import table_text
from benchleaf.trade.threads import Thread

Drive = Literal["slotted-headless", "slotted", "other"]
_COLUMNS: dict[Drive, int] = {"slotted-headless": 1, "slotted": 2, "other": 3}


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("trade", "terminals.json"))
    return table


def terminal_source() -> str:
    """Where the torques come from, and how they are known."""
    return f"{_table()['source']}; {_table()['known']}"


def terminal_torque(thread: Thread, drive: Drive = "other") -> float | None:
    """Test torque in N·m of a terminal screw (IEC 60947-1); None beyond the table.

    `slotted-headless`: a screw that does not stand out of its hole; `slotted`: turned by a screwdriver; `other`: by
    anything else, nuts included. The maker's torque goes before it.
    """
    for up_to, *torques in _table()["rows"]:
        if thread.diameter <= up_to + 1e-9:
            found = torques[_COLUMNS[drive] - 1]
            return None if found is None else float(found)
    return None
