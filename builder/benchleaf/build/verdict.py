"""What a run found: all findings, where each procedure stands, and the lines that the findings point at."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding, Severity
from benchleaf.model.basics import EMPTY

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


class Verdict(NamedTuple):
    """Findings in file order, standings in the order of their files, and the lines of the files read."""

    findings: tuple[Finding, ...]
    standings: tuple[Standing, ...]
    lines: Mapping[str, tuple[str, ...]] = EMPTY

    def count(self, severity: Severity) -> int:
        """How many findings are of this severity."""
        return sum(finding.severity is severity for finding in self.findings)

    @property
    def ready(self) -> int:
        """How many procedures nothing stops."""
        return sum(standing.status == READY for standing in self.standings)

    def failed(self, *, strict: bool = False) -> bool:
        """Whether there are errors; with `strict` warnings count as well."""
        return bool(self.count(Severity.ERROR) or (strict and self.count(Severity.WARNING)))
