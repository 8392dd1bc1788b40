"""The machine sheet: parts, what can be set, what the indicators say, where to measure, and what stays live."""

from collections.abc import Mapping
from typing import NamedTuple, TypeVar

from benchleaf.card.records import Point
from benchleaf.card.sheet_base import (
    MachineFigure,
    SheetHead,
    figure_numbers,
    isolating_names,
    machine_figure,
    only_for,
    sheet_head,
)
from benchleaf.card.sheet_isolation import parts_with
from benchleaf.card.subjects import point_of
from benchleaf.card.wording import word
from benchleaf.model.basics import EMPTY, Words
from benchleaf.model.machine import Condition, Indicator, Machine, Part
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.naming import condition_name, condition_place, energy_name, listed, spoken
from benchleaf.safety.sizes import size_text
from benchleaf.trade.hazards import hazard
from benchleaf.trade.numbers import printed


class PartRow(NamedTuple):
    """A part: number in the figure, name, order number, place, what it does, mass, and what it exposes people to."""

    mark: str
    name: str
    number: str
    place: str
    does: str
    mass: str
    exposes: str
    single_use: bool
    only_for: str


class SettingRow(NamedTuple):
    """What can be set or stands by itself: its values, and in words what is special about it."""

    mark: str
    name: str
    place: str
    values: tuple[str, ...]
    notes: tuple[str, ...]
    isolates: bool
    lock: str
    only_for: str


class IndicatorRow(NamedTuple):
    """An indicator and what each of its signs means."""

    mark: str
    name: str
    place: str
    signs: tuple[tuple[str, str], ...]


class ThingRow(NamedTuple):
    """What is put in place for work: where it goes, what it may carry, what it holds."""

    mark: str
    name: str
    place: str
    rated: str
    holds: str


class StaysRow(NamedTuple):
    """An energy that no isolator takes away: its sign and size, where it is, and the parts at which it is met."""

    name: str
    sign: str
    size: str
    place: str
    at: str


class MachineSheet(NamedTuple):
    """Know your machine, from its file alone."""

    head: SheetHead
    does: str
    figure: MachineFigure | None
    parts: tuple[PartRow, ...]
    settings: tuple[SettingRow, ...]
    indicators: tuple[IndicatorRow, ...]
    things: tuple[ThingRow, ...]
    points: tuple[Point, ...]
    stays: tuple[StaysRow, ...]
    supply: str
    notice: str


Row = TypeVar("Row", PartRow, SettingRow)


def machine_sheet(
    machine: Machine, shop: Shop, digests: Mapping[str, str] = EMPTY, variant: Variant = EVERY
) -> MachineSheet:
    """The sheet of one machine; `digests` are those of its pictures."""
    marks = figure_numbers(machine)
    isolating = isolating_names(machine)
    return MachineSheet(
        head=sheet_head(machine, shop, variant),
        does=_text(machine.does),
        figure=machine_figure(machine, digests),
        parts=_by_mark([_part(machine, shop, key, part, marks) for key, part in machine.parts.items()]),
        settings=_by_mark(
            [_setting(machine, key, each, marks, key in isolating) for key, each in machine.conditions.items()]
        ),
        indicators=tuple(_indicator(key, each, marks) for key, each in machine.indicators.items()),
        things=tuple(_thing(machine, shop, key, marks) for key in machine.things),
        points=tuple(point_of(machine, key) for key in machine.points),
        stays=tuple(_stays(machine, shop, key) for key, energy in machine.energy.items() if energy.stays_live),
        supply=word("sheet", "lock-supply") if isolating else "",
        notice=word("sheet", "notice-plain"),
    )


def _by_mark(rows: list[Row]) -> tuple[Row, ...]:
    """Those with a number first, in the order of the numbers."""
    return tuple(sorted(rows, key=lambda row: int(row.mark) if row.mark else len(rows) + 1000))


def _part(machine: Machine, shop: Shop, key: str, part: Part, marks: Mapping[str, str]) -> PartRow:
    return PartRow(
        mark=marks.get(key, ""),
        name=part.name.text,
        number=part.number,
        place=_text(part.place),
        does=_text(part.does),
        mass=printed(part.mass.quantity, shop.units) if part.mass else "",
        exposes=listed([energy_name(machine, each.energy.name) for each in part.exposes]),
        single_use=part.single_use,
        only_for=only_for(part.applies_to, machine),
    )


def _setting(machine: Machine, key: str, each: Condition, marks: Mapping[str, str], isolates: bool) -> SettingRow:
    notes = []
    if each.springs_back:
        notes.append(word("sheet", "springs-back", value=spoken(each.springs_back.name)))
    if each.cover:
        notes.append(word("sheet", "cover"))
    if each.follows or (each.by and each.by.name == "machine"):
        notes.append(word("sheet", "moves-by-itself"))
    return SettingRow(
        mark=marks.get(key, ""),
        name=condition_name(machine, key),
        place=condition_place(machine, key),
        values=tuple(spoken(value.name) for value in each.values),
        notes=tuple(notes),
        isolates=isolates,
        lock=_text(each.lock),
        only_for=only_for(each.applies_to, machine),
    )


def _indicator(key: str, each: Indicator, marks: Mapping[str, str]) -> IndicatorRow:
    signs = tuple((shown.sign.text, shown.means.text) for shown in each.shows)
    return IndicatorRow(marks.get(key, ""), each.name.text if each.name else spoken(key), each.place.text, signs)


def _thing(machine: Machine, shop: Shop, key: str, marks: Mapping[str, str]) -> ThingRow:
    thing = machine.things[key]
    own = shop.things.get(thing.is_.name) if thing.is_ else None
    return ThingRow(
        mark=marks.get(key, ""),
        name=condition_name(machine, key),
        place=_text(thing.place),
        rated=printed(own.rated.quantity, shop.units) if own is not None and own.rated else "",
        holds=listed([energy_name(machine, ref.name) for ref in thing.holds]),
    )


def _stays(machine: Machine, shop: Shop, key: str) -> StaysRow:
    energy = machine.energy[key]
    return StaysRow(
        name=energy_name(machine, key),
        sign=hazard(energy.kind.name).sign,
        size=size_text(energy, lambda quantity: printed(quantity, shop.units)),
        place=_text(energy.place),
        at=parts_with(machine, key),
    )


def _text(words: Words | None) -> str:
    return words.text if words else ""
