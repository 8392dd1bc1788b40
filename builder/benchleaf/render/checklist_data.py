"""What the checklist's scripts need to know about a card: ways, limits, locks and waits, as plain data for JSON."""

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import Any

from benchleaf.card.model import Card, CardStep
from benchleaf.card.offered import offered, seconds
from benchleaf.card.records import Band, BandRow, Choice, Grey, MeterBand, Reading, Value
from benchleaf.render import markdown
from benchleaf.render.view import labels

_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_KEPT = ("lowest", "highest", "mean", "last")
Data = dict[str, Any]


def checklist_data(
    card: Card, digest: str, repeats: Sequence[str] = (), isolators: Mapping[str, str] = MappingProxyType({})
) -> Data:
    """The card's identity, steps and findings; numbers stay decimal text, so that scripts compare them exactly.

    `repeats` says of each step in English how often it is read and what of that counts; left out: the card is English.
    `isolators` are the names of what is locked, by key; one that it leaves out is named by its key.
    """
    places = {step.key: step.number for step in card.steps}
    findings = {outcome.key: outcome.number for outcome in card.outcomes}
    steps = card.steps
    repeats = repeats or [step.reading.repeat if step.reading else "" for step in steps]
    after = [step.number for step in steps[1:]]
    last = {section.steps[-1].key for section in card.sections if section.kind == "closing" and section.steps}
    return {
        "tool": card.tool,
        "id": card.id,
        "title": card.title,
        "machine": card.machine.key,
        "machine_name": card.machine.name,
        "serials": card.machine.serials,
        "ranges": [each._asdict() for each in card.machine.applies.serials],
        "others": bool(card.machine.applies.key),
        "revision": card.revision,
        "state": card.state,
        "digest": digest,
        "pause": seconds(card.pause) if card.pause else 0,
        "helper": len(card.crew) > 1,
        "meters": _meters(card),
        "names": _names(card, isolators),
        "steps": [
            _step(card, block, step, _ways(step, places, findings, following, ends=step.key in last), _keep(repeat))
            for (block, step), following, repeat in zip(_placed(card), [*after, 0], repeats, strict=True)
        ],
        "findings": [
            {
                "key": each.key,
                "number": each.number,
                "title": each.title,
                "leave": each.leave,
                "closing": each.closing_number,
            }
            for each in card.outcomes
        ],
    }


def _placed(card: Card) -> list[tuple[int, CardStep]]:
    """Each step with the place of its section."""
    return [(place, step) for place, section in enumerate(card.sections) for step in section.steps]


def _keep(repeat: str) -> str:
    """Which of several readings counts."""
    return next((word for word in _KEPT if f"the {word} counts" in repeat), "all")


def _step(card: Card, block: int, step: CardStep, ways: list[Data], keep: str) -> Data:
    facts = step.facts
    found: Data = {
        "number": step.number,
        "key": step.key,
        "block": block,
        "role": step.role,
        "near": step.nearness,
        "command": markdown.block(step.command).striptags(),
        "warned": bool(step.warnings),
        "hold": bool(step.hold),
        "photo": [entry.key for entry in step.entries if entry.expects == "photo"],
        "entries": [[entry.key, entry.label] for entry in step.entries],
        "stages": len(step.tightening.stages) if step.tightening else 0,
        "wait": seconds(f"{step.wait.value} {step.wait.unit}") if step.wait else 0,
        "locks": list(facts.locks),
        "proves": list(facts.energies),
        "opens": list(facts.opens),
        "closes": list(facts.closes),
        "ways": ways,
    }
    if step.reading:
        found["reading"] = _reading(card, step.reading) | {"keep": keep}
    return found


def _names(card: Card, isolators: Mapping[str, str]) -> dict[str, str]:
    """What is locked, opened or put in place, as the card says it, by the key by which the steps know it."""
    locks = {key: isolators.get(key) or _spoken(key) for step in card.steps for key in step.facts.locks}
    opens = {key: _spoken(key.partition(":")[2]) for step in card.steps for key in step.facts.opens}
    return {**locks, **opens, **{line.key: line.words for line in card.put_back}}


