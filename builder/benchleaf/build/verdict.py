"""What a run found: all findings, where each procedure stands, and the lines that the findings point at."""

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import NamedTuple

from benchleaf.base.finding import Finding, Severity, in_order

READY = "ready"
STOPPED = "stopped"


class Standing(NamedTuple):
    """Where a procedure stands: ready, or stopped by findings of these slugs.

    `file` is its path in the workspace, `machine` the name of its machine's folder.
    """

    id: str
    machine: str
    file: str
    status: str
    by: tuple[str, ...] = ()

    @property
    def ready(self) -> bool:
        """Whether nothing stops it."""
        return self.status == READY


class Verdict(NamedTuple):
    """Findings in file order, standings in the order of their files, and the lines of the files read."""

    findings: tuple[Finding, ...]
    standings: tuple[Standing, ...]
    lines: Mapping[str, tuple[str, ...]] = MappingProxyType({})

    def count(self, severity: Severity) -> int:
        """How many findings are of this severity."""
        return sum(finding.severity is severity for finding in self.findings)

    @property
    def ready(self) -> int:
        """How many procedures nothing stops."""
        return sum(standing.ready for standing in self.standings)

    def failed(self, *, strict: bool = False) -> bool:
        """Whether there are errors; with `strict` warnings count as well."""
        return bool(self.count(Severity.ERROR) or (strict and self.count(Severity.WARNING)))

    def plus(self, errors: Mapping[str, Sequence[Finding]]) -> "Verdict":
        """This verdict with errors that came to light later, by the file of the procedure that they stop."""
        standings = tuple(
            one._replace(status=STOPPED, by=tuple(sorted({*one.by, *(error.slug for error in errors[one.file])})))
            if one.file in errors
            else one
            for one in self.standings
        )
        more = (error for found in errors.values() for error in found)
        return self._replace(findings=in_order((*self.findings, *more)), standings=standings)
