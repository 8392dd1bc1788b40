"""How each condition, lock and loose end may stand before each step, on one path or another.

Each answer is a bit, and bits do not know each other, so one flow over the graph answers all of them exactly.
"""

from collections.abc import Iterable, Mapping
from functools import reduce
from operator import or_

from benchleaf.card.proof_facts import Sheet, Step
from benchleaf.card.proof_walk import Taken, explore, path_to

LOCK = "lock:"
REACHED = "reached:"


def by_card(end: str) -> str:
    """The name of the bit that tells of a loose end that the card itself has opened it, for a proof."""
    return "by card " + end.replace(":", " ")


class Standing:
    """May-bits before each step and end: `condition=value`, `lock:isolator`, and loose ends as `action:name`.

    Loose ends that the card itself has opened have a bit more, named by `by_card`.
    """

    def __init__(self, sheet: Sheet) -> None:
        """Flows from the first step over all ways, until nothing is added."""
        self.sheet = sheet
        self.bits: dict[str, int] = {}
        self._of: dict[str, int] = {}
        for name, condition in sheet.conditions.items():
            self._of[name] = sum(self._bit(f"{name}={value}") for value in condition.values)
        for step in sheet.steps:
            for end in (*step.opens, *step.closes, *(LOCK + name for name in step.locks)):
                self._bit(end)
            if step.role == "access":
                for end in step.opens:
                    self._bit(by_card(end))
        self._fixed = sum(self._of[name] for name, each in sheet.conditions.items() if each.follows or each.may_change)
        self._springs = self._gathered(
            {name: each.springs_back for name, each in sheet.conditions.items() if each.springs_back}
        )
        self._changes = [self._change(step) for step in sheet.steps]
        self.start = sum(self._of.values()) | self._bit(REACHED)
        self.may = self._flow()

    def _bit(self, name: str) -> int:
        return self.bits.setdefault(name, 1 << len(self.bits))

    def _gathered(self, settings: Mapping[str, str | None]) -> tuple[int, int]:
        """(bits to clear, bits to set) for some settings; None or an unknown value sets all that there are."""
        clear = put = 0
        for name, value in settings.items():
            every = self._of.get(name, 0)
            clear |= every
            put |= self.bits.get(f"{name}={value}", every)
        return clear, put

    def _change(self, step: Step) -> tuple[int, int]:
        clear, put = self._gathered(step.assigns)
        clear, put = clear & ~self._springs[0] | self._springs[0], put & ~self._springs[0] | self._springs[1]
        clear |= reduce(or_, (self.bits[end] for end in step.closes), 0)
        opened = reduce(or_, (self.bits[end] for end in step.opens), 0)
        locks = reduce(or_, (self.bits[LOCK + name] for name in step.locks), 0)
        for end in (*step.opens, *step.closes):
            ours = self.bits.get(by_card(end), 0)
            clear |= ours
            opened |= ours if step.role == "access" else 0
        if step.role == "lock":
            opened |= locks
        elif step.role == "unlock":
            clear |= locks
        return clear & ~self._fixed, put | opened

    def _passed(self, index: int, side: str, before: int) -> int:
        clear, put = self._changes[index]
        after = before & ~clear | put
        return after | before if side == "otherwise" else after

    def _flow(self) -> list[int]:
        may = [0] * self.sheet.total
        may[0] = self.start
        todo = [0]
        while todo:
            index = todo.pop()
            if index >= len(self.sheet.steps):
                continue
            for side, target, _ in self.sheet.steps[index].ways:
                if target >= 0:
                    after = may[target] | self._passed(index, side, may[index])
                    if after != may[target]:
                        may[target] = after
                        todo.append(target)
        return may

    def possible(self, index: int, name: str) -> bool:
        """Whether the bit of that name may be set before the step or end."""
        return bool(self.may[index] & self.bits.get(name, 0))

    def others(self, index: int, condition: str, value: str) -> tuple[str, ...]:
        """The other values that the condition may have there."""
        values = self.sheet.conditions[condition].values
        return tuple(each for each in values if each != value and self.possible(index, f"{condition}={each}"))

    def path(self, index: int, name: str) -> tuple[Taken, ...]:
        """The shortest path on which the bit of that name is set before the step or end."""
        bit = self.bits[name]

        def onward(at: int, before: bool) -> Iterable[tuple[str, int, bool]]:
            if at < len(self.sheet.steps):
                clear, put = self._changes[at]
                after = bool(put & bit) or (before and not clear & bit)
                for side, target, _ in self.sheet.steps[at].ways:
                    yield side, target, after
                    if side == "otherwise":
                        yield side, target, before

        return path_to(explore(self.sheet.total, [bool(self.start & bit)], onward), index, True)
