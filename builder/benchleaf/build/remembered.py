"""Verdicts of earlier checks, told again where nothing that they rest on has changed; see DEVELOPERS.md.

A verdict rests on the tool, the day, the files that the workspace has, and the bytes of those that were read. Only
`check` asks here: what is built is always judged anew.
"""

import os
from collections.abc import Mapping
from types import MappingProxyType
from typing import Any

from benchleaf.base.finding import Finding, Related, Severity
from benchleaf.base.span import Span
from benchleaf.build import cache, fingerprint
from benchleaf.build.request import Request
from benchleaf.build.verdict import Standing, Verdict
from benchleaf.source.workspace import Survey, survey


def recall(request: Request) -> Verdict | None:
    """The verdict on the same request, if it still holds. Raises Unreadable."""
    entry = cache.read(request.root, _name(request))
    try:
        return _verdict(entry) if entry is not None and _holds(entry, request) else None
    except (LookupError, TypeError, ValueError, AttributeError, OSError):
        # Somebody else's file under a name of ours, or a file of the tool that cannot be read.
        return None


def _holds(entry: Mapping[str, Any], request: Request) -> bool:
    """Whether all is as it was: what most often changes is looked at first."""
    return (
        all(fingerprint.of_file(request.root / file) == digest for file, digest in entry["files"].items())
        and entry["today"] == request.today
        and entry["tool"] == fingerprint.of_tool()
        and entry["workspace"] == fingerprint.of_survey(survey(request.root))
    )


def keep(request: Request, surveyed: Survey, files: Mapping[str, str], verdict: Verdict) -> None:
    """Keep a verdict. `files` are the digests of all files that were read, by path from the root of the workspace.

    Where one has none, since its bytes were no text, nothing is kept.
    """
    try:
        tool = fingerprint.of_tool()
    except OSError:
        return
    if not all(files.values()):
        return
    entry = {
        "files": dict(files),
        "today": request.today,
        "tool": tool,
        "workspace": fingerprint.of_survey(surveyed),
        "findings": verdict.findings,
        "standings": verdict.standings,
        "lines": _pointed_at(verdict),
    }
    cache.write(request.root, _name(request), entry)


def _name(request: Request) -> str:
    paths = {os.path.relpath(path, request.root) for path in request.paths}
    return fingerprint.digest(["check", sorted(paths)])


def _pointed_at(verdict: Verdict) -> dict[str, dict[int, str]]:
    """The lines that findings stand on, by file and number."""
    lines: dict[str, dict[int, str]] = {}
    for finding in verdict.findings:
        file, number = finding.span.file, finding.span.line
        known = verdict.lines.get(file, ())
        if 1 <= number <= len(known):
            lines.setdefault(file, {})[number] = known[number - 1]
    return lines


def _verdict(entry: Mapping[str, Any]) -> Verdict:
    findings = tuple(finding_of(*each) for each in entry["findings"])
    standings = tuple(
        Standing(id_, machine, file, status, tuple(by)) for id_, machine, file, status, by in entry["standings"]
    )
    lines = {file: _lines(known) for file, known in entry["lines"].items()}
    return Verdict(findings, standings, MappingProxyType(lines))


def finding_of(*parts: Any) -> Finding:
    """A finding from what JSON makes of it."""
    slug, severity, span, sentence, why, mend, related, change = parts
    others = tuple(Related(Span(*place), told) for place, told in related)
    return Finding(slug, Severity(severity), Span(*span), sentence, why, mend, others, change)


def _lines(known: Mapping[str, str]) -> tuple[str, ...]:
    """A file's lines up to the last one that a finding stands on; nobody asks for the others."""
    last = max(map(int, known))
    return tuple(known.get(str(number), "") for number in range(1, last + 1))
