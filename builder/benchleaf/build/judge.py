"""Stage 4: every pass over every procedure that is wanted, what is waived taken out, and who is stopped by what."""

from collections.abc import Iterable, Mapping
from functools import partial
from types import MappingProxyType
from typing import NamedTuple

from benchleaf.base.finding import Finding, Severity, in_order, stops
from benchleaf.base.span import Span
from benchleaf.build import classes, parts, translations, waivers
from benchleaf.build.classes import Held
from benchleaf.build.gather import Key, Loaded, Shelf, used_blocks
from benchleaf.build.parts import Parts
from benchleaf.build.request import Tell
from benchleaf.build.rules import all_rules
from benchleaf.build.verdict import READY, STOPPED, Standing, Verdict
from benchleaf.model.basics import Ref, Words
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Block, Change, Procedure
from benchleaf.passes.base import Case, Common, Facts


class Judged(NamedTuple):
    """A wanted procedure after all passes.

    `classes` are those of the machines that it is for; there is none where it or what it stands on has no meaning yet,
    or where its findings were known from before.
    """

    key: Key
    standing: Standing
    findings: tuple[Finding, ...]
    classes: tuple[Held, ...] = ()

    @property
    def case(self) -> Case | None:
        """The case for the first class of machines; None without one."""
        return self.classes[0].case if self.classes else None

    @property
    def facts(self) -> Facts:
        """The facts for the first class of machines; none without one."""
        return self.classes[0].facts if self.classes else Facts()


class Judgement(NamedTuple):
    """All wanted procedures in the order of their files, and the findings that belong to none of them alone."""

    judged: tuple[Judged, ...]
    common: tuple[Finding, ...]


def judge(shelf: Shelf, tell: Tell, known: Parts | None = None) -> Judgement:
    """Run all passes, except where it is `known` what they find."""
    known = known or Parts()
    common = _common(shelf, known)
    by_file: dict[str, list[Finding]] = {}
    for finding in common:
        by_file.setdefault(finding.span.file, []).append(finding)
    judged = []
    for number, key in enumerate(shelf.judged):
        tell("check", "/".join(key), number, len(shelf.judged))
        try:
            judged.append(_judge(key, shelf, by_file, known))
        except Exception as error:
            error.add_note(f"while checking {shelf.procedures[key].file}")
            raise
    return Judgement(tuple(judged), common)


def verdict(shelf: Shelf, judgement: Judgement) -> Verdict:
    """What is to be told: everything about what is asked for, and whatever stops it."""
    judged = [one for one in judgement.judged if shelf.is_asked(one.standing.file)]
    # What a procedure's own file gave rise to is among its findings, as far as it is not waived.
    told = {one.standing.file for one in judgement.judged}
    found = [finding for one in judged for finding in one.findings]
    for finding in judgement.common:
        if finding.span.file not in told and shelf.is_asked(finding.span.file):
            found.append(finding)
    lines = {loaded.file: loaded.lines for loaded in shelf.loaded()}
    return Verdict(in_order(found), tuple(one.standing for one in judged), MappingProxyType(lines))


def _common(shelf: Shelf, known: Parts) -> tuple[Finding, ...]:
    """What is wrong with the files, the shop, the blocks and the machines, whoever uses them."""
    found = [*shelf.survey.findings]
    for loaded in shelf.loaded():
        found += loaded.findings
    shop = shelf.shop.record
    if shop is not None:
        blocks = _records(shelf.blocks)
        machines = tuple(each.record for each in shelf.machines.values() if each.record and shelf.complete)
        found += translations.of_shop(shop)
        whole = Common(shop, None, blocks, _all_of(shelf, None), machines=machines)
        subjects: list[tuple[str | None, Common]] = [(None, whole)]
        for folder, machine in shelf.machines.items():
            if machine.record is not None:
                assets = shelf.album.assets(folder, _shown_by(machine.record))
                subjects.append((folder, Common(shop, machine.record, blocks, _all_of(shelf, folder), assets)))
        for name, subject in subjects:
            rests_on = parts.of_common(name, shelf, subject.assets)
            found += known.findings(rests_on, partial(classes.common, subject))
    return in_order(found)


def _all_of(shelf: Shelf, folder: str | None) -> tuple[Procedure, ...]:
    """All procedures, or all of a machine; none unless each of them is known: a use that is not seen is still a use."""
    if not shelf.complete:
        return ()
    records = [each.record for key, each in shelf.procedures.items() if folder in (None, key[0])]
    return tuple(records) if all(records) else ()


