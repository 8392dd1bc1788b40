"""The proof's own loop: which states can stand before each step, found in order of length of the path."""

from collections import deque
from collections.abc import Callable, Hashable, Iterable
from typing import NamedTuple, TypeVar

LIMIT = 4096

State = TypeVar("State", bound=Hashable)
Came = tuple[int, State, str] | None
Seen = list[dict[State, Came[State]]]
Onward = Iterable[tuple[str, int, State]]


class Tangled(Exception):
    """More ways to stand than anyone can prove."""


class Taken(NamedTuple):
    """One step of a path and the answer taken there."""

    at: int
    side: str


def explore(count: int, starts: Iterable[State], onward: Callable[[int, State], Onward[State]]) -> Seen[State]:
    """For each step or end the states that can stand before it, each with where it came from, nearest first.

    `onward` gives (side, target, state) for each way out; targets below 0 are left alone. Raises Tangled over LIMIT.
    """
    seen: Seen[State] = [{} for _ in range(count)]
    queue: deque[tuple[int, State]] = deque()
    if count:
        seen[0] = dict.fromkeys(starts)
        queue.extend((0, state) for state in seen[0])
    while queue:
        index, state = queue.popleft()
        for side, target, after in onward(index, state):
            if target >= 0 and after not in seen[target]:
                seen[target][after] = (index, state, side)
                if len(seen[target]) > LIMIT:
                    raise Tangled
                queue.append((target, after))
    return seen


def path_to(seen: Seen[State], index: int, state: State) -> tuple[Taken, ...]:
    """The shortest path to a state, the step it stands before included with an empty side."""
    taken = [Taken(index, "")]
    came = seen[index][state]
    while came is not None:
        index, state, side = came
        taken.append(Taken(index, side))
        came = seen[index][state]
    return tuple(reversed(taken))
