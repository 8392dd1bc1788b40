"""What work needs and is followed by: tests, hold points, readings as found and as left, time, spares, supplies."""

from collections.abc import Iterator
from fractions import Fraction
from itertools import chain

from benchleaf.base.finding import Finding, Related
from benchleaf.model.flow import OUTCOME, Station
from benchleaf.model.procedure import Procedure
from benchleaf.passes import logic_work_rules as rules
from benchleaf.passes.base import Case
from benchleaf.passes.logic_graph import Graph, ends

AS_FINAL = "as-final"
REPAIRS = ("replacement", "adjustment")
# Work whose result somebody may have to confirm or try out.
WORKING = ("adjust", "fit", "swap", "tighten", "connect")
MAIN_SIDES = ("next", "inside")


def of_work(graph: Graph, case: Case) -> Iterator[Finding]:
    """All findings of this room."""
    return chain(
        _tested(graph, case.procedure),
        _holds(graph, case.procedure),
        _as_found(graph, case.procedure),
        _time(graph, case.procedure),
        _spares(graph, case),
        _supplies(graph, case.procedure),
    )


def _handed_back(graph: Graph, procedure: Procedure, stations: set[str]) -> Iterator[tuple[str, Station]]:
    """Outcomes that leave the machine ready for use, with a station of the set that leads there."""
    final = {OUTCOME + key for key, outcome in procedure.outcomes.items() if outcome.leave == AS_FINAL}
    for station in graph.stations:
        if station.key in stations:
            for way in station.ways:
                if way.to in final:
                    yield way.to.removeprefix(OUTCOME), station


def _tested(graph: Graph, procedure: Procedure) -> Iterator[Finding]:
    after = procedure.after
    if after is None:
        if procedure.kind.name in REPAIRS:
            sentence = f"No functional test follows this {procedure.kind.name}."
            yield rules.NO_FUNCTIONAL_TEST.at(procedure.kind.span, sentence)
        return
    if after.step is None or procedure.kind.name not in REPAIRS:
        return
    key = after.step.name
    if key not in graph.position:
        return
    worked = [station.key for station in graph.stations if station.step.action.name in WORKING]
    untested = graph.forward(worked, without=key)
    for outcome in dict.fromkeys(outcome for outcome, _ in _handed_back(graph, procedure, untested)):
        sentence = f"After the work, the outcome `{outcome}` can be reached without the test, step `{key}`."
        related = (Related(procedure.outcomes[outcome].span, "The outcome stands here."),)
        yield rules.TEST_BYPASSED.at(after.step.span, sentence, related=related)


def _holds(graph: Graph, procedure: Procedure) -> Iterator[Finding]:
    doer = next(iter(procedure.crew), "")
    for station in graph.stations:
        step = station.step
        if step.hold is None:
            continue
        by = step.who.name if step.who else doer
        if step.hold.name == by:
            yield rules.HOLD_BY_DOER.at(step.hold.span, f"The {by} who does this step also confirms it.")
        if step.action.name not in WORKING and _skipped(graph, station):
            sentence = "The work before this hold point can go on without it on another way."
            yield rules.HOLD_SKIPPED.at(step.hold.span, sentence)


def _skipped(graph: Graph, held: Station) -> bool:
    """Whether all that follows a hold point can be reached without it, from work that it was to confirm."""
    if not any(station.step.action.name in WORKING for station in graph.stations):
        return False
    following = {way.to for way in held.ways if way.side in MAIN_SIDES or way.side in held.step.answers}
    before = graph.backward([held.key])
    worked = [each.key for each in graph.stations if each.key in before and each.step.action.name in WORKING]
    around = graph.forward(worked, without=held.key)
    reached = around | {way.to for key in around for way in graph.at(key).ways if ends(way)}
    return bool(following) and following <= reached


def _as_found(graph: Graph, procedure: Procedure) -> Iterator[Finding]:
    if procedure.kind.name != "adjustment":
        return
    setting = [station for station in graph.stations if station.step.action.name == "adjust"]
    unread = _without_readings(graph, [graph.entry])
    for station in setting:
        span = station.step.object.span
        if station.key in unread:
            yield rules.NO_AS_FOUND.at(span, "This is set before anything was measured.")
        onward = [way.to for way in station.ways if way.to in graph.position]
        after = _without_readings(graph, onward) | {station.key}
        if next(_handed_back(graph, procedure, after), None):
            yield rules.NO_AS_LEFT.at(span, "After this is set, nothing is measured before the machine is handed back.")


def _without_readings(graph: Graph, starts: list[str]) -> set[str]:
    """Stations reached from the starts on ways on which nothing is measured."""
    seen: set[str] = set()
    open_ = list(starts)
    while open_:
        key = open_.pop()
        if key in seen or graph.at(key).step.action.name == "measure":
            continue
        seen.add(key)
        open_ += [way.to for way in graph.at(key).ways if way.to in graph.position]
    return seen


def _time(graph: Graph, procedure: Procedure) -> Iterator[Finding]:
    """The longest way through the steps in written order; going back is not counted."""
    if procedure.time is None:
        return
    longest = [Fraction(0)] * len(graph.stations)
    for number in reversed(range(len(graph.stations))):
        station = graph.stations[number]
        onward = [graph.position[way.to] for way in station.ways if graph.position.get(way.to, -1) > number]
        own = station.step.time.quantity.base if station.step.time else Fraction(0)
        longest[number] = own + max((longest[other] for other in onward), default=Fraction(0))
    if longest[0] > procedure.time.quantity.base:
        minutes = f"{float(longest[0] / 60):g} min"
        sentence = f"The longest way through the steps takes {minutes}, the card says {procedure.time}."
        yield rules.TIME_SHORT.at(procedure.time.span, sentence)


def _spares(graph: Graph, case: Case) -> Iterator[Finding]:
    spares = case.procedure.spares
    if spares is None:
        return
    listed = {spare.part.name for spare in spares}
    fitted = {
        station.step.object.text: station.step.object
        for station in graph.stations
        if station.step.action.name in ("fit", "swap") and station.step.object.text in case.machine.parts
    }
    for spare in spares:
        if spare.when == "always" and spare.part.name not in fitted:
            yield rules.SPARE_UNUSED.at(spare.part.span, f"No step fits the spare part `{spare.part}`.")
    for station in graph.stations:
        words = station.step.object
        if words.text in listed or words.text not in fitted:
            continue
        part = case.machine.parts[words.text]
        if station.step.action.name == "swap":
            yield rules.SPARE_NOT_LISTED.at(words.span, f"The new `{words}` is not among the spare parts.")
        elif station.step.action.name == "fit" and part.single_use:
            related = (Related(part.span, "It is for single use."),)
            sentence = f"`{words}` is for single use, and no new one is among the spare parts."
            yield rules.SINGLE_USE_AGAIN.at(words.span, sentence, related=related)


def _supplies(graph: Graph, procedure: Procedure) -> Iterator[Finding]:
    if procedure.supplies is None:
        return
    listed = {use.supply.name for use in procedure.supplies}
    for station in graph.stations:
        for use in station.step.supplies:
            if use.supply.name not in listed:
                sentence = f"`{use.supply}` is not among the supplies of the procedure."
                yield rules.SUPPLY_NOT_LISTED.at(use.supply.span, sentence)
