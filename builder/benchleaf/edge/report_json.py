"""A verdict as JSON: what `schema/findings.schema.json` describes."""

import json
from typing import Any

from benchleaf import __version__
from benchleaf.base.finding import Finding, Severity
from benchleaf.base.span import Span
from benchleaf.build.verdict import Verdict

FORMAT = "benchleaf/findings/1"


def text(verdict: Verdict) -> str:
    """The report as one JSON object and a line end."""
    return json.dumps(data(verdict), ensure_ascii=False, indent=2) + "\n"


def data(verdict: Verdict) -> dict[str, Any]:
    """The report as plain data."""
    return {
        "format": FORMAT,
        "tool": __version__,
        "summary": {
            "errors": verdict.count(Severity.ERROR),
            "warnings": verdict.count(Severity.WARNING),
            "advice": verdict.count(Severity.ADVICE),
            "ready": verdict.ready,
            "stopped": len(verdict.standings) - verdict.ready,
        },
        "findings": [_finding(finding) for finding in verdict.findings],
        "procedures": [
            {
                "id": standing.id,
                "machine": standing.machine,
                "status": standing.status,
                "by": list(standing.by),
            }
            for standing in verdict.standings
        ],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    return {
        "slug": finding.slug,
        "severity": finding.severity.value,
        **_place(finding.span),
        "sentence": finding.sentence,
        "why": finding.why,
        "mend": finding.mend,
        "change": finding.change,
        "related": [{**_place(related.span), "sentence": related.sentence} for related in finding.related],
    }


def _place(span: Span) -> dict[str, Any]:
    return {
        "file": span.file,
        "line": span.line,
        "column": span.column,
        "end_line": span.end_line,
        "end_column": span.end_column,
    }
