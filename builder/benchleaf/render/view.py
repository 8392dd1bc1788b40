"""What templates ask about a card: sentences made from its fields, nothing that decides."""

import re
from collections.abc import Iterable
from typing import NamedTuple

from markupsafe import Markup, escape

from benchleaf.base.said import capital, fill, listed, row
from benchleaf.card.model import Card, CardOutcome, CardStep, Person, Section
from benchleaf.card.records import Choice, Reading, Reason, Warn
from benchleaf.card.wired import Wiring

# The state in words, and the word that stands across each page.
_STATES = {
    "draft": (fill("Draft – not for use on a machine"), fill("DRAFT")),
    "in review": (fill("In review – not for use on a machine"), fill("DRAFT")),
    "released": (fill("Released"), ""),
    "superseded": (fill("Superseded – not for use on a machine"), fill("SUPERSEDED")),
    "withdrawn": (fill("Withdrawn – not for use on a machine"), fill("WITHDRAWN")),
}
_STATE_WORDS = {
    "draft": fill("draft"),
    "in review": fill("in review"),
    "released": fill("released"),
    "superseded": fill("superseded"),
    "withdrawn": fill("withdrawn"),
}
_KINDS = {
    "fault-finding": fill("Fault finding"),
    "inspection": fill("Inspection"),
    "adjustment": fill("Adjustment"),
    "replacement": fill("Replacement"),
    "scheduled-service": fill("Scheduled service"),
}
_CHANGES = {"technical": fill("technical"), "editorial": fill("editorial")}
# ANSI Z535.6 and its signal words; those of other languages are in the catalogues, with their source.
_SIGNALS = {
    "danger": fill("DANGER"),
    "warning": fill("WARNING"),
    "caution": fill("CAUTION"),
    "notice": fill("NOTICE"),
}
# Limits on how far readings lie apart, with what is written down of each.
_TWO_READINGS = {
    "falls-by": (fill("At the start"), fill("At the end")),
    "spread": (fill("Lowest"), fill("Highest")),
    "steady": (fill("Lowest"), fill("Highest")),
}
_COUNT = re.compile(r"\d+")
_LONGEST_LEAD = 34


def state_sentence(state: str) -> str:
    """The state in words, with what follows from it."""
    known = _STATES.get(state)
    return known[0] if known else fill("{state} – not for use on a machine", state=capital(state))


def state_mark(state: str) -> str:
    """The word that stands across each page; empty for a released card."""
    return _STATES.get(state, ("", state.upper()))[1]


def kind_words(kind: str) -> str:
    """`fault-finding` as `Fault finding`."""
    return _KINDS.get(kind) or capital(kind.replace("-", " "))


def state_word(state: str) -> str:
    """The state as one word."""
    return _STATE_WORDS.get(state, state)


def change_words(kind: str) -> str:
    """Of which kind a change is: `technical` or `editorial`."""
    return _CHANGES.get(kind, kind)


def signal(word: str) -> str:
    """The signal word of a warning, in capitals."""
    return _SIGNALS.get(word, word.upper())


def crew_words(crew: Iterable[Person]) -> str:
    """Roles with their trades: `technician (electrical) and helper (any trade)`."""
    return capital(
        listed(
            fill(
                "{role} ({trade})",
                role=person.role,
                trade=row((fill("any trade") if person.trade in ("", "any") else person.trade, person.needs), "; "),
            )
            for person in crew
        )
    )


def way_words(choice: Choice, short: bool = False) -> str:
    """Where an answer leads, in words; `short` leaves out the title of a finding."""
    times = (
        fill("(at most {count} times)", count=choice.at_most)
        if choice.at_most > 1
        else fill("(at most once)")
        if choice.at_most
        else ""
    )
    if choice.kind == "step":
        return row((fill("go to step {number}", number=choice.number), times))
    if choice.kind == "outcome":
        found = fill("finding {number}", number=choice.number)
        return row((found, choice.title), ", ") if not short else found
    return fill("stop and ask") if choice.kind == "stop" else row((fill("go on"), times))


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
    times = _COUNT.search(reading.repeat)
    if times and int(times[0]) > 1:
        return tuple(fill("Reading {number}", number=number) for number in range(1, int(times[0]) + 1))
    if reading.band.form in _TWO_READINGS:
        return _TWO_READINGS[reading.band.form]
    return tuple(label or fill("Reading") for label in reading.blanks)


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


def led(text: str) -> Markup:
    """The text with its lead in bold: what stands before the first colon, where that is short."""
    lead, colon, rest = text.partition(": ")
    if not colon or len(lead) > _LONGEST_LEAD:
        return escape(capital(text))
    return Markup("<b>{}:</b> {}").format(capital(lead), rest)


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
    if not title:
        return fill("Close from step {number}", number=outcome.closing_number)
    return fill("Close with “{title}”, from step {number}", title=title, number=outcome.closing_number)


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
        each = numbers([one.number for one in together])
        label = fill("Findings {numbers}", numbers=each) if len(together) > 1 else fill("Finding {number}", number=each)
        found[-1] = found[-1]._replace(label=label, outcomes=together)
    return tuple(found)


def wiring_of(card: Card, step: CardStep) -> Wiring | None:
    """The wiring around the reading of a step; the first of its steps is the one that draws it."""
    return next((each for each in card.wiring if step.number in each.steps), None)


def resting(card: Card) -> tuple[str, ...]:
    """What the card rests on, a line for each: documents, facts, what it supersedes, waivers, the change."""
    lines = [row((each.document, f"({each.edition})" if each.edition else "")) for each in card.references]
    lines += map(capital, card.rests_on)
    lines += [fill("Takes the place of: {document}", document=each) for each in card.supersedes]
    lines += [fill("Waived: {what}", what=each) for each in card.waivers]
    if card.changed_reason:
        said = fill(
            "Changed with revision {revision}: {reason} ({kind})",
            revision=card.revision,
            reason=card.changed_reason,
            kind=change_words(card.changed_kind),
        )
        lines.append(said)
    return tuple(lines)
