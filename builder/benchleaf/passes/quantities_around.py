"""What surrounds a reading: the voltage at its points, the resistance behind them, how large it will be, how it counts.

All values are exact fractions in base units.
"""

from collections.abc import Iterable, Iterator
from fractions import Fraction
from typing import NamedTuple

from benchleaf.model.energy import Energy
from benchleaf.model.expected import Expected
from benchleaf.model.flow import Flow, Station
from benchleaf.model.identifiers import each_value, spellings
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure, Step
from benchleaf.model.relations import earlier_station, earlier_step
from benchleaf.model.shop import Shop
from benchleaf.passes.quantities_decision import Around, difference_limit
from benchleaf.passes.quantities_limits import Size, bounds, dimension_of, read

MEASURE = "measure"
GUARDED, SIMPLE = "guarded", "simple"
ELECTRICAL = ("battery", "mains", "dc", "capacitor")
_OF_PRESSURE = ("hydraulic", "pneumatic")


class Source(NamedTuple):
    """An electrical energy at the points of a reading, and the highest voltage in V that the reading can meet."""

    key: str
    energy: Energy
    highest: Fraction


def decision_rule(limit: Limit, procedure: Procedure, shop: Shop) -> str:
    """`guarded` or `simple`: as the limit says, or the shop; else simple for fault finding, where good parts count."""
    if limit.decision:
        return limit.decision.name
    if shop.rules and shop.rules.decision:
        return shop.rules.decision.name
    return SIMPLE if procedure.kind.name == "fault-finding" else GUARDED


def around(machine: Machine, flow: Flow, station: Station, limit: Limit, expected: Expected | None) -> Around:
    """What the reading of a station depends on; `expected` is what the circuit says of it.

    A limit that the circuit gives holds what the meter takes away already.
    """
    inner = expected.behind.get(station.key, 0.0) if expected and not limit.from_ else 0.0
    return Around(_level(machine, flow, station, limit), Fraction(f"{inner:.12g}"))


def points_of(step: Step, limit: Limit) -> tuple[str, ...]:
    """The points of a reading, with the blanks of `each` filled in every way."""
    refs = step.between or limit.between
    return tuple(name for ref in refs for name in spellings(ref.name, step.each))


def parts_of(machine: Machine, step: Step, limit: Limit) -> tuple[str, ...]:
    """The parts that a reading is taken at: those of its points, else the part that step or limit names."""
    found = [machine.points[name].part for name in points_of(step, limit) if name in machine.points]
    named = [ref.name for ref in found if ref]
    if not named:
        named = [ref.name for ref in (step.at, limit.part) if ref]
    return tuple(dict.fromkeys(name for name in named if name in machine.parts))


def sources(machine: Machine, step: Step, limit: Limit) -> tuple[Source, ...]:
    """The electrical energies that lie bare at the points of a reading."""
    keys = dict.fromkeys(
        exposure.energy.name for part in parts_of(machine, step, limit) for exposure in machine.parts[part].exposes
    )
    return tuple(
        Source(key, energy, highest_of(energy) / pieces_of(step, energy))
        for key in keys
        if (energy := machine.energy.get(key)) and energy.kind.name in ELECTRICAL
    )


def highest_of(energy: Energy) -> Fraction:
    """The highest voltage of an electrical energy in V; 0 where none is given."""
    return max(amount.quantity.base if amount else Fraction(0) for amount in (energy.highest, energy.voltage))


def pieces_of(step: Step, energy: Energy) -> int:
    """Into how many equal pieces a step reads a battery: a block at a time, a cell at a time, or whole (1)."""
    blocks = energy.blocks
    if blocks is None or not step.each:
        return 1
    counts = [len(each_value(text)) for text in step.each.values()]
    pieces = 1
    for count in counts:
        pieces *= count
    cells = int(blocks.count) * blocks.cells
    return next((whole for whole in (cells, int(blocks.count)) if whole == pieces), 1)


def typical(limit: Limit) -> Fraction | None:
    """About how large a good reading is: nominal, the middle of the band, or its only side."""
    nominal = read(limit.nominal, dimension_of(limit))
    if isinstance(nominal, Size):
        return nominal.quantity.base
    low, high = bounds(limit)
    if low is not None and high is not None:
        return (low + high) / 2
    return low if high is None else high


def _level(machine: Machine, flow: Flow, station: Station, limit: Limit) -> Fraction | None:
    """About how large the readings are that a limit compares."""
    compares = limit.share or difference_limit(limit) is not None
    dimension = dimension_of(limit)
    if not compares and dimension != "temperature-difference":
        return None
    earlier = earlier_step(limit)
    if earlier:
        key = earlier_station({each.key for each in flow.stations}, station.key, earlier.name)
        step = flow.station(key).step if key else None
        other = machine.limits.get(step.object.text) if step and step.action.name == MEASURE else None
        return typical(other) if other else None
    alike = list(_alike(machine, flow, station, limit))
    if alike:
        return max(alike, key=abs)
    if dimension == "voltage":
        highest = [source.highest for source in sources(machine, station.step, limit)]
        return max(highest, default=None)
    if dimension == "pressure":
        return max(_pressures(machine), default=None)
    return None


def _alike(machine: Machine, flow: Flow, station: Station, limit: Limit) -> Iterator[Fraction]:
    """Sizes of the other limits of the same kind that are read at the same place."""
    points = set(points_of(station.step, limit))
    for other in flow.stations:
        held = machine.limits.get(other.step.object.text) if other.step.action.name == MEASURE else None
        if held is None or held is limit or held.measure.name != limit.measure.name:
            continue
        same_points = points and points == set(points_of(other.step, held))
        same_part = not points and station.step.at and other.step.at and station.step.at.name == other.step.at.name
        size = typical(held)
        if (same_points or same_part) and size is not None:
            yield size


def _pressures(machine: Machine) -> Iterable[Fraction]:
    return (
        energy.pressure.quantity.base
        for energy in machine.energy.values()
        if energy.kind.name in _OF_PRESSURE and energy.pressure
    )
