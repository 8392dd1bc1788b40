"""Names: everything that is referred to exists, under one name, and what is declared is used."""

from collections.abc import Collection, Iterable, Iterator
from itertools import chain

from benchleaf.base.finding import Finding, Related
from benchleaf.base.span import Span
from benchleaf.model.basics import Ref
from benchleaf.model.blanks import written_steps
from benchleaf.model.flow import END, STOP, Flow, Station
from benchleaf.model.machine import Machine
from benchleaf.model.nearest import nearest
from benchleaf.model.procedure import Leads, Procedure, Step
from benchleaf.model.relations import earlier_station, earlier_step
from benchleaf.passes import names_known as declared
from benchleaf.passes import names_machine, names_unused, names_uses
from benchleaf.passes import names_rules as rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.names_known import Known
from benchleaf.passes.names_uses import Use
from benchleaf.safety.weave import OWN_OUTCOMES, own_key

INSERT = "insert"
THING_VALUES = ("out", "in-place")


def run(case: Case, facts: Facts) -> Result:
    """What one procedure, with its blocks put in, refers to."""
    if facts.flow is None:
        return Result(facts)
    procedure, machine, flow = case.procedure, case.machine, facts.flow
    steps = tuple(station.step for station in flow.stations)
    ids = {step.id.name: step for step in (*procedure.steps, *steps) if step.id}
    keys = {station.key: station.step for station in flow.stations}
    known = Known(
        {
            **declared.of_machine(machine),
            **declared.of_shop(case.shop),
            "outcome": procedure.outcomes,
            "role": procedure.crew,
            "procedure": case.procedures,
            "step": {**ids, **keys},
        },
        machine.id.name,
        _written(case.written) if case.written else {},
    )
    uses = chain(names_uses.of_procedure(procedure), chain.from_iterable(map(names_uses.of_step, steps)))
    return Result(
        facts,
        tuple(
            chain(
                _own_names(procedure, machine),
                _resolved(uses, known, machine),
                _repeated(procedure.steps),
                _reserved(procedure.steps),
                _reserved_outcomes(procedure),
                _leads(procedure, flow, known),
                _relations(flow, machine, known),
                names_unused.outcomes(procedure, steps),
            )
        ),
    )


def written(case: Case) -> tuple[Finding, ...]:
    """The options that a procedure names to say which machines something is for, whatever comes of that."""
    known = Known(declared.of_machine(case.machine), case.machine.id.name)
    marks = (case.procedure.applies_to, *(step.applies_to for step in written_steps(case.procedure.steps, case.blocks)))
    return tuple(_resolved(chain.from_iterable(map(names_uses.of_applies, marks)), known, case.machine))


def _written(case: Case) -> dict[str, Collection[str]]:
    """The names of a procedure as it is written for all machines."""
    steps = written_steps(case.procedure.steps, case.blocks)
    return {
        **declared.of_machine(case.machine),
        "outcome": case.procedure.outcomes,
        "step": {step.id.name: step for step in steps if step.id},
    }


def common(common: Common) -> tuple[Finding, ...]:
    """What a machine file, or the shop with its blocks, refers to; and what no procedure uses."""
    if common.machine is None:
        return tuple(_of_workspace(common))
    machine = common.machine
    known = Known(
        {**declared.of_machine(machine), **declared.of_shop(common.shop)},
        machine.id.name,
    )
    folder = machine.span.file.rpartition("/")[0].rpartition("/")[2]
    return tuple(
        chain(
            _id_is(machine.id, folder, "folder"),
            _resolved(chain(names_machine.of_machine(machine), names_machine.of_figure(machine)), known, machine),
            _codes(common.procedures),
            names_unused.of_machine(machine, common.procedures, common.blocks),
        )
    )


def _of_workspace(common: Common) -> Iterator[Finding]:
    known = Known(declared.of_shop(common.shop))
    yield from _resolved(names_uses.of_shop(common.shop), known, None)
    for block in common.blocks.values():
        yield from _id_is(block.id, _stem(block.span), "file")
        yield from _repeated(block.steps)
        yield from _reserved(block.steps)
    seen: dict[str, Procedure] = {}
    for procedure in common.procedures:
        first = seen.setdefault(procedure.id.name, procedure)
        if first is not procedure:
            sentence = f"Two procedures have the id `{procedure.id.name}`."
            related = (Related(first.id.span, "The first stands here."),)
            yield rules.REPEATED_ID.at(procedure.id.span, sentence, related=related)
    yield from names_unused.of_workspace(common.shop, common.procedures, common.blocks)


def _own_names(procedure: Procedure, machine: Machine) -> Iterator[Finding]:
    yield from _id_is(procedure.id, _stem(procedure.span), "file")
    if procedure.machine.name != machine.id.name:
        sentence = (
            f"This procedure lies in the folder of the machine `{machine.id.name}`, not of `{procedure.machine.name}`."
        )
        yield rules.UNKNOWN_MACHINE.at(procedure.machine.span, sentence, change=machine.id.name)


