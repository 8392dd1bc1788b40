"""At which steps of a card findings belong, judged by the lines of the source."""

from collections.abc import Iterable, Mapping, Sequence

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.model.flow import Station

Lines = Mapping[str, Sequence[str]]
# The lists of findings by the key of a step.
Marks = Mapping[str, Sequence[Finding]]


def marks(stations: Iterable[Station], findings: Iterable[Finding], lines: Lines) -> Marks:
    """The findings of each step; what belongs to no step, such as the machine file or an outcome, is in none."""
    placed = list(stations)
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        for key in _keys(finding.span, placed, lines.get(finding.span.file, ())):
            found.setdefault(key, []).append(finding)
    return found


def _keys(span: Span, stations: Sequence[Station], lines: Sequence[str]) -> list[str]:
    """The steps to which a place belongs: several where a block is put in more than once."""
    before = [each for each in stations if each.step.span.file == span.file and each.step.span.line <= span.line]
    start = max((each.step.span.line for each in before), default=0)
    # A step ends where the next field of the file begins.
    if not start or any(line[:1].isalpha() for line in lines[start : span.line]):
        return []
    return list(dict.fromkeys(each.key for each in before if each.step.span.line == start))
