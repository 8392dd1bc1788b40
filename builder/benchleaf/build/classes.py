"""The passes, for one class of machines after the other; what is wrong is told once, with the classes it concerns."""

from collections.abc import Iterable, Sequence
from types import MappingProxyType
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.model import only
from benchleaf.model.machine import Machine
from benchleaf.model.variant import Variant, named_classes
from benchleaf.model.variants import MOST_CLASSES, variants
from benchleaf.passes.base import Case, Common, Facts
from benchleaf.passes.order import PASSES


class Held(NamedTuple):
    """A procedure for one class of machines, after all passes."""

    case: Case
    facts: Facts


def hold(written: Case) -> tuple[tuple[Held, ...], list[Finding]]:
    """All passes over a procedure, for each class of machines that it is for, and what they find.

    No class at all where there are none or too many: the findings say so.
    """
    found = [finding for each in PASSES if each.written for finding in each.written(written)]
    classes = variants(written.machine, written.procedure, written.blocks)
    held, by_class = [], []
    for variant in classes if len(classes) <= MOST_CLASSES else ():
        one, more = _held(_of_class(written, variant))
        held.append(one)
        by_class.append((variant, more))
    return tuple(held), [*found, *_told(by_class)]


def common(subject: Common) -> list[Finding]:
    """What is wrong with the shop and the blocks, or with a machine file, class by class where that matters."""
    found: list[Finding] = []
    machines = _machines(subject.machine)
    for each in PASSES:
        if each.common is None:
            continue
        if each.by_class and len(machines) > 1:
            by_class = [(variant, each.common(subject._replace(machine=machine))) for variant, machine in machines]
            found += _told(by_class)
        else:
            found += each.common(subject)
    return found


def _machines(machine: Machine | None) -> list[tuple[Variant, Machine]]:
    """A machine file for each of its classes; none where there is nothing to cut, or too much."""
    classes = variants(machine) if machine else ()
    if machine is None or not 1 < len(classes) <= MOST_CLASSES:
        return []
    return [(variant, only.machine(variant, machine)) for variant in classes]


def _of_class(written: Case, variant: Variant) -> Case:
    machine = only.machine(variant, written.machine)
    procedure = only.procedure(variant, written.procedure, written.machine)
    blocks = only.blocks(variant, written.blocks, written.machine)
    whole = machine is written.machine and procedure is written.procedure and blocks is written.blocks
    return written._replace(
        machine=machine,
        procedure=procedure,
        blocks=blocks,
        variant=variant,
        written=None if whole else written,
    )


def _held(case: Case) -> tuple[Held, list[Finding]]:
    facts = Facts()
    found: list[Finding] = []
    for each in PASSES:
        # Where an earlier pass found no ground to stand on, it has said so.
        if each.run is None or any(getattr(facts, need) is None for need in each.needs):
            continue
        facts, more = each.run(case, facts)
        found += more
        if "expected" in each.gives and facts.expected is not None and facts.expected.computed:
            # From here on, limits that the circuit gives are limits like any other.
            limits = MappingProxyType({**case.machine.limits, **facts.expected.computed})
            case = case._replace(machine=case.machine._replace(limits=limits))
    return Held(case, facts), found


def _told(by_class: Sequence[tuple[Variant, Iterable[Finding]]]) -> list[Finding]:
    """Each finding once: as it is where it arises for every class, else with the classes for which it does."""
    idle = {rule.slug for each in PASSES for rule in each.idle}
    first: dict[tuple[object, ...], Finding] = {}
    where: dict[tuple[object, ...], list[Variant]] = {}
    for variant, findings in by_class:
        for finding in findings:
            key: tuple[object, ...] = (finding.slug, finding.severity, finding.span, finding.sentence)
            first.setdefault(key, finding)
            classes = where.setdefault(key, [])
            if not classes or classes[-1] is not variant:
                classes.append(variant)
    told = []
    for key, finding in first.items():
        if len(where[key]) == len(by_class):
            told.append(finding)
        elif finding.slug not in idle:
            told.append(finding._replace(sentence=f"Only for {named_classes(where[key])}: {finding.sentence}"))
    return told