def _judge(key: Key, shelf: Shelf, by_file: Mapping[str, list[Finding]], known: Parts) -> Judged:
    loaded = shelf.procedures[key]
    machine = shelf.machines.get(key[0])
    blocks = used_blocks(loaded.record.steps if loaded.record else (), shelf.blocks)
    below = [shelf.shop, *([machine] if machine else []), *(shelf.blocks[name] for name in blocks)]
    # A folder without a machine file is told under the folder's name.
    files = [loaded.file.rpartition("/")[0], *(each.file for each in below)]
    stopping = [one for file in files for one in by_file.get(file, ()) if one.severity is Severity.ERROR]
    own = by_file.get(loaded.file, [])
    if machine is None or any(each.record is None for each in (loaded, *below)):
        return _judged(key, loaded, [*stopping, *own])
    held, more = _held(key, shelf, loaded, known)
    more += translations.of_procedure(
        loaded.record,
        _used(blocks, shelf),
        held,
        shelf.translations.get(key, ()),
        ready=not stops((*stopping, *own, *more)),
    )
    rules = {rule.slug: rule for rule in all_rules()} if loaded.record.waive else {}
    rest = waivers.apply(loaded.record.waive, dict.fromkeys((*own, *more)), rules, shelf.today).findings
    return _judged(key, loaded, [*stopping, *rest])._replace(classes=held)


def _held(key: Key, shelf: Shelf, loaded: Loaded, known: Parts) -> tuple[tuple[Held, ...], list[Finding]]:
    """What all passes make of a procedure; no classes where only their findings are known, and nothing else is due."""
    # A card is compiled from the facts of the passes, to hold its translations against it.
    if not known.remembers or key in shelf.translations:
        return classes.hold(_case(key, shelf, loaded))
    near = parts.siblings(key, shelf)
    case = _case(key, shelf, loaded)
    # Of those to which nothing leads, the passes are shown no more than the findings are said to rest on.
    case = case._replace(procedures=_siblings(key, shelf, near | {key}))
    rests_on = parts.of_procedure(key, shelf, near, case.assets)
    return (), [*known.findings(rests_on, lambda: classes.hold(case)[1])]


def _judged(key: Key, loaded: Loaded, found: Iterable[Finding]) -> Judged:
    found = in_order(found)
    by = tuple(sorted({finding.slug for finding in found if finding.severity is Severity.ERROR}))
    return Judged(key, Standing(key[1], key[0], loaded.file, STOPPED if by else READY, by), found)


def _case(key: Key, shelf: Shelf, loaded: Loaded) -> Case:
    return Case(
        shelf.shop.record,
        shelf.machines[key[0]].record,
        loaded.record,
        _records(shelf.blocks),
        _siblings(key, shelf, frozenset(shelf.procedures)),
        shelf.album.assets(key[0], shown(loaded.record, shelf)),
    )


def shown(procedure: Procedure, shelf: Shelf) -> frozenset[str]:
    """The pictures that a procedure shows, those of its blocks included, by their path from the machine's folder."""
    steps = [*procedure.steps]
    for name in used_blocks(procedure.steps, shelf.blocks):
        record = shelf.blocks[name].record
        steps += record.steps if record else ()
    return frozenset(step.figure.file.name for step in steps if step.figure)


def _shown_by(machine: Machine) -> tuple[str, ...]:
    return (machine.figure.file.name,) if machine.figure else ()


def _siblings(key: Key, shelf: Shelf, known: frozenset[Key]) -> Mapping[str, Procedure]:
    """All procedures by id; where two machines have one of the same id, the own machine's counts.

    Those that are not `known` are there, and nothing else is known of them.
    """
    others = sorted(shelf.procedures, key=lambda other: other[0] == key[0])
    records = {other: shelf.procedures[other].record if other in known else None for other in others}
    return MappingProxyType({other[1]: record or _unknown(other, shelf) for other, record in records.items()})


def _unknown(key: Key, shelf: Shelf) -> Procedure:
    """Stands for a procedure whose file has errors: it exists, and nothing is known of it."""
    folder, name = key
    span = Span(shelf.procedures[key].file)
    change = Change(span, Ref(""), Words(""))
    return Procedure(
        span,
        "",
        Ref(name),
        Words(name),
        Ref(""),
        Ref(folder),
        Ref(""),
        change,
        Words(""),
        (),
        MappingProxyType({}),
        MappingProxyType({}),
    )


def _used(names: Iterable[str], shelf: Shelf) -> list[Block]:
    return [shelf.blocks[name].record for name in names if shelf.blocks[name].record]


def _records(loaded: Mapping[str, Loaded]) -> Mapping[str, Block]:
    return MappingProxyType({name: each.record for name, each in loaded.items() if each.record})
