"""Numbers that others of the machine contradict: beyond its sources, a power of ten off, written twice and apart."""

from collections.abc import Iterable, Iterator, Mapping
from fractions import Fraction
from itertools import combinations
from statistics import median
from typing import NamedTuple

from benchleaf.base.finding import Finding, Related
from benchleaf.base.span import Span
from benchleaf.model.basics import Amount
from benchleaf.model.blanks import every_step
from benchleaf.model.energy import Energy
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure, Step
from benchleaf.model.units import base_unit
from benchleaf.passes import quantities_slip_rules as rules
from benchleaf.passes.quantities_around import (
    ELECTRICAL,
    MEASURE,
    highest_of,
    parts_of,
    pieces_of,
    points_of,
    sources,
    typical,
)
from benchleaf.passes.quantities_limits import Bounds, Size, bounds, dimension_of, read
from benchleaf.passes.quantities_tables import never_compared
from benchleaf.passes.quantities_verdict import size_text
from benchleaf.trade.batteries import chemistries

# Further above its highest source no direct voltage of a machine can stand.
BEYOND = Fraction(3, 2)
_DIRECT = frozenset({"dc-voltage", "voltage-drop"})
_PEAK = Fraction(14143, 10000)
# A power of ten counts within 5 %, among at least three siblings that agree within a factor 2.
_NEAR = Fraction(1, 20)
_FEWEST_SIBLINGS = 3
_AGREE = 2
_POWERS = tuple(Fraction(10) ** power for power in (-6, -5, -4, -3, -2, -1, 1, 2, 3, 4, 5, 6))
_WIRES = frozenset({"coil", "motor", "contact", "switch", "fuse"})


class Placed(NamedTuple):
    """A limit with the points and parts at which any procedure reads it."""

    name: str
    limit: Limit
    places: frozenset[str]


def of_physics(machine: Machine) -> Iterator[Finding]:
    """Direct voltages that no source of the machine can give."""
    highest = _highest(machine)
    for name, limit in machine.limits.items():
        size = _beyond(limit, highest)
        if size:
            sentence = f"`{name}` asks for {size.text}; the highest source of the machine gives {_volts(highest)}."
            yield rules.BEYOND_SOURCE.at(size.span, sentence, mend=_meant(size, highest))


def _of_batteries(machine: Machine, placed: Iterable[Placed]) -> Iterator[Finding]:
    """Direct voltages at a battery that no battery, block or cell of it has, but that a power of ten puts right."""
    for one in placed:
        size = typical(one.limit)
        if one.limit.measure.name != "dc-voltage" or not size or _sides(one.limit) != (True, True):
            continue
        parts = [machine.parts[name.removeprefix("part ")] for name in one.places if name.startswith("part ")]
        there = {exposed.energy.name for part in parts for exposed in part.exposes}
        for key, energy in machine.energy.items():
            windows = _windows(energy) if key in there else ()
            if not windows or any(low <= size <= high for low, high in windows):
                continue
            least, most = windows[0]
            if any(least <= size * power <= most for power in _POWERS):
                span, text = _shown(one.limit)
                sentence = f"`{one.name}` is {text}, a power of ten away from what `{key}` has: {_volts(least)}"
                mend = f"Write about {_volts(size * _nearest_power(size, windows))} if that is meant."
                yield rules.POWER_OF_TEN.at(span, f"{sentence} to {_volts(most)}.", mend=mend)


def _nearest_power(size: Fraction, windows: Iterable[tuple[Fraction, Fraction]]) -> Fraction:
    """The least move of the decimal point that brings a voltage to one of the battery, of a block or a cell of it."""
    fitting = [power for power in _POWERS for low, high in windows if low <= size * power <= high]
    return min(fitting, key=lambda power: max(power, 1 / power))


def _windows(energy: Energy) -> tuple[tuple[Fraction, Fraction], ...]:
    """The least and the most that a whole battery, one block and one cell of it have, in V; empty where unknown."""
    chemistry = chemistries().get(energy.chemistry.name) if energy.chemistry else None
    highest, blocks = highest_of(energy), energy.blocks
    if chemistry is None or blocks is None or not highest:
        return ()
    cells = int(blocks.count) * blocks.cells
    counts = (cells, blocks.cells, 1)
    return tuple((Fraction(str(chemistry.cut_off)) * count, highest * count / cells) for count in counts)


