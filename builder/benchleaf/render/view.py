"""What templates ask about a card: sentences made from its fields, nothing that decides."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from markupsafe import Markup, escape

from benchleaf.card.model import Card, CardOutcome, CardStep, Person, Section
from benchleaf.card.records import Choice, Reading, Reason, Warn

_NOT_FOR_USE = "not for use on a machine"
_STATES = {
    "draft": (f"Draft – {_NOT_FOR_USE}", "DRAFT"),
    "in review": (f"In review – {_NOT_FOR_USE}", "DRAFT"),
    "released": ("Released", ""),
    "superseded": (f"Superseded – {_NOT_FOR_USE}", "SUPERSEDED"),
    "withdrawn": (f"Withdrawn – {_NOT_FOR_USE}", "WITHDRAWN"),
}
# Limits on how far readings lie apart, with what is written down of each.
_TWO_READINGS = {
    "falls-by": ("At the start", "At the end"),
    "spread": ("Lowest", "Highest"),
    "steady": ("Lowest", "Highest"),
}
_COUNT = re.compile(r"\d+")
_LONGEST_LEAD = 34


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
    return first_up(" and ".join(filter(None, (", ".join(people[:-1]), people[-1] if people else ""))))


def way_words(choice: Choice, short: bool = False) -> str:
    """Where an answer leads, in words; `short` leaves out the title of a finding."""
    times = {0: "", 1: " (at most once)"}.get(choice.at_most, f" (at most {choice.at_most} times)")
    if choice.kind == "step":
        return f"go to step {choice.number}{times}"
    if choice.kind == "outcome":
        return f"finding {choice.number}, {choice.title}" if choice.title and not short else f"finding {choice.number}"
    return "stop and ask" if choice.kind == "stop" else f"go on{times}"


def way_target(choice: Choice) -> str:
    """The id of the place where an answer leads; empty for the next step and for a stop."""
    return {"step": f"step-{choice.number}", "outcome": f"finding-{choice.number}"}.get(choice.kind, "")


def numbers(values: Iterable[int]) -> str:
    """1, 2, 3, 7 as `1–3, 7`."""
    spans: list[list[int]] = []
    for value in values:
        if spans and value == spans[-1][-1] + 1:
            spans[-1].append(value)
        else:
            spans.append([value])
    return ", ".join(str(span[0]) if len(span) == 1 else f"{span[0]}–{span[-1]}" for span in spans)


def labels(reading: Reading) -> tuple[str, ...]:
    """What stands beside each blank; a repeated reading has one blank for each time, one that is a change has two."""
    if len(reading.blanks) > 1:
        return reading.blanks
    times = _COUNT.match(reading.repeat)
    if times and int(times[0]) > 1:
        return tuple(f"Reading {number}" for number in range(1, int(times[0]) + 1))
    if reading.band.form in _TWO_READINGS:
        return _TWO_READINGS[reading.band.form]
    return tuple(label or "Reading" for label in reading.blanks)


def by_pairs(reading: Reading) -> bool:
    """Whether the blanks stand in a table, one row for each pair of points."""
    return len(reading.pairs) > 1 and len(reading.pairs) == len(labels(reading))


class Run(NamedTuple):
    """Steps that stand together; `reason` is why the compiler put them in, None for written steps."""

    reason: Reason | None
    steps: tuple[CardStep, ...]


def runs(section: Section) -> tuple[Run, ...]:
    """The section's steps, those put in for one and the same reason taken together."""
    found: list[Run] = []
    for step in section.steps:
        last = found[-1] if found else None
        if last and _same(last.reason, step.inserted):
            found[-1] = Run(last.reason, (*last.steps, step))
        else:
            found.append(Run(step.inserted, (step,)))
    return tuple(found)


class Group(NamedTuple):
    """Steps of a run that are set alike: `tight` ones stand in close rows, side by side where the page is wide."""

    tight: bool
    steps: tuple[CardStep, ...]


def groups(run: Run) -> tuple[Group, ...]:
    """The run's steps in order; those put in stand close together unless a warning parts them."""
    found: list[Group] = []
    for step in run.steps:
        tight = step.inserted is not None and not step.warnings and not step.hold
        if found and found[-1].tight == tight:
            found[-1] = Group(tight, (*found[-1].steps, step))
        else:
            found.append(Group(tight, (step,)))
    return tuple(found)


def told(section: Section, run: Run) -> bool:
    """Whether the section's lead-in already says why these steps were put in."""
    return run.reason is not None and run.reason.sentence in section.lead_in


def _same(one: Reason | None, other: Reason | None) -> bool:
    if one is None or other is None:
        return one is other
    return (one.rule, one.sentence) == (other.rule, other.sentence)


def first_up(text: str) -> str:
    """The text with a capital first letter and all else as it is."""
    return text[:1].upper() + text[1:]


def led(text: str) -> Markup:
    """The text with its lead in bold: what stands before the first colon, where that is short."""
    lead, colon, rest = text.partition(": ")
    if not colon or len(lead) > _LONGEST_LEAD:
        return escape(first_up(text))
    return Markup("<b>{}:</b> {}").format(first_up(lead), rest)


def warnings_of(card: Card) -> tuple[Warn, ...]:
    """All warnings of the card in printing order."""
    return tuple(warn for step in card.steps for warn in step.warnings)


def sign_numbers(card: Card) -> tuple[str, ...]:
    """Numbers of all signs that the card shows, each once, in printing order."""
    found = ["E003"] if card.emergency else []
    found += [hazard.sign for hazard in card.hazards if hazard.sign]
    found += [item.sign for item in card.equipment if item.sign]
    found += [number for warn in warnings_of(card) for number in warn.signs]
    return tuple(dict.fromkeys(found))


def closing_words(card: Card, outcome: CardOutcome) -> str:
    """Which section closes the card for this outcome; empty where nothing is to be closed."""
    if not outcome.closing_number:
        return ""
    title = next((section.title for section in card.sections if section.key == outcome.closing), "")
    named = f"with “{title}”, " if title else ""
    return f"Close {named}from step {outcome.closing_number}"


class Left(NamedTuple):
    """Findings side by side in the list that leave the machine alike: their numbers, and how it is left and closed."""

    label: str
    sentence: str
    closing: str
    number: int
    outcomes: tuple[CardOutcome, ...]


def endings(card: Card) -> tuple[Left, ...]:
    """The findings in their order, those that follow each other and leave the machine alike taken together."""
    found: list[Left] = []
    for outcome in card.outcomes:
        closing = closing_words(card, outcome)
        last = found[-1] if found else None
        if last and (last.sentence, last.closing) == (outcome.leave_sentence, closing):
            together = (*last.outcomes, outcome)
        else:
            found.append(Left("", outcome.leave_sentence, closing, outcome.closing_number, ()))
            together = (outcome,)
        label = f"Finding{'s' if len(together) > 1 else ''} {numbers([each.number for each in together])}"
        found[-1] = found[-1]._replace(label=label, outcomes=together)
    return tuple(found)
