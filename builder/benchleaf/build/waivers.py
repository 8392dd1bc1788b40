"""Waivers: which findings a writer answers for with a reason, and which waivers have lost what they waived."""

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding, Severity
from benchleaf.base.rules import Rule
from benchleaf.build import waivers_rules as rules
from benchleaf.model.nearest import nearest
from benchleaf.model.procedure import Waiver

_NEVER = "energy"


class Waived(NamedTuple):
    """The findings that remain, those about the waivers among them, and those that were waived."""

    findings: tuple[Finding, ...]
    waived: tuple[Finding, ...]


def apply(waivers: Iterable[Waiver], findings: Iterable[Finding], known: Mapping[str, Rule], today: str) -> Waived:
    """Take out the warnings and advice that a procedure waives; `known` are all rules by slug.

    Errors stay, and so does the whole family `energy`. `today` is a date as in ISO 8601 (2026-05-31).
    """
    waivers, findings = tuple(waivers), tuple(findings)
    asked = {waiver.check.name for waiver in waivers if not _expired(waiver, today)}
    waived = tuple(finding for finding in findings if finding.slug in asked and _waivable(finding))
    kept = tuple(finding for finding in findings if finding not in waived)
    return Waived((*kept, *_about(waivers, findings, known, today)), waived)


def _expired(waiver: Waiver, today: str) -> bool:
    return bool(waiver.until) and waiver.until < today


def _waivable(finding: Finding) -> bool:
    return finding.severity is not Severity.ERROR and not _of_energy(finding.slug)


def _of_energy(slug: str) -> bool:
    return slug.partition(".")[0] == _NEVER


def _about(
    waivers: Iterable[Waiver], findings: tuple[Finding, ...], known: Mapping[str, Rule], today: str
) -> Iterator[Finding]:
    found = {finding.slug: finding for finding in findings}
    for waiver in waivers:
        slug, span = waiver.check.name, waiver.check.span
        if slug not in known:
            near = nearest(slug, known)
            yield rules.UNKNOWN_CHECK.at(span, f"No check is called `{slug}`{near.clause}.", change=near.meant)
        elif _of_energy(slug):
            yield rules.NOT_WAIVABLE.at(span, f"`{slug}` is about energy that can hurt; nobody can waive it.")
        elif _expired(waiver, today):
            yield rules.EXPIRED_WAIVER.at(span, f"This waiver of `{slug}` held until {waiver.until}.")
        elif slug not in found:
            yield rules.IDLE_WAIVER.at(span, f"Nothing here gives rise to `{slug}` any more.")
        elif all(finding.severity is Severity.ERROR for finding in findings if finding.slug == slug):
            yield rules.NOT_WAIVABLE.at(span, f"`{slug}` is an error here; an error cannot be waived.")
