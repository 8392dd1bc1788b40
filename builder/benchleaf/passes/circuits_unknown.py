"""Limits that are to be taken from the circuit, and steps at which that can't be."""

from collections.abc import Iterator, Mapping

from benchleaf.base.finding import Finding, Related
from benchleaf.model.flow import Station
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.passes import circuits_rules as rules


def wanted(machine: Machine, station: Station) -> Limit | None:
    """The limit of a station that is to be taken from the circuit; None for any other."""
    step = station.step
    limit = machine.limits.get(step.object.text) if step.action.name == "measure" else None
    return limit if limit is not None and limit.from_ is not None else None


def unknown(machine: Machine, stations: tuple[Station, ...], known: Mapping[str, Limit]) -> Iterator[Finding]:
    """Steps whose limit is to be taken from the circuit and can't be."""
    for station in stations:
        limit = wanted(machine, station)
        if limit is not None and station.step.object.text not in known:
            name = station.step.object.text
            sentence = f"The circuit has no band for `{name}` between the points and in the state of this step."
            related = (Related(limit.span, "The limit stands here."),)
            yield rules.NOT_COMPUTABLE.at(station.step.object.span, sentence, related=related)