def of_pieces(machine: Machine, step: Step, limit: Limit) -> Iterator[Finding]:
    """A limit for a whole battery that is held against each of its blocks or cells."""
    for source in sources(machine, step, limit):
        pieces = pieces_of(step, source.energy)
        if pieces > 1 and _beyond(limit, source.highest):
            most = _volts(source.highest)
            sentence = f"`{step.object}` is read {pieces} times over `{source.key}`; each piece gives {most} at most."
            related = (Related(limit.span, "The limit stands here."),)
            yield rules.BEYOND_SOURCE.at(step.object.span, sentence, related=related)


def _beyond(limit: Limit, highest: Fraction) -> Size | None:
    """The first number of a limit that no source of this height explains."""
    if not highest or limit.measure.name not in _DIRECT:
        return None
    amounts = [limit.low, limit.nominal, limit.high, *_apart(limit)]
    sizes = (read(amount, dimension_of(limit)) for amount in amounts)
    return next((size for size in sizes if isinstance(size, Size) and _is_beyond(size, highest)), None)


def _apart(limit: Limit) -> tuple[Amount, ...]:
    """The amounts by which readings may differ, other than shares of them."""
    parts = (limit.within, limit.drop, limit.spread, limit.steady, limit.falls_by)
    return tuple(amount for part in parts for amount in _amounts(part) if amount.quantity.dimension == "voltage")


def _is_beyond(size: Size, highest: Fraction) -> bool:
    return abs(size.quantity.base) > BEYOND * highest


def _meant(size: Size, highest: Fraction) -> str:
    """The cure where the same digits with another prefix or point would fit the source; empty text otherwise."""
    quantity = size.quantity
    meant = ""
    if quantity.unit.symbol == "kV" and abs(quantity.base) <= 1000 * BEYOND * highest:
        meant = f"{quantity.value} V"
    elif abs(quantity.base) <= 10 * highest:
        meant = f"{quantity.value.scaleb(-1)} {quantity.unit.symbol}"
    elif quantity.unit.symbol == "V" and abs(quantity.base) <= 1000 * highest:
        meant = f"{quantity.value} mV"
    return f"Write `{meant}` if that is meant, or describe the source under `energy`." if meant else ""


def _volts(size: Fraction) -> str:
    return size_text(size, base_unit("voltage"))


def _highest(machine: Machine) -> Fraction:
    """The highest voltage that a source of the machine gives, the peak where it alternates; 0 where there is none."""
    found = [
        highest_of(energy) * (_PEAK if energy.kind.name == "mains" else 1)
        for energy in machine.energy.values()
        if energy.kind.name in ELECTRICAL
    ]
    if machine.circuit:
        elements = machine.circuit.elements.values()
        found += [each.voltage.quantity.base for each in elements if each.type.name == "battery" and each.voltage]
    return max(found, default=Fraction(0))


def of_siblings(machine: Machine, procedures: Iterable[Procedure], blocks: Mapping[str, Block]) -> Iterator[Finding]:
    """Limits a power of ten from others of their place or from their battery, and those that nearly say the same."""
    placed = _placed(machine, procedures, blocks)
    yield from _of_batteries(machine, placed)
    for one in placed:
        yield from _power_of_ten(machine, one, placed)
    for one, other in combinations(placed, 2):
        same = one.limit.measure.name == other.limit.measure.name and one.limit.applies_to == other.limit.applies_to
        if same and _same_points(one, other):
            yield from _disagreement(one, other, "measure the same points")


def of_machines(machines: Iterable[Machine]) -> Iterator[Finding]:
    """Limits of several machines that rest on one drawing under one name, with other numbers."""
    seen: dict[tuple[str, str, str], Placed] = {}
    for machine in machines:
        for name, limit in machine.limits.items():
            if not limit.source:
                continue
            key = (name, limit.measure.name, limit.source)
            first = seen.setdefault(key, Placed(name, limit, frozenset()))
            if _numbers(first.limit) != _numbers(limit):
                sentence = f"`{name}` rests on {limit.source} here and on another machine, with other numbers there."
                related = (Related(first.limit.span, f"There `{name}` stands."),)
                yield rules.LIMITS_DISAGREE.at(limit.span, sentence, related=related)


def _placed(machine: Machine, procedures: Iterable[Procedure], blocks: Mapping[str, Block]) -> tuple[Placed, ...]:
    places: dict[str, set[str]] = {name: set() for name in machine.limits}
    for name, limit in machine.limits.items():
        places[name].update(f"point {ref}" for ref in limit.between)
        if limit.part:
            places[name].add(f"part {limit.part}")
    for procedure in procedures:
        for step in every_step(procedure.steps, blocks):
            held = machine.limits.get(step.object.text) if step.action.name == MEASURE else None
            if held is not None:
                places[step.object.text].update(f"point {name}" for name in points_of(step, held))
                places[step.object.text].update(f"part {name}" for name in parts_of(machine, step, held))
    return tuple(Placed(name, limit, frozenset(places[name])) for name, limit in machine.limits.items())


