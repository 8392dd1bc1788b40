"""From a case and the facts of the passes to the compiled card."""

from collections.abc import Mapping
from itertools import pairwise

from benchleaf import __version__
from benchleaf.base.said import ENGLISH, row
from benchleaf.card.choices import Numbers
from benchleaf.card.classes import lacking, machine_class
from benchleaf.card.facts import machine_facts
from benchleaf.card.lists import printed_stations, spares, supplies, tools
from benchleaf.card.model import (
    FORMAT,
    Card,
    CardOutcome,
    CardStep,
    Equipment,
    HazardLine,
    MachineHead,
    Person,
    ReferenceLine,
    Section,
)
from benchleaf.card.put_back import loose_words, put_back
from benchleaf.card.readings import provers_of, tested_by
from benchleaf.card.steps import card_step, reason
from benchleaf.card.wiring import wirings
from benchleaf.card.wording import word
from benchleaf.model.expected import Expected
from benchleaf.model.flow import Flow
from benchleaf.model.plan import Ending, Plan
from benchleaf.model.procedure import Procedure
from benchleaf.model.variant import options_text, serials_text
from benchleaf.passes.base import Case, Facts
from benchleaf.safety.naming import listed, part_name, spoken
from benchleaf.safety.sentences import say
from benchleaf.safety.weave import OWN_OUTCOMES
from benchleaf.trade.numbers import printed

BY_VOLTS = frozenset({"dc-voltage", "ac-voltage"})


def compile_card(case: Case, facts: Facts, state: str = "draft") -> Card:
    """The card of one procedure. ValueError when the passes gave no plan (the procedure has errors)."""
    if facts.flow is None or facts.plan is None:
        raise ValueError("a procedure without a plan has no card")
    plan, flow = facts.plan, facts.flow
    numbers = _numbers(case, plan)
    procedure, shop = case.procedure, case.shop
    complaint = procedure.complaint
    sections = _sections(case, plan, flow, numbers, facts.expected)
    return Card(
        format=FORMAT,
        tool=__version__,
        language=ENGLISH.language,
        id=procedure.id.name,
        title=procedure.title.text,
        kind=procedure.kind.name,
        revision=procedure.revision.name,
        state=state,
        issued=procedure.issued,
        changed_kind=procedure.changed.kind.name,
        changed_reason=procedure.changed.reason.text,
        shop=shop.name.text,
        paper=shop.paper,
        pause=printed(shop.pause.quantity, shop.units) if shop.pause else "",
        owner=procedure.owner.text if procedure.owner else "",
        machine=_machine(case),
        purpose=procedure.purpose.text,
        not_for=procedure.not_for.text if procedure.not_for else "",
        complaint=complaint.text.text if complaint else "",
        complaint_code=complaint.code if complaint else "",
        requires=tuple(words.text for words in procedure.requires),
        time=printed(procedure.time.quantity, shop.units) if procedure.time else "",
        review_by=procedure.review_by,
        after=_after(case, numbers),
        crew=_crew(procedure),
        detected=complaint.detected.text if complaint and complaint.detected else "",
        supersedes=tuple(words.text for words in procedure.supersedes),
        references=tuple(ReferenceLine(each.document.text, each.edition) for each in procedure.references),
        hazards=tuple(HazardLine(*line) for line in plan.hazards),
        equipment=tuple(Equipment(gear.sign, gear.name, reason(case, gear.why, numbers)) for gear in plan.gear),
        emergency=(*((shop.emergency.text,) if shop.emergency else ()), *plan.emergency),
        tools=tools(
            case,
            printed_stations(plan, flow),
            numbers.steps,
            _testing(case, plan, numbers, "prove"),
            _testing(case, plan, numbers, "polarity"),
            _put_in_place(plan, numbers),
        ),
        spares=spares(case),
        supplies=supplies(case, printed_stations(plan, flow)),
        sections=sections,
        outcomes=_outcomes(case, plan, numbers),
        rests_on=(*plan.rests_on, *lacking(case)),
        waivers=tuple(row((waiver.check.name, waiver.reason.text), ": ") for waiver in procedure.waive),
        notice=word("plain", "notice"),
        facts=machine_facts(case.machine, case.procedure),
        put_back=put_back(case, (step for section in sections for step in section.steps)),
        wiring=wirings(case, facts.expected, sections, plan),
    )


def _crew(procedure: Procedure) -> tuple[Person, ...]:
    needs = {role: row((each.text for each in words), "; ") for role, words in procedure.qualifications.items()}
    return tuple(Person(role, trade.name, needs.get(role, "")) for role, trade in procedure.crew.items())


