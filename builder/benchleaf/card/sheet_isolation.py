"""The isolation sheet of a machine: every energy with what takes it away, and the steps there and back."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.said import either, row
from benchleaf.card.records import Point
from benchleaf.card.sheet_base import (
    MachineFigure,
    SheetHead,
    figure_numbers,
    machine_figure,
    only_for,
    sheet_head,
    when_words,
)
from benchleaf.card.subjects import point_of
from benchleaf.card.wording import word
from benchleaf.model.basics import EMPTY
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant
from benchleaf.safety.blocks import clock
from benchleaf.safety.isolators import RELIEVE, Isolator
from benchleaf.safety.locking import Wait, waits
from benchleaf.safety.naming import (
    condition_name,
    condition_place,
    energy_name,
    kind_name,
    listed,
    measured,
    part_name,
    spoken,
)
from benchleaf.safety.presence import isolation
from benchleaf.safety.sizes import size_text
from benchleaf.safety.whole import all_isolators, only_while, whole_lockout
from benchleaf.trade.discharge import rounded_up
from benchleaf.trade.hazards import hazard
from benchleaf.trade.numbers import printed


class IsolatorLine(NamedTuple):
    """One isolator: its number in the figure, name, how it must stand, where it is, what locks it (empty: nothing).

    `kind`: break (parts the flow of energy) | thing (put in place and holds). `takes` are the energies it is needed
    for, `only` says while what it is needed at all (empty: always).
    """

    key: str
    name: str
    value: str
    place: str
    lock: str
    kind: str
    number: str = ""
    takes: tuple[str, ...] = ()
    only: str = ""


class EnergyRow(NamedTuple):
    """One energy: size, where it is, how it is cut off, let go and proved gone.

    `relief` says what to do and how long to wait; `proof` how zero is proved, `pairs` at which points; `stays` is a
    sentence for what nothing isolates, with the parts at which it is met in `at`.
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
    at: str
    only_for: str


class SheetStep(NamedTuple):
    """One step. `role` is its place in the energy-control order, `mark` the number in the figure of what it moves.

    A proof by reading has `pairs` of points, each to read `below` the limit.
    """

    number: int
    role: str
    command: str
    info: str
    place: str
    mark: str
    pairs: tuple[tuple[Point, Point], ...]
    below: str


class IsolationSheet(NamedTuple):
    """All energies of one machine and their control, for the site's own programme to take up or change.

    `use` states what the sheet is for and who may do it; `lock` shuts down, isolates, locks and lets go, `prove` tests
    that it worked, `back` gives the machine back; `rules` say who puts locks on, takes them off and hands them over.
    """

    head: SheetHead
    use: tuple[str, ...]
    figure: MachineFigure | None
    isolators: tuple[IsolatorLine, ...]
    rows: tuple[EnergyRow, ...]
    lock: tuple[SheetStep, ...]
    prove: tuple[SheetStep, ...]
    back: tuple[SheetStep, ...]
    rules: tuple[str, ...]
    proof_rules: tuple[str, ...]
    absent: str
    emergency: str
    notice: str


def isolation_sheet(
    machine: Machine, shop: Shop, digests: Mapping[str, str] = EMPTY, variant: Variant = EVERY
) -> IsolationSheet:
    """The sheet of one machine. 29 CFR 1910.147(c)(4)(ii) lists what such a procedure must say."""
    head = sheet_head(machine, shop, variant)
    whole = whole_lockout(machine, shop)
    known = all_isolators(machine)
    first = 1
    parts = []
    for steps in whole:
        parts.append(tuple(_step(machine, shop, step, number, known) for number, step in enumerate(steps, first)))
        first += len(steps)
    return IsolationSheet(
        head=head,
        use=(
            word("sheet", "use", machine=machine.name.text),
            word("sheet", "use-serials", serials=head.machine.serials),
            word("sheet", "use-not"),
            word("sheet", "use-who"),
        ),
        figure=machine_figure(machine, digests),
        isolators=isolator_lines(machine),
        rows=tuple(_row(machine, shop, key) for key in machine.energy),
        lock=parts[0],
        prove=parts[1],
        back=parts[2],
        rules=tuple(word("sheet", key) for key in ("lock-own", "lock-off", "lock-transfer", "lock-supply")),
        proof_rules=tuple(word("sheet", key) for key in ("not-zero", "stale")),
        absent=word("sheet", "absent", kinds=listed([kind_name(ref.name) for ref in machine.energy_none]))
        if machine.energy_none
        else "",
        emergency=shop.emergency.text if shop.emergency else "",
        notice=word("sheet", "notice"),
    )


