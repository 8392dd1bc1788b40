"""Points 2 and 3 of the proof: the order of lockout and return on every path, and live-dead-live around each reading.

Inserted steps that follow each other make a run; a written step that makes way for the proof goes on with it. Within a
run the ranks below never fall. Before work begins a lockout has let go and shown all that is electrical behind its
breaks, near hands or not (29 CFR 1910.333(b)(2)); a run that gives power back ends by telling people, one that leaves
the machine by handing it over.
"""

from collections.abc import Iterator
from itertools import islice

from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import STOP, Sheet, Step, words
from benchleaf.card.proof_flow import ELECTRICAL, VOLTAGES, closure, isolators
from benchleaf.card.proof_proving import between
from benchleaf.card.proof_runs import (
    BACK,
    HELD,
    LEAVE,
    LEAVING,
    LOCKOUT,
    NAMES,
    OUT,
    POWER,
    RETURN,
    WORN,
    Owed,
    Run,
)
from benchleaf.card.proof_walk import explore, path_to


def order_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """What is out of order, nearest first, each step once."""
    owed = tuple(_owed(sheet))
    seen = explore(sheet.total, [Run()], lambda index, run: _onward(sheet, index, run))
    for index, runs in enumerate(seen):
        found = ((fault, run) for run in runs for fault in _faults(sheet, owed, index, run))
        for (point, sentence), run in islice(found, 1):
            yield at_step(sheet, point, index, sentence, path_to(seen, index, run))
    yield from _exits(sheet)
    yield from _beginning(sheet)


def _owed(sheet: Sheet) -> Iterator[Owed]:
    for key, energy in sheet.energies.items():
        conditions = [sheet.conditions[name] for name in isolators(sheet, key) if name in sheet.conditions]
        breaks = frozenset(condition.name for condition in conditions if not condition.thing)
        if energy.kind in ELECTRICAL and not energy.stays_live and breaks:
            prove = energy.prove
            shown = {"measure": prove.measure, "look": prove.look, "operate": prove.try_} if prove else {}
            yield Owed(
                energy,
                breaks,
                frozenset(other for other in sheet.energies if key in closure(sheet, other)),
                frozenset(way for way, stated in shown.items() if stated),
                frozenset(way for way, stated in (("relieve", energy.relieve), ("wait", energy.waits)) if stated),
                any(sheet.energies[name].comes_back for name in closure(sheet, key)),
            )


def _onward(sheet: Sheet, index: int, run: Run) -> Iterator[tuple[str, int, Run]]:
    if index < len(sheet.steps):
        step = sheet.steps[index]
        after = _after(step, run)
        worn = WORN if not step.role and sheet.wears else ""
        after = after._replace(again=after.again or worn)
        for way in step.ways:
            # Who leaves a proof because it does not show zero owes it nothing more.
            left = step.role == "prove" and way.side != "next"
            yield way.side, way.target, after._replace(tester=0) if left else after


def _place(step: Step) -> tuple[str, int]:
    """The kind of run that a step belongs to, and its rank there; things come away before any lock does."""
    if step.role in LOCKOUT:
        return OUT, LOCKOUT[step.role]
    if step.role in RETURN:
        return BACK, 4 if step.role == "restore" and step.nearness == "hands" else RETURN[step.role]
    if step.role in LEAVING:
        return LEAVE, 2 if step.role == "tag" and step.action != "look" else LEAVING[step.role]
    return (OUT, LOCKOUT["access"]) if step.access else ("", 0)


