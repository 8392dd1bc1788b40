"""What the checklist's scripts need to know about a card: ways and limits by step number, as plain data for JSON."""

from typing import Any

from benchleaf.card.model import Card, CardStep
from benchleaf.card.records import Band, Choice, Reading, Value
from benchleaf.render.view import labels


def checklist_data(card: Card, digest: str) -> dict[str, Any]:
    """The card's identity and its steps; numbers stay decimal text, so that scripts compare them exactly."""
    return {
        "id": card.id,
        "machine": card.machine.key,
        "revision": card.revision,
        "digest": digest,
        "steps": [_step(step) for step in card.steps],
    }


def _step(step: CardStep) -> dict[str, Any]:
    found: dict[str, Any] = {
        "number": step.number,
        "hold": bool(step.hold),
        "ways": [_way(choice) for choice in step.choices],
    }
    if step.reading:
        found["reading"] = _reading(step.reading)
    return found


def _way(choice: Choice) -> dict[str, Any]:
    return {"side": choice.side, "kind": choice.kind, "number": choice.number, "most": choice.at_most}


def _reading(reading: Reading) -> dict[str, Any]:
    return {
        "measure": reading.measure,
        "unit": reading.unit,
        "blanks": len(labels(reading)),
        "pairs": len(reading.pairs),
        "repeat": reading.repeat,
        "limit": _limit(reading.band),
    }


def _limit(band: Band) -> dict[str, Any]:
    return {
        "form": band.form,
        "sentence": band.sentence,
        "of": band.of_number,
        "low": _value(band.low),
        "nominal": _value(band.nominal),
        "high": _value(band.high),
    }


def _value(value: Value | None) -> dict[str, str] | None:
    return {"value": value.value, "unit": value.unit, "printed": value.printed} if value else None