def _spoken(name: str) -> str:
    return name.replace("-", " ")


def _ways(
    step: CardStep, places: Mapping[str, int], findings: Mapping[str, int], following: int, *, ends: bool
) -> list[Data]:
    """Every way out: those that the card prints first and in its order, then those that it leaves unsaid."""
    shown = [_choice(choice, following, places) for choice in step.choices]
    if not shown and not step.facts.ways:
        shown = [_way("next", "", "end" if ends or not following else "step", following)]
    printed = {choice.side for choice in step.choices}
    for way in step.facts.ways:
        if way.side in printed:
            continue
        if way.to.startswith("outcome:"):
            shown.append(_way(way.side, "", "finding", findings.get(way.to.removeprefix("outcome:"), 0), way.at_most))
        elif way.to in places:
            shown.append(_way(way.side, "", "step", places[way.to], way.at_most))
        else:
            shown.append(_way(way.side, "", "end" if way.to == "end" else "stop", 0))
    return shown


def _choice(choice: Choice, following: int, places: Mapping[str, int]) -> Data:
    if choice.kind == "outcome":
        return _way(choice.side, choice.label, "finding", choice.number, choice.at_most)
    if choice.kind == "stop":
        return _way(choice.side, choice.label, "stop", 0)
    number = choice.number or places.get(choice.to, following)
    return _way(choice.side, choice.label, "step" if number else "end", number, choice.at_most)


def _way(side: str, label: str, kind: str, number: int, most: int = 0) -> Data:
    return {"side": side, "label": label, "kind": kind, "number": number, "most": most}


def _reading(card: Card, reading: Reading) -> Data:
    return {
        "measure": reading.measure,
        "label": reading.label,
        "unit": reading.unit,
        "units": [list(unit) for unit in offered(reading.unit, reading.measure)],
        "labels": list(labels(reading)),
        "repeat": reading.repeat,
        "instrument": reading.instrument,
        "meter": reading.instrument_key,
        "meters": {
            one.key: {"name": one.name, "sentence": one.accept, "limit": _with_meter(one)}
            for one in reading.band.others
        },
        "limit": _limit(reading.band),
    }


def _limit(band: Band) -> Data:
    return {
        "key": band.key,
        "name": band.name,
        "form": band.form,
        "sentence": band.sentence,
        "of": band.of_number,
        "low": _value(band.low),
        "nominal": _value(band.nominal),
        "high": _value(band.high),
        "source": band.source,
        "rows": [_row(row) for row in band.rows],
        **_accepted(band),
    }


def _with_meter(band: MeterBand) -> Data:
    rows = {"rows": [_row(row) for row in band.rows]} if band.rows else {}
    return {**_accepted(band), **rows}


def _accepted(band: Band | MeterBand) -> Data:
    """What a meter makes of a limit: where a reading is surely good, and where it is too close to tell."""
    return {
        "accept_low": _value(band.accept_low),
        "accept_high": _value(band.accept_high),
        "grey": [_stretch(grey) for grey in band.grey],
    }


def _stretch(grey: Grey) -> Data:
    return {"low": _value(grey.low), "high": _value(grey.high)}


def _row(row: BandRow) -> Data:
    return {name: _value(getattr(row, name)) for name in row._fields}


def _value(value: Value | None) -> dict[str, str] | None:
    return {"value": value.value, "unit": value.unit, "printed": value.printed} if value else None


def _meters(card: Card) -> dict[str, Data]:
    """The meters of the card with the day on which their calibration runs out."""
    return {
        line.key: {"name": line.name, "detail": line.detail, "due": (_DAY.findall(line.detail) or [""])[0]}
        for line in card.tools
        if line.kind == "meter"
    }
