"""What a circuit lets one expect: readings at steps, with and without faults, and the voltages at test points."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.model.basics import EMPTY
from benchleaf.model.limit import Limit


class Foreseen(NamedTuple):
    """A reading at a station, in the unit `unit`; infinite for an open circuit.

    `low` to `high` is what good machines show over all tolerances, `stated_low` to `stated_high` over those that the
    machine file states. `faults` gives what each fault would show, `sides` where that lies against the limit; a fault
    under which the circuit has no solution is missing. `state` says in words how the circuit's switches stand.
    """

    station: str
    limit: str
    unit: str
    low: float
    nominal: float
    high: float
    stated_low: float
    stated_high: float
    side: str
    faults: Mapping[str, float] = EMPTY
    sides: Mapping[str, str] = EMPTY
    state: str = ""


class Expected(NamedTuple):
    """All that the circuit says about one procedure.

    `readings` by station; `volts` gives for each station the voltage of each node against the circuit's ground, as far
    as that is defined in the state of the step; `currents` for each station with a reading the current in amperes
    through each element that lets one pass (nan through a mere wire); `behind` for each station that reads a voltage
    the resistance in ohms behind its points; `computed` the limits that are taken from the circuit, with their numbers.
    """

    readings: Mapping[str, Foreseen] = EMPTY
    volts: Mapping[str, Mapping[str, float]] = EMPTY
    currents: Mapping[str, Mapping[str, float]] = EMPTY
    behind: Mapping[str, float] = EMPTY
    computed: Mapping[str, Limit] = EMPTY
