"""The logic of a card as a whole: its outcomes, and the cards it leads to."""

from collections.abc import Iterator, Mapping

from benchleaf.base.finding import Finding
from benchleaf.model.basics import Ref
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.procedure import Procedure
from benchleaf.passes import logic_rules as rules
from benchleaf.passes.base import Case


def outcomes_of(procedure: Procedure) -> Iterator[Finding]:
    """What is wrong with the ends of a procedure."""
    if procedure.kind.name == "fault-finding" and len(procedure.outcomes) < 2:
        sentence = "This fault finding has only one way to end."
        yield rules.SINGLE_FINDING.at(procedure.kind.span, sentence)
    for name, outcome in procedure.outcomes.items():
        if not outcome.text and outcome.fault is None and outcome.then is None:
            yield rules.OUTCOME_SAYS_NOTHING.at(outcome.span, f"The outcome `{name}` says nothing.")


def links_of(case: Case) -> Iterator[Finding]:
    """Cards that lead back to this one."""
    own = case.procedure.id.name
    for link in linked(case.procedure):
        way = _way_back(link.name, own, case.procedures)
        if way:
            names = " to ".join(f"`{name}`" for name in way)
            yield rules.CARDS_IN_A_CIRCLE.at(link.span, f"The cards lead in a circle: from `{own}` to {names}.")


def linked(procedure: Procedure) -> Iterator[Ref]:
    """The cards to which a procedure leads, and those that it requires."""
    for outcome in procedure.outcomes.values():
        if outcome.then:
            yield outcome.then.procedure
    yield from (Ref(*words) for words in procedure.requires if is_identifier(words.text))


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
        for link in linked(procedures[name]) if name in procedures else ():
            if link.name not in came:
                came[link.name] = name
                open_.append(link.name)
    return []