def isolator_lines(machine: Machine) -> tuple[IsolatorLine, ...]:
    """Every isolator of the machine: by its number in the figure, else in the order in which energies name them."""
    lines = [
        _isolator(machine, each, setting.value.name)
        for each in all_isolators(machine).values()
        for setting in each.settings
    ]
    return tuple(sorted(lines, key=lambda line: (not line.number, int(line.number or 0))))


def _isolator(machine: Machine, each: Isolator, value: str) -> IsolatorLine:
    name = each.name
    lock = machine.conditions[name].lock if name in machine.conditions else None
    return IsolatorLine(
        key=name,
        name=condition_name(machine, name),
        value=spoken(value),
        place=condition_place(machine, name),
        lock=lock.text if lock else "",
        kind=each.kind,
        number=figure_numbers(machine).get(name, ""),
        takes=tuple(energy_name(machine, key) for key in each.energies),
        only=_only(machine, each),
    )


def _only(machine: Machine, each: Isolator) -> str:
    names = {name: condition_name(machine, name) for name in (*machine.conditions, *machine.things)}
    return either(when_words(when, names) for when in only_while(machine, each))


def _row(machine: Machine, shop: Shop, key: str) -> EnergyRow:
    energy = machine.energy[key]
    mine = {setting.condition.name for setting in isolation(machine, key)} if not energy.stays_live else set()
    return EnergyRow(
        key=key,
        kind=energy.kind.name,
        name=energy_name(machine, key),
        sign=hazard(energy.kind.name).sign,
        size=size_text(energy, lambda quantity: printed(quantity, shop.units)),
        place=energy.place.text if energy.place else "",
        isolators=tuple(line for line in isolator_lines(machine) if line.key in mine),
        relief=_relief(machine, shop, key),
        proof=_proof(machine, shop, key),
        pairs=_pairs(machine, key),
        stays=_stays(machine, key),
        at=parts_with(machine, key),
        only_for=only_for(energy.applies_to, machine),
    )


def parts_with(machine: Machine, key: str) -> str:
    """The parts at which a person meets an energy, as running text."""
    names = [part.name.text for part in machine.parts.values() if any(each.energy.name == key for each in part.exposes)]
    return listed(names)


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
        below = printed(prove.below.quantity, shop.units, "high")
        volts = prove.measure in ("dc-voltage", "ac-voltage")
        lines.append(
            word("sheet", "measure" if volts else "measure-other", measure=measured(prove.measure), below=below)
        )
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


def _step(machine: Machine, shop: Shop, step: Inserted, number: int, known: Mapping[str, Isolator]) -> SheetStep:
    moved = (*step.locks, *(setting.condition.name for setting in step.sets))
    name = moved[0] if moved else ""
    isolator = known.get(name) or known.get(RELIEVE + (step.energies[0] if step.energies else ""))
    only = _only(machine, isolator) if isolator is not None and step.role in ("isolate", "safe") else ""
    proof = step.proof
    # What the head and the rules of the sheet say once is not said at each lock again.
    said = step.role == "tell" or (step.role == "lock" and name in machine.conditions and machine.conditions[name].lock)
    info = "" if said else step.info
    return SheetStep(
        number=number,
        role=step.role,
        command=step.command,
        info=row((info, word("sheet", "only", when=only) if only else "")),
        place=step.place,
        mark=figure_numbers(machine).get(name, ""),
        pairs=tuple((point_of(machine, red), point_of(machine, black)) for red, black in proof.pairs) if proof else (),
        below=_below(machine, shop, step),
    )


def _below(machine: Machine, shop: Shop, step: Inserted) -> str:
    prove = machine.energy[step.energies[0]].prove if step.proof and step.energies else None
    if prove is None or prove.below is None:
        return ""
    return word("plain", "below", value=printed(prove.below.quantity, shop.units, "high"))
