"""Documents: what a card must hold besides its steps, and pictures that are there and speak for themselves."""

import re
from collections.abc import Collection, Iterable, Iterator
from functools import cache
from itertools import chain

from benchleaf.base.finding import Finding
from benchleaf.model import texts
from benchleaf.model.nearest import nearest
from benchleaf.model.places import within
from benchleaf.model.procedure import Procedure, Step
from benchleaf.model.shop import Shop
from benchleaf.model.texts import Text
from benchleaf.passes import documents_rules as rules
from benchleaf.passes.base import Case, Common, Facts, Pass, Result
from benchleaf.passes.documents_figures import of_figure, of_machine

_ADDRESSES = ("https://", "http://", "mailto:", "tel:")


def run(case: Case, facts: Facts) -> Result:
    """What one procedure must hold."""
    if facts.flow is None:
        return Result(facts)
    procedure = case.procedure
    steps = [station.step for station in facts.flow.stations]
    folder = case.machine.span.file.rpartition("/")[0]
    # A block that is put in twice shows its picture twice.
    figures = {step.figure.file: step.figure for step in steps if step.figure}
    findings = chain(
        _stated(procedure),
        _required(procedure, case.shop),
        _dates(procedure),
        chain.from_iterable(of_figure(figure, case.assets, folder) for figure in figures.values()),
        _links(texts.of_procedure(procedure), _ids(procedure.steps)),
    )
    return Result(facts, tuple(findings))


def common(common: Common) -> tuple[Finding, ...]:
    """What the shop must hold, and links in blocks; or the figure of a machine."""
    if common.machine is not None:
        return tuple(of_machine(common.machine, common.assets))
    blocks = (_links(texts.of_block(block), _ids(block.steps)) for block in common.blocks.values())
    return tuple(chain(_of_shop(common.shop), chain.from_iterable(blocks)))


def _ids(steps: Iterable[Step]) -> list[str]:
    return [step.id.name for step in steps if step.id]


def _stated(procedure: Procedure) -> Iterator[Finding]:
    if procedure.supplies is None:
        sentence = "This procedure does not say which supplies it uses up, nor that there are none."
        yield rules.SUPPLIES_NOT_STATED.at(procedure.id.span, sentence)
    if procedure.spares is None:
        sentence = "This procedure does not say which spare parts it needs, nor that there are none."
        yield rules.SPARES_NOT_STATED.at(procedure.id.span, sentence)


def _required(procedure: Procedure, shop: Shop) -> Iterator[Finding]:
    required = shop.rules.required if shop.rules else ()
    names = [ref.name for ref in required]
    told = {"supplies", "spares"}
    for name in names:
        if name not in told and not getattr(procedure, name, None):
            sentence = f"The shop asks for `{name}` in each procedure; it is missing here."
            yield rules.REQUIRED_MISSING.at(procedure.id.span, sentence)
    if not procedure.owner and "owner" not in names:
        yield rules.NO_OWNER.at(procedure.id.span, "Nobody is named who answers for this procedure.")


def _dates(procedure: Procedure) -> Iterator[Finding]:
    # Days are written year first, so that their text sorts as they do.
    if procedure.issued and procedure.review_by and procedure.review_by <= procedure.issued:
        sentence = f"The review is due by {procedure.review_by}, the issue is of {procedure.issued}."
        yield rules.REVIEW_BEFORE_ISSUE.at(procedure.id.span, sentence)


def _of_shop(shop: Shop) -> Iterator[Finding]:
    if not shop.emergency:
        yield rules.NO_EMERGENCY.at(shop.name.span, "The shop does not say what to do in an emergency.")
    for name, supply in shop.supplies.items():
        if supply.hazards and not supply.sheet:
            sentence = f"`{name}` can hurt and names no safety data sheet."
            yield rules.SUPPLY_WITHOUT_SHEET.at(supply.span, sentence)
        if supply.hazards and not supply.disposal:
            sentence = f"`{name}` can hurt, and nothing says where the rest of it goes."
            yield rules.SUPPLY_WITHOUT_DISPOSAL.at(supply.span, sentence)


@cache
def _link() -> re.Pattern[str]:
    return re.compile(r"(?<!!)\[[^\]\n]*\]\(([^)\n]*)\)")


def _links(found: Iterable[Text], ids: Collection[str]) -> Iterator[Finding]:
    for _, words in found:
        for link in _link().finditer(words.text) if "](" in words.text else ():
            target = link[1].strip()
            if target.startswith(_ADDRESSES) or (target.startswith("#") and target[1:] in ids):
                continue
            near = nearest(target.removeprefix("#"), ids)
            change = f"#{near.meant}" if near.meant else None
            span = within(words.text, words.span, *link.span(1))
            yield rules.DEAD_LINK.at(
                span, f"The link leads to `{target}`, which is no step of this card.", change=change
            )


DOCUMENTS = Pass("documents", rules.RULES, run=run, common=common, needs=("flow",))
