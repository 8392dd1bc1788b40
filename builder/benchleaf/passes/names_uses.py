"""Every name that a record refers to, with the kinds it may be: the one list that resolving and counting share."""

from collections.abc import Iterable, Iterator
from typing import NamedTuple

from benchleaf.model.applies import Applies
from benchleaf.model.basics import Ref, State, When, Words
from benchleaf.model.identifiers import is_identifier, spellings
from benchleaf.model.procedure import FigureUse, Leads, Procedure, Step, SupplyUse
from benchleaf.model.shop import Shop


class Use(NamedTuple):
    """A name and the kinds that it may be of. A value of a condition or option names that as `of`."""

    kinds: tuple[str, ...]
    ref: Ref
    of: str = ""


CONDITION, PART, POINT, STEP = ("condition",), ("part",), ("point",), ("step",)
WHERE = ("part", "place")
GEAR = ("tool", "meter", "wrench", "shop-thing", "thing")
VALUE, OPTION_VALUE = ("value",), ("option-value",)

# What an action's value names if it is a name; an indicator only where it is one.
OBJECT: dict[str, tuple[str, ...]] = {
    "measure": ("limit",),
    **dict.fromkeys(("open", "close"), ("cover",)),
    **dict.fromkeys(("disconnect", "connect"), ("isolator", "part")),
    **dict.fromkeys(("swap", "clean", "adjust", "grease", "drain", "fill", "bleed", "feel", "turn", "lift"), PART),
    **dict.fromkeys(("remove", "fit"), ("part", "condition")),
    **dict.fromkeys(("loosen", "tighten"), ("fastener",)),
    **dict.fromkeys(("place", "take"), ("thing",)),
    **dict.fromkeys(("look", "read", "watch"), ("indicator",)),
}


def names(kinds: tuple[str, ...], refs: Iterable[Ref]) -> Iterator[Use]:
    """A use for each reference."""
    return (Use(kinds, ref) for ref in refs)


def maybe(kinds: tuple[str, ...], ref: Ref | None) -> Iterator[Use]:
    """A use if there is a reference."""
    if ref:
        yield Use(kinds, ref)


def of_state(state: State, kinds: tuple[str, ...] = CONDITION, values: tuple[str, ...] = VALUE) -> Iterator[Use]:
    """Conditions and their values in a map."""
    for setting in state:
        yield Use(kinds, setting.condition)
        yield Use(values, setting.value, setting.condition.name)


def of_when(when: When, kinds: tuple[str, ...] = CONDITION, values: tuple[str, ...] = VALUE) -> Iterator[Use]:
    """Conditions and their values in a `when`."""
    for case in when:
        for test in case:
            yield Use(kinds, test.condition)
            for value in test.values:
                yield Use(values, value, test.condition.name)


def of_applies(applies: Applies | None) -> Iterator[Use]:
    """Options and their values."""
    return of_when(applies.options, ("option",), OPTION_VALUE) if applies else iter(())


def of_leads(leads: Iterable[Leads | None]) -> Iterator[Use]:
    """Outcomes that answers lead to; steps are resolved where the blocks are put in."""
    for lead in leads:
        if lead and lead.found:
            yield Use(("outcome",), lead.found)


def leads_of(step: Step) -> tuple[Leads, ...]:
    """Every written answer of a step."""
    single = (
        step.below,
        step.above,
        step.outside,
        step.inside,
        step.reversed,
        step.unsteady,
        step.too_close,
        step.cant_reach,
        step.otherwise,
        step.then,
    )
    return (*(lead for lead in single if lead), *step.answers.values())


def _of_supplies(uses: Iterable[SupplyUse]) -> Iterator[Use]:
    return (Use(("supply",), use.supply) for use in uses)


def _of_figure(figure: FigureUse | None) -> Iterator[Use]:
    for words in figure.callouts.values() if figure else ():
        if "-" in words.text and is_identifier(words.text):
            yield Use(PART, Ref(*words))


def _of_object(action: str, words: Words) -> Iterator[Use]:
    kinds = OBJECT.get(action)
    if kinds and is_identifier(words.text):
        yield Use(kinds, Ref(*words))


def of_step(step: Step) -> Iterator[Use]:
    """What a step refers to, with the blanks of `each` filled in every way."""
    for use in _of_step(step):
        if "{" not in use.ref.name:
            yield use
            continue
        for name in spellings(use.ref.name, step.each):
            if "{" not in name:
                yield use._replace(ref=use.ref._replace(name=name))


def _of_step(step: Step) -> Iterator[Use]:
    yield from _of_object(step.action.name, step.object)
    yield from maybe(WHERE, step.at)
    yield from names(POINT, step.between)
    yield from maybe(("meter",), step.meter)
    yield from maybe(("wrench",), step.wrench)
    yield from names(GEAR, step.uses)
    yield from _of_supplies(step.supplies)
    yield from of_state(step.sets)
    yield from of_leads(leads_of(step))
    yield from maybe(("role",), step.who)
    yield from maybe(("role",), step.hold)
    yield from names(("part", "condition"), step.tests)
    if step.live:
        yield from names(("energy",), step.live.energies)
    if step.while_:
        yield from maybe(("role",), step.while_.who)
        yield from of_state(step.while_.sets)
    yield from _of_figure(step.figure)


def of_procedure(procedure: Procedure) -> Iterator[Use]:
    """What a procedure refers to outside its steps."""
    yield from names(STEP, procedure.changed.steps)
    yield from _of_supplies(procedure.supplies or ())
    yield from (Use(PART, spare.part) for spare in procedure.spares or ())
    yield from of_state(procedure.initial)
    yield from of_state(procedure.final)
    yield from names(("isolator",), procedure.locked)
    yield from names(("trade",), procedure.crew.values())
    for key, words in procedure.qualifications.items():
        yield from (Use(("role",), Ref(key, text.span)) for text in words[:1])
    if procedure.after:
        yield from maybe(STEP, procedure.after.step)
    for outcome in procedure.outcomes.values():
        yield from maybe(("fault",), outcome.fault)
        if outcome.then:
            yield Use(("procedure",), outcome.then.procedure)
    yield from (Use(("procedure",), Ref(*words)) for words in procedure.requires if is_identifier(words.text))


def of_shop(shop: Shop) -> Iterator[Use]:
    """What a shop refers to within itself."""
    for tool in shop.tools.values():
        yield from names(("tool",), tool.instead)
    if shop.proving_unit:
        yield from maybe(("meter",), shop.proving_unit.meter)