def _after(step: Step, run: Run) -> Run:
    kind, rank = _place(step)
    if not kind:
        valves = run.valves - set(step.assigns)
        opened = run.opened - set(step.assigns)
        return Run(told=run.told, opened=opened, again=HELD if step.hold else "", valves=valves)
    if kind != run.kind:
        run = _begun(run)
    tester, tried, read = 0, frozenset[str](), frozenset[str]()
    if step.tester and run.tester != 2:
        tester, tried = 1, frozenset(step.energies)
    elif step.role == "prove" and step.measure in VOLTAGES:
        tester, tried, read = 2, run.tried, run.read | set(step.energies)
    role = step.role or "access"
    return Run(
        kind=kind,
        rank=rank,
        tester=tester,
        told=role != "tell-back" and (run.told or role == "tell"),
        opened=run.opened | set(step.assigns) if role == "isolate" else run.opened - set(step.assigns),
        done=run.done | {f"{role}:{step.action}" if role == "tag" else role} | ({POWER} if _frees(step) else set()),
        moved=run.moved | set(step.assigns) if role == "isolate" else run.moved,
        shut=run.shut | set(step.assigns) if role == "shut-down" else run.shut,
        shown=run.shown | {(key, step.action if role == "prove" else role) for key in step.energies},
        again=HELD if step.hold else run.again,
        valves=run.valves | set(step.assigns) if role == "relieve" else run.valves - set(step.assigns),
        freed=run.freed | set(step.locks) if role == "unlock" else run.freed,
        tried=tried,
        read=read,
    )


def _begun(run: Run) -> Run:
    """A run that begins with what lasts of the one before it."""
    return Run(told=run.told, opened=run.opened, again=run.again, valves=run.valves)


def _left(sheet: Sheet, run: Run, step: Step | None) -> Iterator[str]:
    """What a return that gives power has forgotten to move back; the next step may do it itself."""
    moved = set(step.assigns) if step is not None else set()
    for name in sorted((run.freed & run.opened | run.valves) - moved):
        condition = sheet.conditions[name]
        usual = sheet.initial.get(name, condition.closed)
        if not any((name, usual) in energy.isolate for energy in sheet.energies.values()):
            yield f"Power comes back, and the {words(name)} is not moved back."


def _frees(step: Step) -> bool:
    """Whether a step of a return gives power or the machine back, and does not only take away what held it."""
    return (
        step.role in RETURN and step.role not in ("close", "check", "clear", "tell-back") and step.nearness != "hands"
    )


def _faults(sheet: Sheet, owed: tuple[Owed, ...], index: int, run: Run) -> Iterator[tuple[int, str]]:
    """What is wrong when a step or end is reached by this run."""
    step = sheet.steps[index] if index < len(sheet.steps) else None
    kind, rank = _place(step) if step else ("", 0)
    if run.tester == 2 and not (step and step.role == "prove" and between(step)):
        yield 3, "The voltage tester is not tried again on the proving unit right after the reading."
    if step and step.tester and run.tester == 2 and run.read - set(step.energies):
        yield 3, "The voltage tester is not tried again for all that was read."
    if run.kind == BACK and POWER in run.done and "tell-back" not in run.done and kind != BACK:
        yield 2, "Power comes back, and people are not told before the next thing happens."
    if run.kind == BACK and kind != BACK and POWER in run.done:
        yield from ((2, sentence) for sentence in _left(sheet, run, step))
    elif run.kind == BACK and kind != BACK and not run.done & {"tell-back", "restore"}:
        yield 2, "A return is begun and not ended before the next thing happens."
    if step is None:
        end = sheet.ends[index - len(sheet.steps)]
        if end.leave == "out-of-service" and end.closed_off and "hand-over" not in run.done:
            yield 4, "The machine is left out of service and not handed over."
        return
    if run.kind == LEAVE and kind != LEAVE:
        yield 2, "Something follows after the machine has been tagged to be left."
    if not kind:
        yield from _unshown(owed, run)
        return
    if kind == run.kind and rank < run.rank:
        yield 2, f"{NAMES[step.role or 'access'].capitalize()} comes too late in its run of steps."
    fresh = run if kind == run.kind else _begun(run)
    if kind == OUT:
        yield from _lockout(sheet, step, fresh)
    elif kind == BACK:
        yield from _return(sheet, step, fresh)
    elif step.role == "hand-over" and not {"tag:look", "tag:place"} <= run.done:
        yield 2, "The machine is handed over before its locks are left on and it is tagged."


