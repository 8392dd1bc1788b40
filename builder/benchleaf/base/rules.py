"""A rule: slug, severity and manual of one kind of finding."""

from typing import NamedTuple

from benchleaf.base.finding import Finding, Related, Severity
from benchleaf.base.span import Span

FAMILIES = (
    "source",
    "names",
    "quantity",
    "torque",
    "energy",
    "circuit",
    "logic",
    "language",
    "document",
    "approval",
)


class Rule(NamedTuple):
    """What `explain` prints about a slug, and the severity of its findings.

    `slug` is `family.name`, named by what is wrong. `why` is one or two sentences that also stand
    below each finding. `bad` and `good` are short YAML excerpts. `source` names standard and
    clause, or says `common practice, no source`. A slug is never used again for something else:
    removed ones stay listed with `removed` set to the version that dropped them.
    """

    slug: str
    severity: Severity
    why: str
    mend: str
    bad: str
    good: str
    source: str = "common practice, no source"
    since: str = "0.1"
    removed: str = ""

    @property
    def family(self) -> str:
        """The part of the slug before the point."""
        return self.slug.partition(".")[0]

    def at(
        self,
        span: Span,
        sentence: str,
        *,
        mend: str = "",
        related: tuple[Related, ...] = (),
        change: str | None = None,
        severity: Severity | None = None,
    ) -> Finding:
        """A finding of this rule; `mend` falls back to the rule's general cure."""
        return Finding(
            self.slug, severity or self.severity, span, sentence, self.why, mend or self.mend, related, change
        )
