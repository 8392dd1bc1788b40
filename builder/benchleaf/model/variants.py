"""The classes of machines between which a procedure differs, each with a text for people and a key for file names.

The line of serial numbers is cut wherever a range begins or ends, and crossed with the options that are named; what
lies side by side and differs in nothing is put together again. So each machine belongs to exactly one class.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, islice, pairwise, product
from math import prod
from typing import NamedTuple
from zlib import crc32

from benchleaf.model.applies import Applies
from benchleaf.model.basics import EMPTY, Ref
from benchleaf.model.blanks import every_step, written_steps
from benchleaf.model.identifiers import spellings
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.variant import (
    Range,
    Variant,
    class_text,
    fits,
    line,
    option_values,
    options_named,
    ranges_of,
    within,
)

MOST_CLASSES = 16
# Bounds the work on files that name very many options; far more than 16 classes come of so many cells.
_MOST_CELLS = 4096
_LONGEST_KEY = 60

# Places on the line of serial numbers, then on each option that is named.
_Box = tuple[tuple[int, ...], ...]


class _Grid(NamedTuple):
    """What the machines are crossed by: pieces of the line of serial numbers, and options with their values."""

    segments: tuple[Range, ...]
    options: tuple[tuple[str, tuple[str, ...]], ...]

    def machine_at(self, places: Sequence[int]) -> tuple[int, dict[str, str]]:
        """A serial number and options that stand for all machines of a cell."""
        options = {name: values[place] for (name, values), place in zip(self.options, places[1:], strict=True)}
        return self.segments[places[0]][0], options


def variants(
    machine: Machine, procedure: Procedure | None = None, blocks: Mapping[str, Block] = EMPTY
) -> tuple[Variant, ...]:
    """The classes of machines between which a procedure differs, in rising order.

    They are cut by all that the procedure and its blocks say of themselves and by what they use of the machine: its
    conditions, its energies and the parts that matter to them always, other parts, limits and fasteners where they are
    named. Without a procedure, these are the machine file's own classes. There is none where the procedure is for no
    machine of the file. Of more than `MOST_CLASSES` not all need be told.
    """
    own = procedure.applies_to if procedure else None
    marks = tuple(_marks(machine, procedure, blocks))
    if own is None and not marks:
        return (Variant((line(machine),)),)
    grid = _grid(machine, (*marks, *((own,) if own else ())))
    sizes = (len(grid.segments), *(len(values) for _, values in grid.options))
    cells = product(*map(range, sizes))
    if prod(sizes) > _MOST_CELLS:
        boxes: list[_Box] = [tuple((place,) for place in cell) for cell in islice(cells, MOST_CLASSES + 1)]
    else:
        boxes = _boxes(cells, grid, own, marks, machine)
    made = [_variant(box, grid, machine) for box in sorted(boxes)]
    return _keyed(made, machine) if len(made) > 1 else tuple(made)


def _marks(machine: Machine, procedure: Procedure | None, blocks: Mapping[str, Block]) -> Iterator[Applies]:
    """All that cuts the machines into classes."""
    found = [condition.applies_to for condition in machine.conditions.values()]
    found += [energy.applies_to for energy in machine.energy.values()]
    named = [
        (name, record.applies_to)
        for table in (machine.parts, machine.limits, machine.fasteners)
        for name, record in table.items()
        if record.applies_to is not None
    ]
    if named:
        used = _weighty(machine) | (_used(machine, procedure, blocks) if procedure else frozenset())
        found += [applies for name, applies in named if name in used]
    if procedure is not None:
        found += [step.applies_to for step in written_steps(procedure.steps, blocks)]
    return (applies for applies in dict.fromkeys(found) if applies is not None)


def _weighty(machine: Machine) -> frozenset[str]:
    """Parts on which it depends what may be there and whom it reaches, whatever a procedure does with them."""
    found = {name for name, part in machine.parts.items() if part.exposes or part.holds or part.hazards or part.on}
    found |= {part.on.name for part in machine.parts.values() if part.on}
    points: list[Ref] = []
    for energy in machine.energy.values():
        found |= {ref.name for ref in energy.held_by}
        points += chain.from_iterable(energy.prove.between) if energy.prove else ()
        if energy.relieve and energy.relieve.at:
            found.add(energy.relieve.at.name)
    for thing in machine.things.values():
        points += thing.joins
        found |= {thing.defeats.name} if thing.defeats else set()
    elements = machine.circuit.elements.values() if machine.circuit else ()
    found |= {element.part.name for element in elements if element.part}
    return frozenset(found | _parts_of_points(machine, points))


def _parts_of_points(machine: Machine, points: Iterable[Ref]) -> set[str]:
    known = (machine.points[ref.name] for ref in points if ref.name in machine.points)
    return {point.part.name for point in known if point.part}


def _used(machine: Machine, procedure: Procedure, blocks: Mapping[str, Block]) -> frozenset[str]:
    """Names of parts, limits and fasteners that the procedure uses, and of the parts that these are about."""
    used = {spare.part.name for spare in procedure.spares or ()}
    faults = [outcome.fault.name for outcome in procedure.outcomes.values() if outcome.fault]
    used |= {machine.faults[name].part.name for name in faults if name in machine.faults}
    for step in every_step(procedure.steps, blocks):
        refs = (*((step.at,) if step.at else ()), *step.between, *step.uses, *step.tests)
        callouts = step.figure.callouts.values() if step.figure else ()
        texts = (step.object.text, *(ref.name for ref in refs), *(words.text for words in callouts))
        used.update(chain.from_iterable(spellings(text, step.each) for text in texts))
    for name in tuple(used):
        fastener, limit = machine.fasteners.get(name), machine.limits.get(name)
        if fastener:
            used.add(fastener.holds.name)
        if limit:
            used |= {ref.name for ref in (*((limit.part,) if limit.part else ()), *limit.between)}
    return frozenset(used | _parts_of_points(machine, map(Ref, used)))


def _grid(machine: Machine, marks: Sequence[Applies]) -> _Grid:
    whole = line(machine)
    cuts = {whole[0]}
    for low, high in chain.from_iterable(ranges_of(mark, machine) for mark in marks):
        ends = (low, low if high is None else high + 1)
        cuts |= {end for end in ends if within(end, whole)}
    edges = sorted(cuts)
    segments = (*((low, after - 1) for low, after in pairwise(edges)), (edges[-1], whole[1]))
    return _Grid(segments, tuple((name, option_values(machine, name)) for name in options_named(marks, machine)))


def _boxes(
    cells: Iterable[tuple[int, ...]], grid: _Grid, own: Applies | None, marks: Sequence[Applies], machine: Machine
) -> list[_Box]:
    """The cells that the procedure is for; those that differ in nothing are put together.

    First along each option, then along the line of serial numbers, for as long as anything fits together.
    """
    boxes: list[tuple[tuple[bool, ...], _Box]] = []
    for cell in cells:
        number, options = grid.machine_at(cell)
        if fits(own, number, options, machine):
            signature = tuple(fits(mark, number, options, machine) for mark in marks)
            boxes.append((signature, tuple((place,) for place in cell)))
    before = len(boxes) + 1
    while len(boxes) < before:
        before = len(boxes)
        for axis in (*range(1, len(grid.options) + 1), 0):
            rows: dict[tuple[tuple[bool, ...], _Box, _Box], list[int]] = {}
            for signature, box in boxes:
                rows.setdefault((signature, box[:axis], box[axis + 1 :]), []).extend(box[axis])
            boxes = [(signs, (*left, tuple(sorted(row)), *right)) for (signs, left, right), row in rows.items()]
    return [box for _, box in boxes]


def _variant(box: _Box, grid: _Grid, machine: Machine) -> Variant:
    serials: list[Range] = []
    for low, high in (grid.segments[place] for place in box[0]):
        if serials and serials[-1][1] == low - 1:
            serials[-1] = (serials[-1][0], high)
        else:
            serials.append((low, high))
    options = tuple(
        (name, tuple(values[place] for place in places))
        for (name, values), places in zip(grid.options, box[1:], strict=True)
        if len(places) < len(values)
    )
    made = Variant(tuple(serials), options)
    return made._replace(text=class_text(made, machine))


def _keyed(made: Sequence[Variant], machine: Machine) -> tuple[Variant, ...]:
    """Each class with a key of its own: two that differ only in what a file name loses get a digest as well."""
    keys = [_key(each, machine) for each in made]
    return tuple(
        each._replace(key=key if keys.count(key) == 1 else f"{key}-{_digest(each)}")
        for each, key in zip(made, keys, strict=True)
    )


def _key(variant: Variant, machine: Machine) -> str:
    ranges = () if variant.serials == (line(machine),) else variant.serials
    words = ["-or-".join(map(_range_key, ranges))] if ranges else []
    words += [f"{name}-{'-or-'.join(values)}" for name, values in variant.options]
    plain = "".join(letter if letter.isascii() and letter.isalnum() else "-" for letter in "-".join(words).lower())
    return plain if len(plain) <= _LONGEST_KEY else f"{plain[:_LONGEST_KEY]}-{_digest(variant)}"


def _range_key(each: Range) -> str:
    low, high = each
    if high is None:
        return f"from-{low}"
    return f"{low}" if low == high else f"{low}-{high}"


def _digest(variant: Variant) -> str:
    return f"{crc32(variant.text.encode()):08x}"
