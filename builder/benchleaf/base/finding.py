"""A finding: what a check has to say, as a value; drawing it is the report's work."""

from collections.abc import Iterable
from enum import StrEnum
from typing import NamedTuple

from benchleaf.base.span import Span


class Severity(StrEnum):
    """How grave a finding is; only errors stop a build."""

    ERROR = "error"
    WARNING = "warning"
    ADVICE = "advice"


class Related(NamedTuple):
    """Another place that a reader of the finding will want to see."""

    span: Span
    sentence: str


class Finding(NamedTuple):
    """One thing that is wrong, where, and what would mend it.

    `sentence` stands alone and speaks the trade's language; `why` and `mend` are the help
    printed below the source line. `change` is a replacement text for exactly `span`.
    """

    slug: str
    severity: Severity
    span: Span
    sentence: str
    why: str = ""
    mend: str = ""
    related: tuple[Related, ...] = ()
    change: str | None = None

    @property
    def order(self) -> tuple[object, ...]:
        """Sort key: file, line, column, then slug and sentence, so that output never depends on chance."""
        s = self.span
        return (s.file, s.line, s.column, s.end_line, s.end_column, self.slug, self.sentence)


def in_order(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Findings without repeats, in file order."""
    return tuple(sorted(dict.fromkeys(findings), key=lambda finding: finding.order))


def stops(findings: Iterable[Finding]) -> bool:
    """Whether any of the findings is an error."""
    return any(finding.severity is Severity.ERROR for finding in findings)
