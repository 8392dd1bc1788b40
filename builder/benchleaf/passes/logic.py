"""Fault logic: every answer leads somewhere, every way ends, nothing is asked for nothing."""

from collections.abc import Iterator
from itertools import chain

from benchleaf.base.finding import Finding, Related
from benchleaf.model.flow import END, STOP, Station
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.relations import earlier_station, earlier_step
from benchleaf.model.sides import ABOVE, BELOW, OUTSIDE, sides
from benchleaf.passes import logic_rules as rules
from benchleaf.passes import logic_work_rules as work_rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.logic_cards import links_of, outcomes_of
from benchleaf.passes.logic_classes import of_blocks, of_links, of_machine, of_procedure
from benchleaf.passes.logic_graph import Graph, ends, graph_of
from benchleaf.passes.logic_graph import written as is_written
from benchleaf.passes.logic_work import of_work

MEASURE = "measure"
ASKING = ("look", "listen", "smell", "read", "watch", "ask", MEASURE)


def run(case: Case, facts: Facts) -> Result:
    """The logic of one procedure."""
    if facts.flow is None:
        return Result(facts)
    graph = graph_of(facts.flow)
    reached = graph.forward([graph.entry])
    findings = chain(
        _unreachable(graph, reached),
        _no_end(graph, reached),
        chain.from_iterable(_sides(station, case.machine) for station in graph.stations),
        _no_exit(graph, reached),
        _no_count(graph, reached),
        _twice(graph),
        _relations(graph, case),
        of_work(graph, case),
        of_links(case),
    )
    return Result(facts, tuple(findings))


def written(case: Case) -> tuple[Finding, ...]:
    """The logic of a card as a whole, and for which machines it is."""
    return tuple(chain(outcomes_of(case.procedure), links_of(case), of_procedure(case)))


def common(common: Common) -> tuple[Finding, ...]:
    """The logic of a machine file; or for which machines the steps of the blocks are."""
    return tuple(of_machine(common.machine) if common.machine else of_blocks(common.blocks))


def _unreachable(graph: Graph, reached: set[str]) -> Iterator[Finding]:
    before = True
    for number, station in enumerate(graph.stations):
        here = station.key in reached
        if before and not here:
            after = 0
            while number + after < len(graph.stations) and graph.stations[number + after].key not in reached:
                after += 1
            also = f", nor to the {after - 1} after it" if after > 1 else ""
            yield rules.UNREACHABLE_STEP.at(station.step.action.span, f"No answer leads to this step{also}.")
        before = here


def _no_end(graph: Graph, reached: set[str]) -> Iterator[Finding]:
    for station in graph.stations:
        loose = [way for way in station.ways if way.to == END]
        if loose and station.key in reached:
            way = next((way for way in loose if is_written(way)), None)
            span = way.span if way else station.step.action.span
            yield rules.NO_END.at(span, "Behind this step nothing is written, and work ends without an outcome.")


def _sides(station: Station, machine: Machine) -> Iterator[Finding]:
    step = station.step
    limit = machine.limits.get(step.object.text) if step.action.name == MEASURE else None
    if limit is None:
        return
    for way in station.ways:
        if way.side in (BELOW, ABOVE, OUTSIDE) and way.to == STOP and not is_written(way):
            where = "lies outside" if way.side == OUTSIDE else f"is {way.side}"
            sentence = f"Nothing says what follows when the reading {where} the limit `{step.object.text}`."
            yield rules.SIDE_UNANSWERED.at(step.object.span, sentence, related=_limit_at(limit))
    has = sides(limit)
    for side, leads in ((BELOW, step.below), (ABOVE, step.above)):
        if leads and side not in has:
            sentence = f"The limit `{step.object.text}` has no side `{side}`."
            yield rules.SIDE_NOT_THERE.at(leads.span, sentence, related=_limit_at(limit))
    if step.outside and has != (OUTSIDE,) and all((step.below, step.above)[side == ABOVE] for side in has):
        sentence = "Each side has its own answer, so `outside` is never taken."
        yield rules.SIDE_NOT_THERE.at(step.outside.span, sentence)


def _limit_at(limit: Limit) -> tuple[Related, ...]:
    return (Related(limit.span, "The limit stands here."),)


