"""The isolation sheet of a machine and the out-of-service tag, as plain data from the machine file alone."""

from typing import NamedTuple

from benchleaf import __version__
from benchleaf.card.model import MachineHead
from benchleaf.card.records import Point
from benchleaf.card.subjects import point_of
from benchleaf.card.wording import word
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.safety.blocks import clock, serials
from benchleaf.safety.locking import Wait, waits
from benchleaf.safety.naming import condition_name, energy_name, listed, part_name, spoken
from benchleaf.safety.presence import isolation
from benchleaf.safety.sizes import size_text
from benchleaf.trade.discharge import rounded_up
from benchleaf.trade.hazards import hazard
from benchleaf.trade.numbers import printed

FORMAT = "benchleaf/isolation-sheet/1"


class IsolatorLine(NamedTuple):
    """One isolator: what it is called, how it must stand, where it is, what locks it (empty: no lock fits)."""

    name: str
    value: str
    place: str
    lock: str
    kind: str


class EnergyRow(NamedTuple):
    """One energy: size, where it is, how it is cut off, let go and proved gone.

    `relief` says what to do and how long to wait; `proof` how zero is proved, `pairs` at which points; `stays` is a
    sentence for what nothing isolates.
    """

    key: str
    kind: str
    name: str
    sign: str
    size: str
    place: str
    isolators: tuple[IsolatorLine, ...]
    relief: tuple[str, ...]
    proof: tuple[str, ...]
    pairs: tuple[tuple[Point, Point], ...]
    stays: str


class IsolationSheet(NamedTuple):
    """All energies of one machine, for the site's own energy-control programme to take up or change."""

    format: str
    tool: str
    language: str
    paper: str
    shop: str
    machine: MachineHead
    rows: tuple[EnergyRow, ...]
    absent: str
    notice: str


def isolation_sheet(machine: Machine, shop: Shop) -> IsolationSheet:
    """The sheet of one machine. 29 CFR 1910.147(c)(4)(ii) lists what such a procedure must say."""
    mass = printed(machine.mass.quantity, shop.units) if machine.mass else ""
    return IsolationSheet(
        format=FORMAT,
        tool=__version__,
        language=shop.languages[0].name if shop.languages else "en",
        paper=shop.paper,
        shop=shop.name.text,
        machine=MachineHead(machine.id.name, machine.name.text, machine.maker.text, serials(machine), mass),
        rows=tuple(_row(machine, shop, key) for key in machine.energy),
        absent=word("sheet", "absent", kinds=listed([ref.name for ref in machine.energy_none]))
        if machine.energy_none
        else "",
        notice=word("sheet", "notice"),
    )


def _row(machine: Machine, shop: Shop, key: str) -> EnergyRow:
    energy = machine.energy[key]
    return EnergyRow(
        key=key,
        kind=energy.kind.name,
        name=energy_name(machine, key),
        sign=hazard(energy.kind.name).sign,
        size=size_text(energy, lambda quantity: printed(quantity, shop.units)),
        place=energy.place.text if energy.place else "",
        isolators=tuple(_isolator(machine, s.condition.name, s.value.name) for s in isolation(machine, key))
        if not energy.stays_live
        else (),
        relief=_relief(machine, shop, key),
        proof=_proof(machine, shop, key),
        pairs=_pairs(machine, key),
        stays=_stays(machine, key),
    )


def _isolator(machine: Machine, name: str, value: str) -> IsolatorLine:
    declared = machine.conditions.get(name) or machine.things.get(name)
    lock = machine.conditions[name].lock if name in machine.conditions else None
    place = declared.place.text if declared is not None and declared.place else ""
    kind = "thing" if name in machine.things else "break"
    return IsolatorLine(condition_name(machine, name), spoken(value), place, lock.text if lock else "", kind)


def _relief(machine: Machine, shop: Shop, key: str) -> tuple[str, ...]:
    energy = machine.energy[key]
    lines = [energy.relieve.operate.text] if energy.relieve is not None else []
    for wait in waits(machine, shop, (key,)):
        lines.append(_waiting(wait))
    if energy.held_by:
        names = [
            condition_name(machine, r.name) if r.name in machine.things else part_name(machine, r.name)
            for r in energy.held_by
        ]
        lines.append(word("sheet", "held", names=listed(names)))
    return tuple(lines)


def _waiting(wait: Wait) -> str:
    time = clock(rounded_up(wait.seconds))
    return word("sheet", "wait-below", time=time, below=wait.below) if wait.below else word("sheet", "wait", time=time)


def _proof(machine: Machine, shop: Shop, key: str) -> tuple[str, ...]:
    prove = machine.energy[key].prove
    if prove is None:
        fed = [energy_name(machine, ref.name) for ref in machine.energy[key].fed_by]
        return (word("sheet", "proved-with", names=listed(fed)),) if fed and isolation(machine, key) else ()
    lines = []
    if prove.measure and prove.below is not None:
        below = printed(prove.below.quantity, shop.units)
        lines.append(word("sheet", "measure", measure=spoken(prove.measure), below=below))
    if prove.gauge is not None:
        lines.append(prove.gauge.text)
    lines.extend(words.text for words in (prove.look, prove.try_) if words is not None)
    if prove.access:
        lines.append(word("sheet", "access", names=listed([condition_name(machine, ref.name) for ref in prove.access])))
    return tuple(lines)


def _pairs(machine: Machine, key: str) -> tuple[tuple[Point, Point], ...]:
    prove = machine.energy[key].prove
    if prove is None:
        return ()
    return tuple((point_of(machine, p[0].name), point_of(machine, p[1].name)) for p in prove.between if len(p) == 2)


def _stays(machine: Machine, key: str) -> str:
    if machine.energy[key].stays_live:
        return word("sheet", "stays")
    return "" if isolation(machine, key) else word("sheet", "not-isolated")
