"""The picking list: what to take along for one job or several, each thing once and with the jobs that want it."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from typing import NamedTuple

from benchleaf import __version__
from benchleaf.base.said import ENGLISH, row
from benchleaf.card.lists import printed_stations, supply_uses
from benchleaf.card.model import Card, PartLine
from benchleaf.card.wording import word
from benchleaf.model.machine import Machine
from benchleaf.model.quantity import Quantity, make
from benchleaf.model.shop import Shop
from benchleaf.passes.base import Case, Facts
from benchleaf.safety.naming import condition_name
from benchleaf.trade.numbers import printed

ALWAYS, NEEDED = "always", "needed"


class Job(NamedTuple):
    """A compiled procedure with what it was compiled from."""

    case: Case
    facts: Facts
    card: Card


class JobLine(NamedTuple):
    """A job of the list: the letter by which lines refer to it, machine, title and revision, and its card's name.

    `only` is the class of machines that its card is for, empty for all.
    """

    letter: str
    machine: str
    only: str
    title: str
    card: str
    revision: str
    state: str


class Share(NamedTuple):
    """A job that wants something, and how much of it where jobs add up (empty: they use the same thing)."""

    letter: str
    amount: str


class PickLine(NamedTuple):
    """Something to take along for all the jobs; `when` is always | needed."""

    name: str
    detail: str
    amount: str
    when: str
    jobs: tuple[Share, ...]


class PickGroup(NamedTuple):
    """One kind of things: wear | lock | tool | part | single-use | supply."""

    kind: str
    lines: tuple[PickLine, ...]


class PickingList(NamedTuple):
    """What to take along; `without` names procedures that could not be counted because they have errors."""

    tool: str
    language: str
    paper: str
    shop: str
    jobs: tuple[JobLine, ...]
    groups: tuple[PickGroup, ...]
    without: tuple[str, ...]


class _Want(NamedTuple):
    """One job's wish for a thing; what has the same key is the same thing."""

    key: tuple[str, ...]
    name: str
    detail: str
    letter: str
    count: int = 1  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    when: str = ALWAYS
    quantity: Quantity | None = None


_Wants = Iterable[_Want]


def picking_list(jobs: Sequence[Job], shop: Shop, without: Sequence[str] = ()) -> PickingList:
    """The list for these jobs, done one after the other: tools go from job to job, parts and supplies add up."""
    lettered = [(letter(place), job) for place, job in enumerate(jobs)]
    wishes: dict[str, tuple[Callable[[str, Job], _Wants], Callable[[Sequence[_Want], Shop], str]]] = {
        "wear": (_wear, _none),
        "lock": (_locks, _most),
        "tool": (_tools, _most),
        "part": (_parts, _total),
        "single-use": (_single_use, _total),
        "supply": (_supplies, _sum),
    }
    groups = []
    for kind, (wanted, amount) in wishes.items():
        wants = [want for name, job in lettered for want in wanted(name, job)]
        if wants:
            groups.append(PickGroup(kind, tuple(_lines(wants, shop, amount))))
    return PickingList(
        tool=__version__,
        language=ENGLISH.language,
        paper=shop.paper,
        shop=shop.name.text,
        jobs=tuple(_job(name, job.card) for name, job in lettered),
        groups=tuple(groups),
        without=tuple(without),
    )


def letter(place: int) -> str:
    """A, B … Z, AA, AB … for the places from 0 on."""
    found = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        found = chr(ord("A") + rest) + found
    return found


def _job(name: str, card: Card) -> JobLine:
    return JobLine(
        name,
        card.machine.name,
        card.machine.applies.text,
        card.title,
        f"{card.machine.key}/{card.id}",
        card.revision,
        card.state,
    )


def _lines(some: Sequence[_Want], shop: Shop, amount: Callable[[Sequence[_Want], Shop], str]) -> Iterator[PickLine]:
    same: dict[tuple[str, ...], list[_Want]] = {}
    for want in some:
        same.setdefault(want.key, []).append(want)
    for each in same.values():
        when = ALWAYS if any(want.when == ALWAYS for want in each) else NEEDED
        shares = {want.letter: [other for other in each if other.letter == want.letter] for want in each}
        adds_up = amount in (_total, _sum)
        jobs = tuple(Share(name, amount(wants, shop) if adds_up else "") for name, wants in shares.items())
        yield PickLine(each[0].name, each[0].detail, amount(each, shop), when, jobs)