def _no_exit(graph: Graph, reached: set[str]) -> Iterator[Finding]:
    out = graph.backward(station.key for station in graph.stations if any(ends(way) for way in station.ways))
    for station in graph.stations:
        if station.key in out or station.key not in reached:
            continue
        for way in graph.back_ways(station):
            sentence = "This leads back into steps from which no answer leads out."
            yield rules.CIRCLE_WITHOUT_EXIT.at(way.span, sentence)


def _no_count(graph: Graph, reached: set[str]) -> Iterator[Finding]:
    circle = graph.circles()
    for station in graph.stations:
        for way in graph.back_ways(station):
            if way.at_most or not is_written(way) or station.key not in reached:
                continue
            if circle[station.key] == circle[way.to]:
                sentence = "This leads back to an earlier step, and nothing says how often."
                yield rules.CIRCLE_WITHOUT_COUNT.at(way.span, sentence)


def _question(station: Station) -> tuple[object, ...] | None:
    """What is asked, and under what circumstances; None for a step that does something."""
    step = station.step
    if step.action.name not in ASKING or step.sets:
        return None
    doing = (step.while_.operate.text, tuple(_plain(step.while_.sets))) if step.while_ else ()
    points = tuple(point.name for point in step.between)
    at = step.at.name if step.at else ""
    return (step.action.name, step.object.text, points, at, doing, tuple(step.each.items()))


def _plain(state: tuple[tuple[object, object], ...]) -> Iterator[str]:
    return (f"{condition}={value}" for condition, value in state)


def _twice(graph: Graph) -> Iterator[Finding]:
    asked: dict[tuple[object, ...], list[Station]] = {}
    for station in graph.stations:
        question = _question(station)
        if question:
            asked.setdefault(question, []).append(station)
    told: set[str] = set()
    for question, stations in asked.items():
        for first in stations if len(stations) > 1 else ():
            again = _met_again(graph, first, question)
            if again and again.key not in told:
                told.add(again.key)
                related = (Related(first.step.object.span, "It was asked here."),)
                sentence = "The same was asked before, and nothing was done in between."
                yield rules.SAME_QUESTION_TWICE.at(again.step.object.span, sentence, related=related)


def _met_again(graph: Graph, first: Station, question: tuple[object, ...]) -> Station | None:
    """Another station with the same question, on a way from the first on which nothing is done.

    A way that may be taken only so often goes back on purpose: to begin again.
    """
    seen = {first.key}
    open_ = [way.to for way in first.ways if not way.at_most]
    while open_:
        key = open_.pop()
        if key in seen or key not in graph.position:
            continue
        seen.add(key)
        station = graph.at(key)
        other = _question(station)
        if other == question:
            return station
        if other:
            open_ += [way.to for way in station.ways if not way.at_most]
    return None


def _relations(graph: Graph, case: Case) -> Iterator[Finding]:
    for station in graph.stations:
        step = station.step
        limit = case.machine.limits.get(step.object.text) if step.action.name == MEASURE else None
        if limit is None:
            continue
        if limit.spread and not step.each and (step.repeat is None or step.repeat.times < 2):
            sentence = f"The limit `{step.object.text}` is about several readings, and only one is taken."
            yield rules.SPREAD_OF_ONE.at(step.object.span, sentence, related=_limit_at(limit))
        earlier = earlier_step(limit)
        key = earlier_station(graph.position, station.key, earlier.name) if earlier else ""
        if earlier and key:
            yield from _taken_before(graph, station, key, earlier.name)


def _taken_before(graph: Graph, station: Station, key: str, name: str) -> Iterator[Finding]:
    step, before = station.step, graph.at(key).step
    related = (Related(before.action.span, f"This is the step `{name}`."),)
    if before.action.name != MEASURE:
        sentence = f"The limit `{step.object.text}` compares with the step `{name}`, which takes no reading."
        yield rules.READING_MISSING.at(step.object.span, sentence, related=related)
    elif key == station.key or station.key in graph.forward([graph.entry], without=key):
        sentence = (
            f"The limit `{step.object.text}` compares with the step `{name}`, which is not passed on every way here."
        )
        yield rules.READING_MISSING.at(step.object.span, sentence, related=related)


LOGIC = Pass(
    "logic", rules.RULES, run=run, common=common, needs=("flow",), written=written, idle=(work_rules.SPARE_UNUSED,)
)
