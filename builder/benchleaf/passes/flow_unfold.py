"""Blocks put in where they are inserted: first counted, then unfolded, each step with its key and its surroundings."""

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from benchleaf.base.finding import Finding, Related
from benchleaf.model.blanks import filled_step
from benchleaf.model.nearest import nearest
from benchleaf.model.procedure import Block, Leads, Step
from benchleaf.passes import flow_rules as rules

INSERT = "insert"
MOST_STEPS = 2000
DEEPEST = 32


class Scope(NamedTuple):
    """The step ids that a `go` may name from inside a list of steps: its own first, then those around it."""

    keys: dict[str, str]
    outer: "Scope | None" = None

    def find(self, name: str) -> str:
        """The key of the station that the id means; empty if there is none."""
        here = self.keys.get(name, "")
        return here or (self.outer.find(name) if self.outer else "")


class Placed(NamedTuple):
    """A step in its final place. `fall` is where `next` leads when the insertion around it says so."""

    key: str
    step: Step
    scope: Scope
    block: str = ""
    fall: tuple[Leads, Scope] | None = None


class Unfolded(NamedTuple):
    """All steps in written order; `whole` is false where blocks could not be put in."""

    placed: tuple[Placed, ...]
    findings: tuple[Finding, ...]
    whole: bool = True


def insertions(steps: tuple[Step, ...]) -> Iterator[Step]:
    """The steps that put in a block."""
    return (step for step in steps if step.action.name == INSERT)


def circles(blocks: Mapping[str, Block], start: tuple[Step, ...]) -> Iterator[Finding]:
    """A finding for each circle of blocks that the steps lead into, at the insertion in its first block by name."""
    done: set[str] = set()
    told: set[tuple[str, ...]] = set()
    for first in insertions(start):
        path: list[str] = []
        walks = [iter((first,))]
        while walks:
            step = next(walks[-1], None)
            if step is None:
                walks.pop()
                if path:
                    done.add(path.pop())
                continue
            name = step.object.text
            if name in path:
                circle = path[path.index(name) :]
                turn = circle.index(min(circle))
                circle = circle[turn:] + circle[:turn]
                if tuple(circle) not in told:
                    told.add(tuple(circle))
                    yield _circle(blocks, circle)
            elif name in blocks and name not in done:
                path.append(name)
                walks.append(insertions(blocks[name].steps))


def _circle(blocks: Mapping[str, Block], circle: list[str]) -> Finding:
    following = circle[1] if len(circle) > 1 else circle[0]
    step = next(step for step in insertions(blocks[circle[0]].steps) if step.object.text == following)
    way = " which inserts ".join(f"`{name}`" for name in [*circle[1:], circle[0]])
    return rules.BLOCK_CIRCLE.at(step.object.span, f"The block `{circle[0]}` inserts {way}.")


def count(
    steps: tuple[Step, ...], blocks: Mapping[str, Block], known: dict[str, int] | None = None, depth: int = 0
) -> int:
    """How many steps there are once all blocks are put in; blocks must not run in circles.

    More than `MOST_STEPS` for blocks nested deeper than `DEEPEST`.
    """
    if depth > DEEPEST:
        return MOST_STEPS + 1
    known = {} if known is None else known
    total = 0
    for step in steps:
        block = blocks.get(step.object.text) if step.action.name == INSERT else None
        if block is None:
            # A block that does not exist counts too, lest blocks made of nothing else grow without bound.
            total += 1
        else:
            name = step.object.text
            if name not in known:
                known[name] = count(block.steps, blocks, known, depth + 1)
            total += known[name]
    return total


def unfold(steps: tuple[Step, ...], blocks: Mapping[str, Block]) -> Unfolded:
    """Put all blocks in; findings tell which cannot be."""
    findings = list(circles(blocks, steps))
    if findings:
        return Unfolded((), tuple(findings), whole=False)
    total = count(steps, blocks)
    if total > MOST_STEPS:
        where = next(iter(insertions(steps)), steps[0])
        sentence = f"With all blocks put in, more than {MOST_STEPS} steps stand here."
        if total > MOST_STEPS + 1:
            sentence = f"With all blocks put in, {total} steps stand here; {MOST_STEPS} is the most."
        return Unfolded((), (rules.TOO_MANY_STEPS.at(where.span, sentence),), whole=False)
    unfolder = _Unfolder(blocks)
    unfolder.put(steps, "", "", None, None)
    return Unfolded(tuple(unfolder.placed), tuple(unfolder.findings))


class _Unfolder:
    def __init__(self, blocks: Mapping[str, Block]) -> None:
        self.blocks = blocks
        self.placed: list[Placed] = []
        self.findings: list[Finding] = []
        self.taken: set[str] = set()

    def put(
        self, steps: tuple[Step, ...], prefix: str, block: str, outer: Scope | None, fall: tuple[Leads, Scope] | None
    ) -> None:
        scope = Scope({}, outer)
        waiting: list[str] = []
        own = {prefix + step.id.name for step in steps if step.id}
        for position, step in enumerate(steps, 1):
            number = position if prefix else len(self.placed) + 1
            key = prefix + (step.id.name if step.id else f"s{number}")
            last = position == len(steps)
            if step.id:
                waiting.append(step.id.name)
            inner = None
            if step.then and step.action.name == INSERT:
                inner = (step.then, scope)
            elif last:
                inner = fall
            before = len(self.placed)
            if step.action.name == INSERT:
                self._insert(step, key, scope, inner)
            else:
                key = self._free(key, own if step.id is None else set())
                self.placed.append(Placed(key, step, scope, block, inner))
            if len(self.placed) > before:
                for name in waiting:
                    scope.keys.setdefault(name, self.placed[before].key)
                waiting.clear()

    def _free(self, key: str, own: set[str]) -> str:
        while key in self.taken or key in own:
            key += "x"
        self.taken.add(key)
        return key

    def _insert(self, step: Step, key: str, scope: Scope, fall: tuple[Leads, Scope] | None) -> None:
        block = self.blocks.get(step.object.text)
        if block is None:
            near = nearest(step.object.text, self.blocks)
            sentence = f"There is no block `{step.object.text}`{near.clause}."
            self.findings.append(rules.UNKNOWN_BLOCK.at(step.object.span, sentence, change=near.meant))
            return
        values = {name: words.text for name, words in step.values.items()}
        for name in block.blanks:
            if name not in values:
                here = Related(block.blanks[name].span, "The block declares it here.")
                sentence = f"The blank `{name}` of the block `{step.object.text}` gets no value."
                self.findings.append(rules.BLANK_WITHOUT_VALUE.at(step.object.span, sentence, related=(here,)))
        for name, words in step.values.items():
            if name not in block.blanks:
                known = ", ".join(f"`{blank}`" for blank in block.blanks) or "none"
                sentence = f"The block `{step.object.text}` has no blank `{name}`; its blanks: {known}."
                self.findings.append(rules.VALUE_WITHOUT_BLANK.at(words.span, sentence))
        if step.then and not block.steps:
            sentence = f"The block `{step.object.text}` has no step for these machines, so its `then` leads nowhere."
            self.findings.append(rules.NO_STEPS.at(step.object.span, sentence))
        steps = tuple(filled_step(each, values) for each in block.steps) if values else block.steps
        self.put(steps, f"{key}-", step.object.text, scope, fall)
