"""The fault matrix of a procedure, its written way under each fault, and the best way that its questions allow."""

from collections.abc import Mapping
from itertools import combinations
from math import isinf

from benchleaf.model.expected import Expected
from benchleaf.model.flow import Flow, Station, outcome_of
from benchleaf.model.matrix import Column, FaultMatrix, Row
from benchleaf.passes.base import Case
from benchleaf.passes.diagnosis_answers import SOUND, Card, answer, card_of, is_question, way_for
from benchleaf.passes.diagnosis_minutes import ISOLATION, POWER, changes, minutes
from benchleaf.safety.planning import Planning
from benchleaf.safety.wishes import LOCKED
from benchleaf.safety.wishes import POWER as WANTS_POWER
from benchleaf.trade.diagnosis import UNKNOWN, Question, Search, alike, best, lower_bound, parted
from benchleaf.trade.diagnosis_figures import fraction_detected, fraction_isolated

# Passes of one station on one way, after which a card goes round in a circle.
ROUNDS = 3


def matrix(case: Case, flow: Flow, planning: Planning, expected: Expected | None) -> FaultMatrix | None:
    """The matrix of all faults that the outcomes name; None for fewer than two of them, or without a question."""
    card = card_of(case.machine, case.procedure, flow, expected)
    named = dict.fromkeys(card.fault_of(key) for key in case.procedure.outcomes)
    faults = [fault for fault in named if fault in case.machine.faults]
    asked = [station for station in flow.stations if is_question(station) and station.key in planning.woven.before]
    if len(faults) < 2 or not asked:
        return None
    rows = [_row(card, asked, fault) for fault in (*faults, SOUND)]
    if not rows[-1].ends or card.fault_of(rows[-1].ends):
        # A card that never ends without a fault is no place for none.
        rows.pop()
    search = _search(card, flow, planning, asked, rows)
    ways = [_written(card, search, place, row.fault) for place, row in enumerate(rows)]
    rows = [row._replace(minutes=way) for row, way in zip(rows, ways, strict=True)]
    found = best(search)
    total = sum(search.weights)
    written = sum(row.weight * row.minutes for row in rows) / total
    groups = tuple(tuple(rows[one].fault for one in group) for group in alike(search))
    weights = [[search.weights[one] for one in group] for group in alike(search)]
    return FaultMatrix(
        tuple(Column(station.key, _asks(station), minutes(station.step)) for station in asked),
        tuple(rows),
        groups,
        fraction_detected([row.weight for row in rows if row.fault], [row.found for row in rows if row.fault]),
        fraction_isolated(weights, 1),
        written,
        min(found.minutes, written),
        lower_bound(search),
        found.exact,
        found.tree.order(),
    )


def _asks(station: Station) -> str:
    return f"{station.step.action.name} {station.step.object.text}"


def _row(card: Card, asked: list[Station], fault: str) -> Row:
    answers = [answer(card, station, fault) for station in asked]
    path, ends = _path(card, fault)
    told = {station.key: (_asks(station), side) for station, (side, _) in zip(asked, answers, strict=True)}
    return Row(
        fault,
        card.machine.faults[fault].weight if fault else 1,
        tuple(side for side, _ in answers),
        tuple(_shown(card, station, fault) for station in asked),
        tuple(computed for _, computed in answers),
        ends,
        bool(fault) and card.fault_of(ends) == fault,
        0.0,
        tuple(told[key] for key in path if key in told),
    )


def _shown(card: Card, station: Station, fault: str) -> str:
    """What the meter would show, as far as the circuit says."""
    foreseen = card.expected.readings.get(station.key)
    value = foreseen.faults.get(fault, foreseen.nominal) if foreseen is not None else None
    if foreseen is None or value is None:
        return ""
    return "open" if isinf(value) else f"{value:.4g} {foreseen.unit}"


def _path(card: Card, fault: str) -> tuple[list[str], str]:
    """The stations that the written card passes under a fault, and the outcome (empty: it loses its way)."""
    passed: list[str] = []
    key = next(iter(card.stations), "")
    while key in card.stations and passed.count(key) < ROUNDS:
        station = card.stations[key]
        passed.append(key)
        if is_question(station):
            way = way_for(station, answer(card, station, fault)[0])
        else:
            way = next((way for way in station.ways if way.side in ("next", "inside")), None)
        if way is None:
            return passed, ""
        key = way.to
    return passed, outcome_of(key)


def _search(card: Card, flow: Flow, planning: Planning, asked: list[Station], rows: list[Row]) -> Search:
    """The questions that part faults as tests, everything else on the way to them as their preparation."""
    telling = {
        station.key: number
        for number, station in enumerate(asked)
        if len({row.answers[number] for row in rows} - {""}) > 1
    }
    before = _before(flow)
    preparing = {
        key: minutes(card.stations[key].step)
        for key in card.stations
        if key not in telling or card.stations[key].step.sets
    }
    tests = tuple(
        Question(
            key,
            minutes(card.stations[key].step),
            tuple(row.answers[number] for row in rows),
            _state(planning, key),
            frozenset(before[key] & set(preparing)),
        )
        for key, number in telling.items()
    )
    return Search(tuple(float(row.weight) for row in rows), tests, changes(planning), preparing, POWER)


def _state(planning: Planning, key: str) -> str:
    """The state that a question wants of the machine; one that doesn't care takes it as it stands."""
    wish = planning.labels.wishes.get(key)
    if wish is not None and wish.label == LOCKED and planning.labels.without_power(key):
        return ISOLATION
    return POWER if wish is not None and wish.label == WANTS_POWER else ""


def _before(flow: Flow) -> Mapping[str, frozenset[str]]:
    """For each station those that stand on every way to it."""
    ways = {station.key: station.ways for station in flow.stations}
    first = flow.stations[0].key
    found: dict[str, set[str]] = {key: set() for key in ways}
    for without in ways:
        seen: set[str] = set()
        waiting = [first]
        while waiting:
            key = waiting.pop()
            if key not in seen and key in ways and key != without:
                seen.add(key)
                waiting += [way.to for way in ways[key]]
        for key in ways:
            if key not in seen and key != without:
                found[key].add(without)
    return {key: frozenset(names) for key, names in found.items()}


def _written(card: Card, search: Search, place: int, fault: str) -> float:
    """The minutes of the written way until nothing more is to be told apart, counted as those of the best way are."""
    path, _ = _path(card, fault)
    tests = {test.name: test for test in search.tests}
    left = set(range(len(search.weights)))
    state, spent, asked = search.start, 0.0, 0.0
    for key in path:
        spent += minutes(card.stations[key].step)
        test = tests.get(key)
        if test is None:
            continue
        if test.state and test.state != state:
            spent += search.changes.get((state, test.state), 0.0)
            state = test.state
        asked = spent
        left -= {other for other in left if test.results[other] not in (UNKNOWN, test.results[place])}
        if not any(parted(search, one, other) for one, other in combinations(left, 2)):
            break
    return asked