def _unshown(owed: tuple[Owed, ...], run: Run) -> Iterator[tuple[int, str]]:
    """What a lockout has not shown or let go when work begins, or proving anew not of all that feeds what it proves."""
    anew = {key for key, _ in run.shown} if run.again and "prove" in run.done else set()
    for each in owed:
        begun = run.moved & each.breaks
        if begun and not all((each.energy.key, way) in run.shown for way in each.let_go):
            yield 2, f"Work begins before the lockout has let go of the {each.energy.name}."
        again = run.opened & each.breaks and anew & each.feeds and (run.again == HELD or each.wears)
        if (begun or again) and not all((each.energy.key, way) in run.shown for way in each.shown):
            yield 3, f"Work begins before it is shown that the {each.energy.name} is gone."


def _lockout(sheet: Sheet, step: Step, run: Run) -> Iterator[tuple[int, str]]:
    if step.role in ("shut-down", "isolate", "lock") and "tell" not in run.done:
        yield 2, "A lockout begins before people are told."
    if step.role == "safe" and not run.told:
        yield 2, "The machine is made safe before people are told."
    if step.role == "isolate":
        controls = {
            name
            for isolator in step.assigns
            if isolator in sheet.conditions
            for name, _ in sheet.conditions[isolator].move_when
            if name in sheet.conditions and sheet.conditions[name].control
        }
        for name in sorted(controls - run.shut):
            yield 2, f"A break is opened before the {words(name)} is shut down in this lockout."
    if step.role == "lock":
        for name in step.locks:
            if name not in run.moved:
                yield 2, f"The {words(name)} is locked before it is isolated in this lockout."
        if not step.locks:
            yield 2, "The card does not say what this lock is for."
    if step.role == "prove" and not run.again and not run.done & {"isolate", "lock", "access"}:
        yield 2, "Proving comes when work has already begun."
    if step.role == "prove" and step.measure in VOLTAGES and not run.tester:
        yield 3, "The voltage tester is not tried on the proving unit right before the reading."
    if step.role == "prove" and step.measure in VOLTAGES and run.tester and set(step.energies) - run.tried:
        yield 3, "The voltage tester was not tried for what is read here."


def _return(sheet: Sheet, step: Step, run: Run) -> Iterator[tuple[int, str]]:
    conditions = [sheet.conditions[name] for name in step.assigns if name in sheet.conditions]
    frees = step.role == "unlock" or (step.role == "restore" and any(c.isolates or c.thing for c in conditions))
    if frees and not {"check", "clear"} <= run.done:
        yield 2, "Something is given back before the machine is checked and everybody is seen to stand clear."
    if step.role == "unlock" and not step.locks:
        yield 2, "The card does not say which lock comes off here."


def _exits(sheet: Sheet) -> Iterator[Doubt]:
    """Each proof has a way out to an outcome that leaves everything locked."""
    for step in sheet.steps:
        if step.role == "prove" and not has_exit(sheet, step):
            yield at_step(sheet, 2, step.at, "This proof has no way out that leaves the machine locked.")


def _leaves_locked(sheet: Sheet, to: str) -> bool:
    key = to.removeprefix("outcome:")
    if not to.startswith("outcome:") or sheet.leaves.get(key) != "out-of-service":
        return False
    closing = sheet.closings[key]
    back = ("unlock", "restore")
    return not closing or not any(step.section == closing and step.role in back for step in sheet.steps)


def _beginning(sheet: Sheet) -> Iterator[Doubt]:
    """What the card presumes is confirmed first, with a way out to stop and ask."""
    for step in sheet.steps:
        if step.role == "confirm" and step.at:
            yield at_step(sheet, 2, step.at, "The machine's state is confirmed only after work has begun.")
    first = sheet.steps[0] if sheet.steps else None
    if first is None or not sheet.initial:
        return
    confirmed = first.role == "confirm" and all(first.assigns.get(c) == v for c, v in sheet.initial.items())
    if not confirmed:
        yield at_step(sheet, 2, 0, "What the card presumes of the machine is not confirmed first.")
    elif not any(way.target == STOP for way in first.ways):
        yield at_step(sheet, 2, 0, "There is no way to stop when the machine does not stand as presumed.")


def has_exit(sheet: Sheet, step: Step) -> bool:
    """Whether a step has a way out that leaves the machine locked."""
    return any(way.side != "next" and _leaves_locked(sheet, way.to) for way in step.ways)
