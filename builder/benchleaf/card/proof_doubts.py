"""A doubt: what of a card can't be confirmed, where, and by which path."""

from collections.abc import Iterable
from typing import NamedTuple

from benchleaf.card.proof_facts import Sheet
from benchleaf.card.proof_walk import Taken

POINTS = {
    1: "no energy reaches a person",
    2: "the order of lockout and return",
    3: "live-dead-live, look and try",
    4: "each path ends as its outcome says",
    5: "no resistance is read on power",
    6: "no impossible demand",
    7: "the writer's steps, word for word",
    8: "no control isolates",
}


class Passed(NamedTuple):
    """A step on a path: its printed number and the answer taken there."""

    number: int
    side: str


class Doubt(NamedTuple):
    """Something that the proof can't confirm.

    `point` counts as in POINTS; `step`, `number` and `energy` are empty or 0 where none is meant. `path` is the
    shortest way to it, the step itself last with an empty answer.
    """

    point: int
    step: str
    number: int
    energy: str
    sentence: str
    path: tuple[Passed, ...] = ()

    @property
    def text(self) -> str:
        """The sentence with its path in words."""
        return f"{self.sentence} Path: {told(self.path)}." if len(self.path) > 1 else self.sentence


def told(path: tuple[Passed, ...]) -> str:
    """A path as text: runs of steps taken straight on are drawn together, other answers are named."""
    pieces: list[str] = []
    start = 0
    for at, passed in enumerate(path):
        last = at == len(path) - 1
        straight = passed.side in ("", "next", "inside") and not last and path[at + 1].number == passed.number + 1
        if not straight:
            first = path[start].number
            piece = str(passed.number) if first == passed.number else f"{first}–{passed.number}"
            pieces.append(piece if passed.side in ("", "next", "inside") else f"{piece} ({passed.side})")
            start = at + 1
    return ", ".join(pieces)


def passed(sheet: Sheet, path: Iterable[Taken]) -> tuple[Passed, ...]:
    """A path by printed numbers; ends have none and are left out."""
    return tuple(Passed(sheet.steps[at].number, side) for at, side in path if at < len(sheet.steps))


def at_step(sheet: Sheet, point: int, index: int, sentence: str, path: Iterable[Taken] = (), energy: str = "") -> Doubt:
    """A doubt about a step, or about an end when the index is one."""
    if index < len(sheet.steps):
        step = sheet.steps[index]
        return Doubt(point, step.key, step.number, energy, sentence, passed(sheet, path))
    return Doubt(point, "", 0, energy, sentence, passed(sheet, path))