def _power_of_ten(machine: Machine, one: Placed, placed: Iterable[Placed]) -> Iterator[Finding]:
    size = typical(one.limit)
    if not size or _is_of_wires(machine, one):
        return
    siblings = [
        other
        for other in placed
        if other is not one
        and other.limit.measure.name == one.limit.measure.name
        and other.places & one.places
        and _sides(other.limit) == _sides(one.limit)
        and not _is_of_wires(machine, other)
    ]
    agreeing = _agreeing(siblings)
    if len(agreeing) < _FEWEST_SIBLINGS:
        return
    middle = median(found for other in agreeing if (found := typical(other.limit)) is not None)
    if any(abs(size * power - middle) <= _NEAR * middle for power in _POWERS):
        names = ", ".join(f"`{other.name}`" for other in agreeing)
        span, text = _shown(one.limit)
        sentence = f"`{one.name}` is {text}, a power of ten away from {names} at the same place."
        related = tuple(Related(other.limit.span, f"`{other.name}` stands here.") for other in agreeing)
        yield rules.POWER_OF_TEN.at(span, sentence, related=related)


def _agreeing(siblings: Iterable[Placed]) -> tuple[Placed, ...]:
    """The most limits whose sizes lie within a factor of each other."""
    sized = [(size, place, each) for place, each in enumerate(siblings) if (size := typical(each.limit) or 0) > 0]
    sized.sort(key=lambda one: one[:2])
    runs: list[list[Placed]] = [[each for size, _, each in sized if low <= size <= _AGREE * low] for low, _, _ in sized]
    runs.sort(key=len)
    return tuple(runs[-1]) if runs else ()


def _is_of_wires(machine: Machine, one: Placed) -> bool:
    """Windings, contacts and insulation: their resistances have nothing to do with each other."""
    if dimension_of(one.limit) != "resistance":
        return False
    if one.limit.measure.name != "resistance" or never_compared(f"{one.name} {one.limit.name or ''}"):
        return True
    points = {place.removeprefix("point ") for place in one.places if place.startswith("point ")}
    elements = machine.circuit.elements.values() if machine.circuit else ()
    between = [each for each in elements if {node.name for node in each.nodes} <= points]
    return any(each.type.name in _WIRES for each in between)


def _sides(limit: Limit) -> tuple[bool, bool]:
    low, high = bounds(limit)
    return low is not None, high is not None


def _shown(limit: Limit) -> tuple[Span, str]:
    amount = limit.nominal or limit.low or limit.high
    return (amount.span, amount.quantity.text) if amount else (limit.span, "")


def _same_points(one: Placed, other: Placed) -> bool:
    points = [{place for place in each.places if place.startswith("point ")} for each in (one, other)]
    return bool(points[0]) and points[0] == points[1]


def _disagreement(one: Placed, other: Placed, why: str) -> Iterator[Finding]:
    """Bands so much alike that one was meant, and yet not the same."""
    first, second = bounds(one.limit), bounds(other.limit)
    if first == second or not _alike(first, second):
        return
    sentence = f"`{one.name}` and `{other.name}` {why} with nearly, not quite, the same numbers."
    related = (Related(one.limit.span, f"`{one.name}` stands here."),)
    yield rules.LIMITS_DISAGREE.at(other.limit.span, sentence, related=related)


def _alike(first: Bounds, second: Bounds) -> bool:
    pairs = list(zip(first, second, strict=True))
    if any((one is None) != (other is None) for one, other in pairs):
        return False
    both = [(one, other) for one, other in pairs if one is not None and other is not None]
    return bool(both) and all(abs(one - other) <= _NEAR * max(abs(one), abs(other)) for one, other in both)


def _numbers(limit: Limit) -> tuple[object, ...]:
    """What a limit says, however it is written."""
    relations = (limit.within, limit.drop, limit.share, limit.spread, limit.steady, limit.falls_by)
    parts = (*relations, limit.by_temperature, limit.test_voltage)
    return *bounds(limit), tuple(amount.quantity.base for part in parts for amount in _amounts(part))


def _amounts(item: object) -> Iterator[Amount]:
    if isinstance(item, Amount):
        yield item
    elif isinstance(item, tuple):
        for part in item:
            yield from _amounts(part)
