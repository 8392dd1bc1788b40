"""A fault matrix as a heat map in SVG: questions across, faults down, dark where an answer sets a fault apart."""

from collections import Counter
from collections.abc import Sequence
from html import escape

CELL, LABEL, HEAD = 18, 180, 150
# From this shade on a letter is read in white.
_DARK = 0.5
_SVG = 'xmlns="http://www.w3.org/2000/svg" font-family="Fira Sans, sans-serif"'


def heat_map(questions: Sequence[str], faults: Sequence[str], answers: Sequence[Sequence[str]]) -> str:
    """The picture; `answers` has a row for each fault. An unknown answer (empty text) leaves its cell blank.

    How dark a cell is follows from how few of the faults share its answer: all of them, and the question tells nothing.
    Each cell bears the first letter of its answer and says it in words, so that nothing hangs on the shade alone.
    """
    # The names of the last questions lean beyond their columns.
    width, height = LABEL + CELL * len(questions) + HEAD // 2, HEAD + CELL * len(faults) + 4
    parts = [
        f'<svg class="heat" {_SVG} viewBox="0 0 {width} {height}" font-size="11">',
        f"<title>Fault matrix: {len(faults)} faults, {len(questions)} questions</title>",
    ]
    for column, question in enumerate(questions):
        x = LABEL + CELL * column + 12
        turned = f"translate({x} {HEAD - 6}) rotate(-60)"
        parts.append(f'<text transform="{turned}" fill="currentColor">{escape(question[:26])}</text>')
    for line, fault in enumerate(faults):
        y = HEAD + CELL * line
        parts.append(
            f'<text x="{LABEL - 6}" y="{y + 13}" text-anchor="end" fill="currentColor">{escape(fault[:28])}</text>'
        )
    for column in range(len(questions)):
        shared = Counter(row[column] for row in answers if row[column])
        known = sum(shared.values())
        for line, row in enumerate(answers):
            if row[column]:
                told = escape(f"{faults[line]}: {row[column]}")
                parts.append(_cell(column, line, 1 - shared[row[column]] / known, told, escape(row[column][0])))
    return "".join([*parts, "</svg>"])


def _cell(column: int, line: int, shade: float, told: str, letter: str) -> str:
    x, y, size = LABEL + CELL * column, HEAD + CELL * line, CELL - 2
    dark = 0.06 + 0.9 * shade
    ink = "#fff" if dark > _DARK else "currentColor"
    return (
        f'<rect x="{x}" y="{y}" width="{size}" height="{size}" fill="currentColor" fill-opacity="{dark:.2f}">'
        f"<title>{told}</title></rect>"
        f'<text x="{x + size / 2:g}" y="{y + 12}" text-anchor="middle" fill="{ink}">{letter}</text>'
    )
