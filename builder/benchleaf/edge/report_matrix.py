"""A fault matrix as a table for people, and as data with its picture."""

from collections.abc import Iterable
from typing import Any

from benchleaf.build.matrices import NONE, picture
from benchleaf.model.matrix import FaultMatrix, Row

WIDEST = 9


def text(file: str, matrix: FaultMatrix) -> str:
    """Questions by number, then a row for each fault; a star marks what follows from the circuit."""
    faults = sum(1 for row in matrix.rows if row.fault)
    lines = [f"{file}: {faults} faults, {len(matrix.columns)} questions"]
    lines += [
        f"  {number:2}  {column.asks} ({column.minutes:g} min)" for number, column in enumerate(matrix.columns, 1)
    ]
    numbers = [str(number) for number in range(1, len(matrix.columns) + 1)]
    table = [["fault", "weight", *numbers, "ends in", "min"], *(_cells(row) for row in matrix.rows)]
    widths = [max(len(cells[place]) for cells in table) for place in range(len(table[0]))]
    padded = ("  ".join(cell.ljust(width) for cell, width in zip(cells, widths, strict=True)) for cells in table)
    lines += ["", *(f"  {line}".rstrip() for line in padded)]
    return "\n".join([*lines, "", *_words(matrix), ""])


def _cells(row: Row) -> list[str]:
    answers = [
        (answer[:WIDEST] or "-") + ("*" if computed and answer else "")
        for answer, computed in zip(row.answers, row.computed, strict=True)
    ]
    ends = row.ends or "-"
    return [row.fault or NONE, str(row.weight), *answers, ends if row.found or not row.fault else f"{ends} !",
            f"{row.minutes:.1f}"]  # fmt: skip


def _words(matrix: FaultMatrix) -> Iterable[str]:
    yield f"  found: {matrix.detected:.0%} of the faults by weight; told apart from all others: {matrix.isolated:.0%}"
    for group in matrix.groups:
        if len(group) > 1:
            yield f"  not told apart: {', '.join(fault or NONE for fault in group)}"
    yield f"  as written: {matrix.written:.1f} min on average; no order can take less than {matrix.bound:.1f} min"
    numbers = {column.station: str(number) for number, column in enumerate(matrix.columns, 1)}
    found = "best order" if matrix.exact else "best order found"
    yield f"  {found}: {matrix.best:.1f} min, by the questions {', '.join(numbers[key] for key in matrix.order)}"


def data(file: str, matrix: FaultMatrix) -> dict[str, Any]:
    """The matrix as plain data, with its picture as SVG."""
    return {
        "file": file,
        "questions": [column._asdict() for column in matrix.columns],
        "faults": [
            {
                **row._asdict(),
                "answers": list(row.answers),
                "shown": list(row.shown),
                "computed": list(row.computed),
                "way": [{"asks": asks, "answer": answer} for asks, answer in row.way],
            }
            for row in matrix.rows
        ],
        "groups": [list(group) for group in matrix.groups],
        "detected": matrix.detected,
        "isolated": matrix.isolated,
        "written": matrix.written,
        "best": matrix.best,
        "bound": matrix.bound,
        "exact": matrix.exact,
        "order": list(matrix.order),
        "picture": picture(matrix),
    }