def _numbers(case: Case, plan: Plan) -> Numbers:
    keys = [planned.key for section in plan.sections for planned in section.steps]
    ends = [ending.outcome for ending in plan.endings]
    order = [key for key in case.procedure.outcomes if key in ends] + [key for key in ends if key in OWN_OUTCOMES]
    return Numbers(
        {key: number for number, key in enumerate(keys, 1)},
        {key: number for number, key in enumerate(order, 1)},
        {key: _title(key) for key in order},
        dict(pairwise(keys)),
    )


def _title(key: str) -> str:
    return say(f"{key}-title") if key in OWN_OUTCOMES else spoken(key)


def _put_in_place(plan: Plan, numbers: Numbers) -> list[tuple[str, int]]:
    """The things that inserted steps place, with the step."""
    return [
        (planned.inserted.sets[0].condition.name, numbers.steps[planned.key])
        for section in plan.sections
        for planned in section.steps
        if planned.inserted is not None and planned.inserted.action == "place" and planned.inserted.sets
    ]


def _testing(case: Case, plan: Plan, numbers: Numbers, role: str) -> list[tuple[str, int]]:
    """The inserted steps of a role that test by voltage, with the key of their meter; empty for any."""
    return [
        (next((each.key for each in provers_of(case, planned.inserted)), ""), numbers.steps[planned.key])
        for section in plan.sections
        for planned in section.steps
        if planned.inserted is not None and planned.inserted.role == role and tested_by(planned.inserted) in BY_VOLTS
    ]


def _machine(case: Case) -> MachineHead:
    machine = case.machine
    return MachineHead(
        machine.id.name,
        machine.name.text,
        machine.maker.text,
        serials_text(case.variant, machine),
        printed(machine.mass.quantity, case.shop.units) if machine.mass else "",
        options_text(case.variant),
        machine_class(case.variant, machine),
    )


def _after(case: Case, numbers: Numbers) -> str:
    after = case.procedure.after
    if after is None:
        return ""
    if after.test is not None:
        return after.test.text
    return word("plain", "after-step", number=numbers.steps.get(after.step.name, 0)) if after.step else ""


def _sections(case: Case, plan: Plan, flow: Flow, numbers: Numbers, expected: Expected | None) -> tuple[Section, ...]:
    made = []
    for section in plan.sections:
        if section.steps:
            steps = tuple(card_step(case, each, flow, numbers, expected) for each in section.steps)
            made.append(Section(section.key, section.kind, section.title, steps, section.lead_in or _lead_in(steps)))
    return tuple(made)


def _lead_in(steps: tuple[CardStep, ...]) -> str:
    """Why a whole section was put in, where all its steps have one reason; empty otherwise."""
    reasons = {(each.inserted.step, each.inserted.sentence) if each.inserted else None for each in steps}
    only = next(iter(reasons)) if len(reasons) == 1 else None
    if only is None or not only[0]:
        return ""
    return word("plain", "lead-in", where=only[0], why=only[1])


def _outcomes(case: Case, plan: Plan, numbers: Numbers) -> tuple[CardOutcome, ...]:
    first = {section.key: section.steps[0].key for section in plan.sections if section.steps}
    ends = {ending.outcome: ending for ending in plan.endings}
    return tuple(_outcome(case, ends[key], first, numbers) for key in numbers.outcomes)


def _outcome(case: Case, ending: Ending, first: Mapping[str, str], numbers: Numbers) -> CardOutcome:
    key = ending.outcome
    number = numbers.outcomes[key]
    left = listed([loose_words(case, *end) for end in ending.loose])
    leave = row((say(f"leave-{ending.leave}"), say("leave-open", open=left) if left else ""))
    if key in OWN_OUTCOMES:
        return CardOutcome(key, number, _title(key), say(key), ending.leave, leave)
    outcome = case.procedure.outcomes[key]
    fault = case.machine.faults.get(outcome.fault.name) if outcome.fault else None
    following = outcome.then.procedure.name if outcome.then else ""
    other = case.procedures.get(following)
    return CardOutcome(
        key=key,
        number=number,
        title=_title(key),
        text=outcome.text.text if outcome.text else (fault.says if fault else ""),
        leave=ending.leave,
        leave_sentence=leave,
        fault=spoken(outcome.fault.name) if outcome.fault else "",
        part=part_name(case.machine, fault.part.name) if fault else "",
        procedure=following,
        procedure_title=other.title.text if other is not None else "",
        closing=ending.closing,
        closing_number=numbers.steps.get(first.get(ending.closing, ""), 0),
    )