def _none(wants: Sequence[_Want], shop: Shop) -> str:
    return ""


def _most(wants: Sequence[_Want], shop: Shop) -> str:
    return f"{max(want.count for want in wants)}"


def _total(wants: Sequence[_Want], shop: Shop) -> str:
    sure = sum(want.count for want in wants if want.when == ALWAYS)
    maybe = sum(want.count for want in wants if want.when == NEEDED)
    return word("sheet", "and-maybe", sure=sure, maybe=maybe) if sure and maybe else f"{sure or maybe}"


def _sum(wants: Sequence[_Want], shop: Shop) -> str:
    sums: dict[str, Quantity] = {}
    for quantity in (want.quantity for want in wants if want.quantity is not None):
        known = sums.get(quantity.dimension)
        sums[quantity.dimension] = make(known.value + quantity.to(known.unit), known.unit) if known else quantity
    return row((printed(quantity, shop.units) for quantity in sums.values()), " + ")


def _wear(name: str, job: Job) -> Iterator[_Want]:
    return (_Want((gear.sign, gear.name), gear.name, "", name) for gear in job.card.equipment)


def _locks(name: str, job: Job) -> Iterator[_Want]:
    machine = job.case.machine
    locked = dict.fromkeys(lock for step in job.card.steps if step.role == "lock" for lock in step.facts.locks)
    fitting = [key for key in locked if key in machine.conditions and machine.conditions[key].lock]
    if fitting:
        yield _Want(("each",), word("sheet", "lock-each"), word("sheet", "lock-each-detail"), name, len(fitting))
    for key in fitting:
        lock = machine.conditions[key].lock
        assert lock is not None
        yield _Want((machine.id.name, key), lock.text, _at(machine, key), name)
    for key in locked:
        if key not in fitting:
            yield _Want((machine.id.name, key), _at(machine, key), word("sheet", "lock-none"), name)
    if locked:
        yield _Want(("tag", machine.id.name), word("sheet", "lock-tag"), machine.name.text, name, when=NEEDED)


def _at(machine: Machine, key: str) -> str:
    return word("sheet", "lock-at", isolator=condition_name(machine, key), machine=machine.name.text)


def _tools(name: str, job: Job) -> Iterator[_Want]:
    machine = job.case.machine
    for line in job.card.tools:
        owner = machine.id.name if line.kind == "thing" else ""
        yield _Want((owner, line.key), line.name, line.detail, name, int(line.count))


def _parts(name: str, job: Job) -> Iterator[_Want]:
    return (_part(name, job, line) for line in job.card.spares if not _is_single_use(job.case.machine, line.key))


def _single_use(name: str, job: Job) -> Iterator[_Want]:
    machine = job.case.machine
    yield from (_part(name, job, line) for line in job.card.spares if _is_single_use(machine, line.key))
    for key in dict.fromkeys(step.tightening.fastener for step in job.card.steps if step.tightening):
        fastener = machine.fasteners[key]
        if fastener.single_use:
            called = fastener.name.text if fastener.name else key
            yield _Want((machine.id.name, "fastener", key), called, fastener.thread.text, name, int(fastener.count))


def _is_single_use(machine: Machine, key: str) -> bool:
    return key in machine.parts and machine.parts[key].single_use


def _part(name: str, job: Job, line: PartLine) -> _Want:
    machine = job.case.machine
    detail = row((line.number, line.detail, machine.name.text), ", ")
    return _Want((machine.id.name, line.key), line.name, detail, name, int(line.amount), line.when)


def _supplies(name: str, job: Job) -> Iterator[_Want]:
    flow, plan = job.facts.flow, job.facts.plan
    if flow is None or plan is None:
        return
    details = {line.key: line for line in job.card.supplies}
    for use in supply_uses(job.case, printed_stations(plan, flow)):
        line = details[use.supply.name]
        quantity = use.amount.quantity if use.amount else None
        yield _Want((line.key,), line.name, line.detail, name, quantity=quantity)
