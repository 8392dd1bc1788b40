"""The logic of a card as a whole: its outcomes, the cards it leads to, and the machines it is for."""

from collections.abc import Iterator, Mapping
from itertools import chain, combinations

from benchleaf.base.finding import Finding, Related
from benchleaf.model.applies import Applies, Serials
from benchleaf.model.basics import Ref
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure
from benchleaf.passes import logic_rules as rules
from benchleaf.passes.base import Case


def of_procedure(case: Case) -> Iterator[Finding]:
    """All findings of this room about a procedure."""
    procedure = case.procedure
    steps = (step.applies_to for step in procedure.steps)
    return chain(
        _outcomes(procedure),
        _circles(procedure, case.procedures),
        chain.from_iterable(_applies(each, case.machine) for each in (procedure.applies_to, *steps)),
    )


def of_machine(machine: Machine) -> Iterator[Finding]:
    """All findings of this room about a machine file."""
    applications = chain(
        (condition.applies_to for condition in machine.conditions.values()),
        (energy.applies_to for energy in machine.energy.values()),
        (part.applies_to for part in machine.parts.values()),
        (limit.applies_to for limit in machine.limits.values()),
        (fastener.applies_to for fastener in machine.fasteners.values()),
    )
    yield from _serials((machine.serials,), None)
    for applies in applications:
        yield from _applies(applies, machine)


def _outcomes(procedure: Procedure) -> Iterator[Finding]:
    if procedure.kind.name == "fault-finding" and len(procedure.outcomes) < 2:
        sentence = "This fault finding has only one way to end."
        yield rules.SINGLE_FINDING.at(procedure.kind.span, sentence)
    for name, outcome in procedure.outcomes.items():
        if not outcome.text and outcome.fault is None and outcome.then is None:
            yield rules.OUTCOME_SAYS_NOTHING.at(outcome.span, f"The outcome `{name}` says nothing.")


def _links(procedure: Procedure) -> Iterator[Ref]:
    for outcome in procedure.outcomes.values():
        if outcome.then:
            yield outcome.then.procedure
    yield from (Ref(*words) for words in procedure.requires if is_identifier(words.text))


def _circles(procedure: Procedure, procedures: Mapping[str, Procedure]) -> Iterator[Finding]:
    own = procedure.id.name
    for link in _links(procedure):
        way = _way_back(link.name, own, procedures)
        if way:
            names = " to ".join(f"`{name}`" for name in way)
            yield rules.CARDS_IN_A_CIRCLE.at(link.span, f"The cards lead in a circle: from `{own}` to {names}.")


def _way_back(start: str, own: str, procedures: Mapping[str, Procedure]) -> list[str]:
    """The shortest way from one card to the other along their links; empty if there is none."""
    came: dict[str, str] = {start: ""}
    open_ = [start]
    for name in open_:
        if name == own:
            way = [name]
            while came[way[-1]]:
                way.append(came[way[-1]])
            return way[::-1]
        for link in _links(procedures[name]) if name in procedures else ():
            if link.name not in came:
                came[link.name] = name
                open_.append(link.name)
    return []


def _applies(applies: Applies | None, machine: Machine) -> Iterator[Finding]:
    if applies:
        yield from _serials(applies.serials, machine.serials)


def _serials(ranges: tuple[Serials, ...], of: Serials | None) -> Iterator[Finding]:
    for each in ranges:
        if each.from_ is not None and each.to is not None and each.from_ > each.to:
            yield rules.EMPTY_SERIALS.at(each.span, f"No serial number lies from {each.from_} to {each.to}.")
        elif of and each.prefix and each.prefix != of.prefix:
            sentence = f"The serial numbers of this machine begin with `{of.prefix}`, not with `{each.prefix}`."
            yield rules.EMPTY_SERIALS.at(each.span, sentence)
        elif of and not _overlap(each, of):
            sentence = f"The serial numbers of this machine go {_spoken(of)}; none of them lies here."
            yield rules.EMPTY_SERIALS.at(each.span, sentence, related=(Related(of.span, "They stand here."),))
    for first, second in combinations(ranges, 2):
        if first.prefix == second.prefix and _overlap(first, second):
            related = (Related(first.span, "The other range stands here."),)
            sentence = f"The ranges {_spoken(first)} and {_spoken(second)} overlap."
            yield rules.OVERLAPPING_SERIALS.at(second.span, sentence, related=related)


def _overlap(one: Serials, other: Serials) -> bool:
    low = max(each.from_ or 0 for each in (one, other))
    highs = [each.to for each in (one, other) if each.to is not None]
    return not highs or low <= min(highs)


def _spoken(serials: Serials) -> str:
    low = f"from {serials.from_}" if serials.from_ is not None else "from the first"
    return f"{low} to {serials.to}" if serials.to is not None else f"{low} on"
