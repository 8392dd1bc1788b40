"""The step graph: blocks put in and their blanks filled, every answer with the place it leads to.

Gives `flow`; where blocks cannot be put in at all, the findings say why and there is no graph.
"""

from collections.abc import Iterable, Iterator
from itertools import chain

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.model.blanks import blanks_of
from benchleaf.model.flow import END, Flow, Station
from benchleaf.model.nearest import nearest
from benchleaf.model.procedure import Block, Step
from benchleaf.passes import flow_rules as rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.flow_unfold import Unfolded, circles, unfold
from benchleaf.passes.flow_ways import ways_of


def run(case: Case, facts: Facts) -> Result:
    """The step graph of one procedure."""
    steps = case.procedure.steps
    unfolded = unfold(steps, case.blocks)
    findings = chain(unfolded.findings, _open_blanks(steps))
    if not unfolded.whole or not unfolded.placed:
        return Result(facts, tuple(findings) or (_no_steps(case),))
    return Result(facts._replace(flow=_flow(unfolded, case)), tuple(findings))


def common(common: Common) -> tuple[Finding, ...]:
    """What is wrong with the blocks, whoever puts them in."""
    if common.machine is not None:
        return ()
    return tuple(chain.from_iterable(_of_block(name, block, common) for name, block in common.blocks.items()))


def _flow(unfolded: Unfolded, case: Case) -> Flow:
    keys = [placed.key for placed in unfolded.placed]
    following = [*keys[1:], END]
    return Flow(
        tuple(
            Station(placed.key, placed.step, ways_of(placed, after, case.machine.limits), placed.block)
            for placed, after in zip(unfolded.placed, following, strict=True)
        )
    )


def _no_steps(case: Case) -> Finding:
    return rules.NO_STEPS.at(case.procedure.id.span, "This procedure has no step for these machines.")


def _open_blanks(steps: tuple[Step, ...]) -> Iterator[Finding]:
    for step in steps:
        for name, span in dict.fromkeys(blanks_of(step)):
            yield _unknown_blank(name, span, step.each)


def _of_block(name: str, block: Block, common: Common) -> Iterator[Finding]:
    yield from circles(common.blocks, block.steps)
    used = set()
    for step in block.steps:
        for blank, span in dict.fromkeys(blanks_of(step)):
            used.add(blank)
            if blank not in block.blanks:
                yield _unknown_blank(blank, span, (*block.blanks, *step.each))
    for blank in block.blanks:
        if blank not in used:
            sentence = f"No step of the block `{name}` uses the blank `{blank}`."
            yield rules.UNUSED_BLANK.at(block.blanks[blank].span, sentence)


def _unknown_blank(name: str, span: Span, known: Iterable[str]) -> Finding:
    near = nearest(name, known)
    change = "{" + near.meant + "}" if near.meant else None
    return rules.UNKNOWN_BLANK.at(span, f"Nothing fills the blank `{name}`{near.clause}.", change=change)


FLOW = Pass("flow", rules.RULES, run=run, common=common, gives=("flow",))
