"""Blanks of a step: which it has, the step with them filled, and all steps of a procedure with its blocks put in."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from benchleaf.base.span import Span
from benchleaf.model.basics import Amount, Ref, Words
from benchleaf.model.identifiers import blanks_in, filled
from benchleaf.model.places import within
from benchleaf.model.procedure import Block, Step

INSERT = "insert"
_MOST_FILLINGS = 500
# What no blank stands in, although it has parts: a file may be named with braces, a unit be coded with them.
_WHOLE = frozenset((Span, Amount))


def filled_step(step: Step, values: Mapping[str, str]) -> Step:
    """The step with the values put into its texts and names; the places stay those of the block."""
    made: Step = _filled(step, values)
    return made


def _filled(item: Any, values: Mapping[str, str]) -> Any:
    if not item:
        return item
    if isinstance(item, str):
        return filled(item, values)
    if type(item) in _WHOLE:
        return item
    if isinstance(item, tuple):
        changed = [_filled(part, values) for part in item]
        if all(new is old for new, old in zip(changed, item, strict=True)):
            return item
        return type(item)._make(changed) if hasattr(item, "_make") else tuple(changed)
    if isinstance(item, Mapping):
        return {filled(key, values): _filled(part, values) for key, part in item.items()}
    return item


def blanks_of(step: Step) -> Iterator[tuple[str, Span]]:
    """Every blank of a step that the step's own `each` does not fill, with its place."""
    for name, span in _found(step, step.span):
        if name not in step.each:
            yield name, span


def _found(item: Any, span: Span) -> Iterator[tuple[str, Span]]:
    if isinstance(item, str):
        yield from ((blank.name, span) for blank in blanks_in(item))
    elif isinstance(item, (Ref, Words)):
        for blank in blanks_in(item[0]):
            yield blank.name, within(item[0], item.span, blank.start, blank.end)
    elif isinstance(item, tuple) and type(item) not in _WHOLE:
        own = getattr(item, "span", span)
        for part in item:
            if part:
                yield from _found(part, own)
    elif isinstance(item, Mapping):
        for key, part in item.items():
            yield from _found(key, span)
            yield from _found(part, span)


def every_step(steps: Iterable[Step], blocks: Mapping[str, Block]) -> Iterator[Step]:
    """Written steps and those of the blocks put in, their blanks filled; each block once for each set of values."""
    return _every_step(steps, blocks, set())


def _every_step(steps: Iterable[Step], blocks: Mapping[str, Block], seen: set[object]) -> Iterator[Step]:
    for step in steps:
        if step.action.name != INSERT:
            yield step
            continue
        block = blocks.get(step.object.text)
        values = {name: words.text for name, words in step.values.items()}
        filling = (step.object.text, frozenset(values.items()))
        if block and filling not in seen and len(seen) < _MOST_FILLINGS:
            seen.add(filling)
            yield from _every_step((filled_step(each, values) for each in block.steps), blocks, seen)


def written_steps(steps: tuple[Step, ...], blocks: Mapping[str, Block]) -> Iterator[Step]:
    """Steps and insertions as they are written, and those of all blocks that are put in; each block once."""
    open_, seen = [steps], set()
    while open_:
        for step in open_.pop():
            yield step
            name = step.object.text if step.action.name == INSERT else ""
            if name in blocks and name not in seen:
                seen.add(name)
                open_.append(blocks[name].steps)
