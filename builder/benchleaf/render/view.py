"""What templates ask about a card: sentences made from its fields, nothing that decides."""

from collections.abc import Iterable

from benchleaf.card.model import Card, CardOutcome, CardStep, Choice, Person, Reading, Warn

_NOT_FOR_USE = "not for use on a machine"
_STATES = {
    "draft": (f"Draft – {_NOT_FOR_USE}", "DRAFT"),
    "in review": (f"In review – {_NOT_FOR_USE}", "DRAFT"),
    "released": ("Released", ""),
    "superseded": (f"Superseded – {_NOT_FOR_USE}", "SUPERSEDED"),
    "withdrawn": (f"Withdrawn – {_NOT_FOR_USE}", "WITHDRAWN"),
}
# Sides that a reading decides; the others are what a person says about the reading.
DECIDED = ("inside", "below", "above", "outside")


def state_sentence(state: str) -> str:
    """The state in words, with what follows from it."""
    return _STATES.get(state, (f"{state.capitalize()} – {_NOT_FOR_USE}", ""))[0]


def state_mark(state: str) -> str:
    """The word that stands across each page; empty for a released card."""
    return _STATES.get(state, ("", state.upper()))[1]


def kind_words(kind: str) -> str:
    """`fault-finding` as `Fault finding`."""
    return kind.replace("-", " ").capitalize()


def crew_words(crew: Iterable[Person]) -> str:
    """Roles with their trades: `technician (electrical) and helper (any trade)`."""
    people = [f"{person.role} ({'any trade' if person.trade in ('', 'any') else person.trade})" for person in crew]
    return " and ".join(filter(None, (", ".join(people[:-1]), people[-1] if people else "")))


def way_words(choice: Choice) -> str:
    """Where an answer leads, in words."""
    times = {0: "", 1: " (at most once)"}.get(choice.at_most, f" (at most {choice.at_most} times)")
    if choice.kind == "step":
        return f"go to step {choice.number}{times}"
    if choice.kind == "outcome":
        return f"finding {choice.number}, {choice.title}" if choice.title else f"finding {choice.number}"
    return "stop and ask" if choice.kind == "stop" else f"go on{times}"


def way_target(choice: Choice) -> str:
    """The id of the place where an answer leads; empty for the next step and for a stop."""
    return {"step": f"step-{choice.number}", "outcome": f"finding-{choice.number}"}.get(choice.kind, "")


def numbers(values: Iterable[int]) -> str:
    """`1, 2, 3, 7` as `1–3, 7`."""
    runs: list[list[int]] = []
    for value in values:
        if runs and value == runs[-1][-1] + 1:
            runs[-1].append(value)
        else:
            runs.append([value])
    return ", ".join(
        str(run[0])
        if len(run) == 1
        else f"{run[0]}{',' if len(run) == 2 else '–'}{' ' if len(run) == 2 else ''}{run[-1]}"
        for run in runs
    )


def loose_blanks(reading: Reading) -> tuple[tuple[str, str], ...]:
    """Label and unit of each blank beside the gauge: all but those that stand in the table of pairs."""
    held = judged(reading)
    return tuple(
        (label, reading.unit if index in held else "")
        for index, label in enumerate(reading.blanks)
        if index not in held or len(reading.pairs) < 2
    )


def judged(reading: Reading) -> range:
    """Which blanks are held against the limit: all, or one per pair where a proving unit is read before and after."""
    spare = len(reading.blanks) - len(reading.pairs)
    if len(reading.pairs) > 1 and spare > 0:
        return range((spare + 1) // 2, (spare + 1) // 2 + len(reading.pairs))
    return range(len(reading.blanks))


def warnings_of(card: Card) -> tuple[Warn, ...]:
    """All warnings of the card in printing order."""
    return tuple(warn for step in card.steps for warn in step.warnings)


def sign_numbers(card: Card) -> tuple[str, ...]:
    """Numbers of all signs that the card shows, each once, in printing order."""
    found = [hazard.sign for hazard in card.hazards if hazard.sign]
    found += [item.sign for item in card.equipment if item.sign]
    found += [number for warn in warnings_of(card) for number in warn.signs]
    return tuple(dict.fromkeys(found))


def closing_words(outcome: CardOutcome) -> str:
    """Which section closes the card for this outcome; empty where nothing is to be closed."""
    return f"Close with step {outcome.closing_number} and on." if outcome.closing_number else ""


def step_by_number(card: Card, number: int) -> CardStep:
    """The step with this printed number; StopIteration when there is none."""
    return next(step for step in card.steps if step.number == number)