def _stem(span: Span) -> str:
    return span.file.rpartition("/")[2].rpartition(".")[0]


def _id_is(ref: Ref, name: str, of: str) -> Iterator[Finding]:
    if ref.name != name:
        sentence = f"The id `{ref.name}` is not the name of the {of}, `{name}`."
        yield rules.ID_NOT_FILE.at(ref.span, sentence, change=name)


def _resolved(uses: Iterable[Use], known: Known, machine: Machine | None) -> Iterator[Finding]:
    for use in uses:
        if "{" in use.ref.name:
            continue
        if use.of:
            values = _values(use, machine) if machine else None
            if values is not None and use.ref.name not in values:
                near = nearest(use.ref.name, values)
                listed = ", ".join(f"`{value}`" for value in values)
                sentence = f"`{use.of}` is never `{use.ref.name}`; its values: {listed}."
                yield rules.UNKNOWN_VALUE.at(use.ref.span, sentence, change=near.meant)
        elif not known.has(use.kinds, use.ref.name):
            yield known.missing(use.kinds, use.ref)


def _values(use: Use, machine: Machine) -> Collection[str] | None:
    """The values that may stand there; None where the condition itself is unknown and told already."""
    if use.kinds == names_uses.OPTION_VALUE:
        return [value.name for value in machine.options[use.of]] if use.of in machine.options else None
    if use.of in machine.conditions:
        return [value.name for value in machine.conditions[use.of].values]
    return THING_VALUES if use.of in machine.things else None


def _repeated(steps: tuple[Step, ...]) -> Iterator[Finding]:
    seen: dict[str, Ref] = {}
    for step in steps:
        if step.id:
            first = seen.setdefault(step.id.name, step.id)
            if first is not step.id:
                related = (Related(first.span, "The first stands here."),)
                yield rules.REPEATED_ID.at(step.id.span, f"Two steps have the id `{step.id.name}`.", related=related)


def _reserved(steps: tuple[Step, ...]) -> Iterator[Finding]:
    for step in steps:
        if step.id and (step.id.name in (STOP, END) or own_key(step.id.name)):
            yield rules.RESERVED_ID.at(step.id.span, f"No step may have the id `{step.id.name}`: cards use it already.")


def _reserved_outcomes(procedure: Procedure) -> Iterator[Finding]:
    for name, outcome in procedure.outcomes.items():
        if name in OWN_OUTCOMES:
            sentence = f"No outcome may have the name `{name}`: cards end so by themselves."
            yield rules.RESERVED_ID.at(outcome.span, sentence)


def _leads(procedure: Procedure, flow: Flow, known: Known) -> Iterator[Finding]:
    """Steps that answers name. The graph tells which are not found: they lead to a stop that nobody wrote."""
    for station in flow.stations:
        stopped = {way.span for way in station.ways if way.to == STOP}
        yield from _unfound((lead for lead in names_uses.leads_of(station.step) if lead.span in stopped), known)
    ids = {step.id.name for step in procedure.steps if step.id}
    for step in procedure.steps:
        if step.action.name == INSERT and step.then and step.then.go and step.then.go.name not in ids:
            yield from _unfound((step.then,), known)


def _unfound(leads: Iterable[Leads], known: Known) -> Iterator[Finding]:
    for lead in leads:
        if lead.go:
            yield known.missing(names_uses.STEP, lead.go)


def _relations(flow: Flow, machine: Machine, known: Known) -> Iterator[Finding]:
    keys = {station.key for station in flow.stations}
    for station in flow.stations:
        limit = machine.limits.get(station.step.object.text) if station.step.action.name == "measure" else None
        earlier = earlier_step(limit) if limit else None
        if earlier and not earlier_station(keys, station.key, earlier.name):
            yield _no_earlier(station, earlier, known)


def _no_earlier(station: Station, earlier: Ref, known: Known) -> Finding:
    limit = station.step.object.text
    near = nearest(earlier.name, known.names["step"])
    sentence = (
        f"The limit `{limit}` compares with the step `{earlier.name}`, which this procedure does not have{near.clause}."
    )
    related = (Related(earlier.span, "The limit names the step here."),)
    return rules.UNKNOWN_STEP.at(station.step.object.span, sentence, related=related)


def _codes(procedures: Iterable[Procedure]) -> Iterator[Finding]:
    seen: dict[str, Procedure] = {}
    for procedure in procedures:
        complaint = procedure.complaint
        if complaint is None or not complaint.code:
            continue
        first = seen.setdefault(complaint.code, procedure)
        if first is not procedure and first.complaint:
            sentence = f"The fault code `{complaint.code}` already leads to the procedure `{first.id.name}`."
            related = (Related(first.complaint.span, "It stands here first."),)
            yield rules.REPEATED_CODE.at(complaint.span, sentence, related=related)


NAMES = Pass("names", rules.RULES, run=run, common=common, needs=("flow",), written=written, idle=(rules.UNUSED,))
