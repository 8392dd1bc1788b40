"""What each question of a procedure answers under each fault: from the circuit, else from where the card leads."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.model.expected import Expected
from benchleaf.model.flow import END, STOP, Flow, Station, Way, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure
from benchleaf.model.sides import OUTSIDE

ONWARD = ("next", "inside", "yes")
SOUND = ""


class Card(NamedTuple):
    """A procedure as answers are looked up in it."""

    machine: Machine
    procedure: Procedure
    stations: Mapping[str, Station]
    expected: Expected
    leads: Mapping[tuple[str, str], frozenset[str]]

    def fault_of(self, outcome: str) -> str:
        """The fault that an outcome names; empty if none."""
        known = self.procedure.outcomes.get(outcome)
        return known.fault.name if known is not None and known.fault is not None else ""


def card_of(machine: Machine, procedure: Procedure, flow: Flow, expected: Expected | None) -> Card:
    """The card, with the faults that each way can still lead to."""
    stations = {station.key: station for station in flow.stations}
    card = Card(machine, procedure, stations, expected or Expected(), {})
    reached: dict[str, frozenset[str]] = {key: frozenset() for key in stations}
    moved = True
    while moved:
        moved = False
        for station in reversed(flow.stations):
            ends = frozenset[str]().union(*(_behind(card, reached, way) for way in station.ways))
            if ends != reached[station.key]:
                reached[station.key], moved = ends, True
    return card._replace(
        leads={(s.key, way.side): _behind(card, reached, way) for s in flow.stations for way in s.ways}
    )


def _behind(card: Card, reached: Mapping[str, frozenset[str]], way: Way) -> frozenset[str]:
    outcome = outcome_of(way.to)
    fault = card.fault_of(outcome) if outcome else ""
    return frozenset((fault,)) if fault else reached.get(way.to, frozenset())


def is_question(station: Station) -> bool:
    """Whether what is found at a station decides how the card goes on."""
    return len({way.to for way in station.ways if way.to != STOP or way.span.file}) > 1


def way_for(station: Station, answer: str) -> Way | None:
    """The way that an answer takes; `outside` serves below and above."""
    by_side = {way.side: way for way in station.ways}
    if answer in by_side:
        return by_side[answer]
    if answer in ("below", "above"):
        return by_side.get(OUTSIDE)
    return by_side.get("next") if answer == "inside" else None


def answer(card: Card, station: Station, fault: str) -> tuple[str, bool]:
    """The answer of a question under a fault, or with none of them, and whether the circuit gives it.

    The empty answer is one that nobody knows.
    """
    foreseen = card.expected.readings.get(station.key)
    changes = fault != SOUND and bool(card.machine.faults[fault].circuit)
    if foreseen is not None and changes:
        side = foreseen.sides.get(fault, "")
        way = way_for(station, side)
        return (way.side if way else "", True)
    if fault != SOUND:
        claimed = _claimed(card, station, fault)
        if claimed:
            return claimed, False
    if foreseen is not None:
        way = way_for(station, foreseen.side)
        return (way.side if way else "", True)
    return (_onward(card, station), False) if fault == SOUND else ("", False)


def _claimed(card: Card, station: Station, fault: str) -> str:
    """The answer behind which the card has this fault; one that names it at once goes before one that leads there.

    A fault that shows in several ways is taken to show in the first that is written.
    """
    direct = [way.side for way in station.ways if card.fault_of(outcome_of(way.to)) == fault]
    leading = [way.side for way in station.ways if fault in card.leads[station.key, way.side]]
    return next((side for side in (*direct, *(each for each in ONWARD if each in leading), *leading)), "")


def _onward(card: Card, station: Station) -> str:
    """How a question is answered where nothing is wrong: by the way that goes on to the next written step."""
    keys = [*card.stations, END]
    after = keys[keys.index(station.key) + 1]
    return next((way.side for way in station.ways if way.to == after), "")
