"""One planned step as the card shows it: command, reading, tightening, choices, reason."""

from benchleaf.base.said import fill, row
from benchleaf.base.said import number as number_text
from benchleaf.card.bands import value
from benchleaf.card.choices import Numbers, choices, edge_labels
from benchleaf.card.facts import current_by_leads, step_facts
from benchleaf.card.model import CardStep
from benchleaf.card.readings import proof_reading, reading, tightening
from benchleaf.card.records import Callout, Entry, Figure, Reason, Value, Warn
from benchleaf.card.subjects import spoken_tool, subject
from benchleaf.card.wording import has_word, word
from benchleaf.model.expected import Expected
from benchleaf.model.flow import Flow, outcome_of
from benchleaf.model.identifiers import each_value, filled, is_identifier
from benchleaf.model.plan import Inserted, Planned, Warned, Why
from benchleaf.model.procedure import Step
from benchleaf.passes.base import Case
from benchleaf.safety.naming import energy_name, listed, part_name, spoken
from benchleaf.safety.reach import nearness
from benchleaf.safety.sentences import say
from benchleaf.trade.numbers import printed


def card_step(case: Case, planned: Planned, flow: Flow, numbers: Numbers, expected: Expected | None = None) -> CardStep:
    """The card's step for a planned one, written or inserted."""
    if planned.inserted is not None:
        return _inserted(case, planned, planned.inserted, numbers)
    return _written(case, planned, flow, numbers, expected)


def _inserted(case: Case, planned: Planned, step: Inserted, numbers: Numbers) -> CardStep:
    return CardStep(
        key=planned.key,
        number=numbers.steps[planned.key],
        action=step.action,
        nearness=step.nearness,
        command=step.command,
        facts=step_facts(case, planned, None),
        role=step.role,
        inserted=reason(case, step.why, numbers),
        warnings=_warnings(case, planned.warnings, numbers),
        info=step.info,
        place=step.place,
        reading=proof_reading(case, step) if step.proof is not None else None,
        choices=choices(planned, numbers, {}),
        wait=Value(str(step.wait), "s", _clock(step.wait)) if step.wait else None,
    )


def _clock(seconds: int) -> str:
    return number_text(f"{seconds}\u202fs" if seconds <= 120 else f"{seconds // 60}\u202fmin")


def _written(case: Case, planned: Planned, flow: Flow, numbers: Numbers, expected: Expected | None) -> CardStep:
    station = flow.station(planned.station)
    step = station.step
    limit = case.machine.limits.get(step.object.text) if step.action.name == "measure" else None
    labels = edge_labels(case, limit)
    return CardStep(
        key=planned.key,
        number=numbers.steps[planned.key],
        action=step.action.name,
        nearness=nearness(case.machine, step),
        command=command(case, step),
        facts=step_facts(case, planned, station),
        warnings=_warnings(case, planned.warnings, numbers),
        info=_info(case, step),
        expect=step.expect.text if step.expect else "",
        part=_part(case, step),
        place=_place(case, step),
        who=step.who.name if step.who else "",
        live=_live(case, step),
        meanwhile=_meanwhile(case, step),
        reading=reading(case, flow, station, limit, numbers, expected) if limit is not None else None,
        tightening=tightening(case, step) if step.action.name == "tighten" else None,
        choices=choices(planned, numbers, labels),
        wait=value(step.for_.quantity, case.shop) if step.for_ else None,
        time=printed(step.time.quantity, case.shop.units) if step.time else "",
        hold=word("plain", "hold", who=step.hold.name) if step.hold else "",
        entries=_entries(step),
        figure=_figure(case, step),
        tools=tuple(spoken_tool(case, ref.name) for ref in step.uses),
        supplies=tuple(_supply(case, use.supply.name) for use in step.supplies),
        together=step.together == "next",
    )


def _info(case: Case, step: Step) -> str:
    """What the writer adds, and what a reading of current leaves to be done: leads in its sockets short out voltage."""
    found = [step.info.text] if step.info else []
    if current_by_leads(case.machine, step):
        found.append(say("leads-back"))
    return row(found)


def command(case: Case, step: Step) -> str:
    """The sentence of a step: the writer's own words, or one made from the name that it acts on."""
    text = step.object.text
    if " " in text or not (is_identifier(text) or "{" in text):
        return filled(text, {name: " / ".join(each_value(values)) for name, values in step.each.items()})
    action = step.action.name
    if not has_word("command", action):
        return text
    return word("command", action, name=subject(case, step))


def _supply(case: Case, key: str) -> str:
    return case.shop.supplies[key].name.text if key in case.shop.supplies else spoken(key)


def _part(case: Case, step: Step) -> str:
    machine = case.machine
    if step.at is not None:
        if step.at.name in machine.parts:
            return part_name(machine, step.at.name)
        place = machine.places.get(step.at.name)
        return place.name.text if place is not None and place.name else spoken(step.at.name)
    fastener = machine.fasteners.get(step.object.text)
    return part_name(machine, fastener.holds.name) if fastener is not None else ""


def _place(case: Case, step: Step) -> str:
    machine = case.machine
    key = step.at.name if step.at is not None else step.object.text
    part = machine.parts.get(key)
    declared = part or machine.conditions.get(key) or machine.things.get(key)
    return declared.place.text if declared is not None and declared.place else ""


def _live(case: Case, step: Step) -> str:
    if step.live is None:
        return ""
    names = listed([energy_name(case.machine, ref.name) for ref in step.live.energies])
    why = word("plain", f"why-{step.live.why.name}") if has_word("plain", f"why-{step.live.why.name}") else ""
    return word("plain", "live", energies=names, why=why or step.live.why.name, reason=step.live.reason.text)


def _meanwhile(case: Case, step: Step) -> str:
    meanwhile = step.while_
    if meanwhile is None:
        return ""
    key = ("while" if meanwhile.who else "while-nobody") + ("-for" if meanwhile.for_ else "")
    time = printed(meanwhile.for_.quantity, case.shop.units) if meanwhile.for_ else ""
    who = meanwhile.who.name if meanwhile.who else ""
    return word("plain", key, who=who, time=time, words=meanwhile.operate.text)


def _entries(step: Step) -> tuple[Entry, ...]:
    return tuple(Entry(key, spoken(key), text) for entry in step.entries for key, text in entry.items())


def _figure(case: Case, step: Step) -> Figure | None:
    if step.figure is None:
        return None
    asset = case.assets.get(step.figure.file.name)
    callouts = tuple(
        Callout(number, part_name(case.machine, words.text) if words.text in case.machine.parts else words.text)
        for number, words in step.figure.callouts.items()
    )
    return Figure(
        step.figure.file.name,
        asset.digest if asset is not None else "",
        step.figure.alt.text,
        callouts,
        step.figure.licence,
    )


def _warnings(case: Case, warned: tuple[Warned, ...], numbers: Numbers) -> tuple[Warn, ...]:
    return tuple(
        Warn(w.key, w.word, w.hazard, w.consequence, w.avoidance, w.signs, reason(case, w.why, numbers)) for w in warned
    )


def reason(case: Case, why: Why, numbers: Numbers) -> Reason:
    """Why something was put in, with the number of the step or finding that called for it."""
    outcome = outcome_of(why.station)
    step = numbers.steps.get(why.station, 0)
    found = numbers.outcomes.get(outcome, 0)
    where = fill("finding {number}", number=found) if outcome else fill("step {number}", number=step) if step else ""
    return Reason(
        why.rule,
        why.sentence,
        where,
        part_name(case.machine, why.part) if why.part else "",
        energy_name(case.machine, why.energy) if why.energy else "",
    )
