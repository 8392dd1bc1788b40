"""A verdict as SARIF 2.1.0 (OASIS Standard, 27 March 2020), for tools that collect findings of many checkers."""

import hashlib
import json
from collections.abc import Iterable, Sequence
from typing import Any
from urllib.parse import quote

from benchleaf import __version__
from benchleaf.base.finding import Finding, Severity
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.build.verdict import Verdict

_LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.ADVICE: "note"}
_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/os/schemas/sarif-schema-2.1.0.json"
_BASE = "WORKSPACE"
_PRINT = "benchleafFinding/v1"


def text(verdict: Verdict, rules: Sequence[Rule]) -> str:
    """The report as one SARIF log and a line end."""
    return json.dumps(data(verdict, rules), ensure_ascii=False, indent=2) + "\n"


def data(verdict: Verdict, rules: Sequence[Rule]) -> dict[str, Any]:
    """The report as plain data; every rule is listed, found or not, so that a reader knows what was looked for."""
    numbers = {rule.slug: number for number, rule in enumerate(rules)}
    seen: dict[str, int] = {}
    return {
        "$schema": _SCHEMA,
        "version": "2.1.0",
        "runs": [
            {
                "tool": {
                    "driver": {"name": "benchleaf", "version": __version__, "rules": [_rule(rule) for rule in rules]}
                },
                "columnKind": "unicodeCodePoints",
                "originalUriBaseIds": {_BASE: {"description": {"text": "The folder that holds procedures/."}}},
                "invocations": [{"executionSuccessful": True, "exitCode": 1 if verdict.failed() else 0}],
                "results": [_result(finding, verdict, numbers, seen) for finding in verdict.findings],
            }
        ],
    }


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.slug,
        "shortDescription": {"text": rule.why},
        "fullDescription": {"text": f"{rule.why} Source: {rule.source}."},
        "help": {"text": f"{rule.mend}\n\nNot so:\n{rule.bad}\n\nBut so:\n{rule.good}"},
        "defaultConfiguration": {"level": _LEVELS[rule.severity]},
        "properties": {"tags": [rule.family]},
    }


def _result(finding: Finding, verdict: Verdict, numbers: dict[str, int], seen: dict[str, int]) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": finding.slug,
        "level": _LEVELS[finding.severity],
        "message": {"text": f"{finding.sentence} {finding.mend}".rstrip()},
        "locations": [{"physicalLocation": _place(finding.span)}],
        "partialFingerprints": {_PRINT: _fingerprint(finding, verdict.lines.get(finding.span.file, ()), seen)},
    }
    if finding.slug in numbers:
        result["ruleIndex"] = numbers[finding.slug]
    if finding.related:
        result["relatedLocations"] = [
            {"id": number, "physicalLocation": _place(related.span), "message": {"text": related.sentence}}
            for number, related in enumerate(finding.related, 1)
        ]
    if finding.change is not None:
        replacement = {"deletedRegion": _region(finding.span), "insertedContent": {"text": finding.change}}
        change = {"artifactLocation": _file(finding.span), "replacements": [replacement]}
        result["fixes"] = [{"description": {"text": finding.mend or "Change it so."}, "artifactChanges": [change]}]
    return result


def _place(span: Span) -> dict[str, Any]:
    return {"artifactLocation": _file(span), "region": _region(span)}


def _file(span: Span) -> dict[str, str]:
    return {"uri": quote(span.file, errors="surrogateescape"), "uriBaseId": _BASE}


def _region(span: Span) -> dict[str, int]:
    return {
        "startLine": span.line,
        "startColumn": span.column,
        "endLine": span.end_line,
        "endColumn": span.end_column,
    }


def _fingerprint(finding: Finding, lines: Sequence[str], seen: dict[str, int]) -> str:
    """The same for the same finding after lines were added above it (SARIF 2.1.0, 3.27.17 and appendix B)."""
    line = lines[finding.span.line - 1].strip() if 1 <= finding.span.line <= len(lines) else ""
    key = _digest((finding.slug, finding.span.file, finding.sentence, line))
    seen[key] = seen.get(key, 0) + 1
    return _digest((key, str(seen[key])))


def _digest(parts: Iterable[str]) -> str:
    return hashlib.sha256("\0".join(parts).encode("utf-8", "surrogateescape")).hexdigest()[:32]
