"""A verdict as text: each finding with its line, its cause and its cure; then one line that sums up."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple
from unicodedata import combining, east_asian_width

from benchleaf.base.finding import Finding, Severity
from benchleaf.base.span import Span
from benchleaf.build.verdict import READY, Verdict
from benchleaf.edge.console import visible

_CODES = {Severity.ERROR: "1;31", Severity.WARNING: "1;33", Severity.ADVICE: "1;36"}
_WIDEST = 110
_LEAD = 30


class Paint(NamedTuple):
    """Puts colour around text, or leaves it as it is."""

    on: bool

    def __call__(self, code: str, text: str) -> str:
        """The text, in the colour of an ANSI code (ECMA-48, 8.3.117)."""
        return f"\x1b[{code}m{text}\x1b[0m" if self.on and text else text


def text(verdict: Verdict, *, colour: bool = False) -> str:
    """All findings in file order, and the summing-up."""
    paint = Paint(colour)
    blocks = [_finding(finding, verdict.lines.get(finding.span.file, ()), paint) for finding in verdict.findings]
    return "\n".join([*blocks, closing(verdict) + "\n"])


def summary(verdict: Verdict, *, colour: bool = False) -> str:
    """Findings grouped by cause, then each procedure: ready, or stopped by what."""
    paint = Paint(colour)
    blocks = []
    if verdict.findings:
        blocks.append("by cause\n" + "".join(_causes(verdict.findings, paint)))
    if verdict.standings:
        blocks.append("by procedure\n" + "".join(_standings(verdict, paint)))
    return "\n".join([*blocks, closing(verdict) + "\n"])


def closing(verdict: Verdict) -> str:
    """One line: how many findings of which severity, how many procedures are ready."""
    counts = (
        _counted(verdict.count(Severity.ERROR), "error", "errors"),
        _counted(verdict.count(Severity.WARNING), "warning", "warnings"),
        _counted(verdict.count(Severity.ADVICE), "piece of advice", "pieces of advice"),
    )
    found = ", ".join(count for count in counts if not count.startswith("0 ")) or "nothing to mend"
    all_ = len(verdict.standings)
    if not all_:
        return f"{found}; no procedure."
    return f"{found}; {verdict.ready} of {_counted(all_, 'procedure', 'procedures')} ready."


def place(span: Span) -> str:
    """`file:line:column`."""
    return f"{visible(span.file)}:{span.line}:{span.column}"


def _counted(count: int, one: str, many: str) -> str:
    return f"{count} {one if count == 1 else many}"


def _finding(finding: Finding, lines: Sequence[str], paint: Paint) -> str:
    severity = paint(_CODES[finding.severity], finding.severity.value)
    slug = paint("2", f"[{finding.slug}]")
    told = [f"{paint('1', place(finding.span))}: {severity}: {visible(finding.sentence)} {slug}"]
    told += _excerpt(finding.span, lines, paint, _CODES[finding.severity])
    if finding.why:
        told.append(f"  why: {visible(finding.why)}")
    if finding.mend:
        told.append(f"  mend: {visible(finding.mend)}")
    if finding.change is not None:
        told.append(f"  change to: {visible(finding.change)}")
    told += [f"  see {place(related.span)}: {visible(related.sentence)}" for related in finding.related]
    return "\n".join(told) + "\n"


def _excerpt(span: Span, lines: Sequence[str], paint: Paint, code: str) -> list[str]:
    """The source line and a line of carets below the span; nothing where the line is not known."""
    if not 1 <= span.line <= len(lines):
        return []
    line = lines[span.line - 1]
    start = min(span.column - 1, len(line))
    stop = span.end_column - 1 if span.end_line == span.line else len(line.rstrip())
    stop = max(start + 1, min(stop, len(line)))
    if len(line) > _WIDEST:
        cut = max(0, min(start - _LEAD, len(line) - _WIDEST))
        end = cut + _WIDEST
        before, after = "… " if cut else "", " …" if end < len(line) else ""
        line = before + line[cut:end] + after
        start, stop = start - cut + len(before), min(stop, end) - cut + len(before)
    gap = " " * width(line[:start])
    carets = "^" * max(1, width(line[start:stop]))
    return [f"    {visible(line)}".rstrip(), f"    {gap}{paint(code, carets)}"]


def width(text: str) -> int:
    """Columns of a terminal that a text takes (Unicode Standard Annex 11: wide and fullwidth take two)."""
    if text.isascii():
        return len(visible(text))
    return sum(
        0 if combining(character) else 2 if east_asian_width(character) in "WF" else 1 for character in visible(text)
    )


def _causes(findings: Iterable[Finding], paint: Paint) -> list[str]:
    groups: dict[tuple[Severity, str], list[Finding]] = {}
    for finding in findings:
        groups.setdefault((finding.severity, finding.slug), []).append(finding)
    ranks = list(Severity)
    told = []
    for (severity, slug), group in sorted(groups.items(), key=lambda item: (ranks.index(item[0][0]), item[0][1])):
        told.append(f"  {paint(_CODES[severity], severity.value)} {slug}: {len(group)}\n")
        told += [f"    {place(finding.span)}: {visible(finding.sentence)}\n" for finding in group]
    return told


def _standings(verdict: Verdict, paint: Paint) -> list[str]:
    told = []
    for standing in verdict.standings:
        name = visible(f"{standing.machine}/{standing.id}")
        if standing.status == READY:
            told.append(f"  {name}: ready\n")
        else:
            told.append(f"  {name}: {paint(_CODES[Severity.ERROR], 'stopped')} by {', '.join(standing.by)}\n")
    return told
