"""For which machines something is: ranges that hold machines, steps that are for some, cards that go on for all."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import chain, combinations

from benchleaf.base.finding import Finding, Related
from benchleaf.model.applies import Applies, Serials
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.variant import Variant, holds, holds_for_all
from benchleaf.model.variants import MOST_CLASSES, variants
from benchleaf.passes import logic_rules as rules
from benchleaf.passes.base import Case
from benchleaf.passes.logic_cards import linked


def of_procedure(case: Case) -> Iterator[Finding]:
    """Ranges and options of a procedure, and the classes that come of them."""
    procedure, machine = case.procedure, case.machine
    own = (procedure.applies_to, *(step.applies_to for step in procedure.steps))
    wrong = list(chain.from_iterable(_applies(each, machine) for each in own))
    yield from wrong
    classes = variants(machine, procedure, case.blocks)
    if len(classes) > MOST_CLASSES:
        sentence = f"This procedure differs between more than {MOST_CLASSES} classes of machines."
        yield rules.TOO_MANY_CLASSES.at(procedure.id.span, sentence)
    elif not wrong:
        yield from _for_nobody(procedure, machine, classes)


def of_machine(machine: Machine) -> Iterator[Finding]:
    """Ranges of a machine file."""
    tables: Iterable[Iterable[Applies | None]] = (
        (condition.applies_to for condition in machine.conditions.values()),
        (energy.applies_to for energy in machine.energy.values()),
        (part.applies_to for part in machine.parts.values()),
        (limit.applies_to for limit in machine.limits.values()),
        (fastener.applies_to for fastener in machine.fasteners.values()),
    )
    yield from _serials((machine.serials,), None)
    for applies in chain.from_iterable(tables):
        yield from _applies(applies, machine)
    if len(variants(machine)) > MOST_CLASSES:
        sentence = f"Conditions and energies differ between more than {MOST_CLASSES} classes of these machines."
        mend = "Cut the machines at fewer serial numbers, or describe some of them in a machine file of their own."
        yield rules.TOO_MANY_CLASSES.at(machine.serials.span, sentence, mend=mend)


def of_blocks(blocks: Mapping[str, Block]) -> Iterator[Finding]:
    """Ranges in blocks, whichever machine they are put in for."""
    steps = chain.from_iterable(block.steps for block in blocks.values())
    return chain.from_iterable(_serials(step.applies_to.serials, None) for step in steps if step.applies_to)


def of_links(case: Case) -> Iterator[Finding]:
    """Cards to which this one leads that are not for all of these machines."""
    for link in linked(case.procedure):
        other = case.procedures.get(link.name)
        if other is None or other.applies_to is None or other.machine.name != case.machine.id.name:
            continue
        machine = case.written.machine if case.written else case.machine
        if not holds_for_all(other.applies_to, case.variant, machine):
            related = (Related(other.applies_to.span, "It says here for which it is."),)
            sentence = f"The card `{link}` is not for all of these machines."
            yield rules.NEXT_CARD_FOR_OTHERS.at(link.span, sentence, related=related)


def _for_nobody(procedure: Procedure, machine: Machine, classes: tuple[Variant, ...]) -> Iterator[Finding]:
    """Steps that are for none of the machines that the procedure is for."""
    for step in procedure.steps:
        if step.applies_to and not any(holds(step.applies_to, each, machine) for each in classes):
            yield rules.APPLIES_TO_NONE.at(step.applies_to.span, "No machine that this procedure is for is meant here.")


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
