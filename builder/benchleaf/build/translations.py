"""What translations of a procedure's own texts there are, and what is wrong with them and with the languages named."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from benchleaf.base.finding import Finding
from benchleaf.base.said import Said
from benchleaf.base.span import Span
from benchleaf.build import translations_rules as rules
from benchleaf.build.classes import Held
from benchleaf.build.translated import Translated
from benchleaf.build.wordings import digest_of, is_signed, languages
from benchleaf.model import texts
from benchleaf.model.basics import Ref
from benchleaf.model.procedure import Block, Procedure
from benchleaf.model.shop import Shop


def of_shop(shop: Shop) -> Iterator[Finding]:
    """What is wrong with the languages of the shop, and wordings that nobody has signed off."""
    yield from _unknown(shop.languages)
    for each in shop.languages:
        if each.name in languages() and not is_signed(each.name, shop):
            signed = each.name in shop.signed_wording
            said = "was changed since it was signed off" if signed else "is not signed off"
            sentence = f"The wording in `{each.name}` {said}; every page says so. Its digest is {digest_of(each.name)}."
            yield rules.WORDING_UNSIGNED.at(each.span, sentence)


def of_procedure(
    procedure: Procedure,
    blocks: Iterable[Block],
    held: Iterable[Held],
    catalogues: Sequence[Translated],
    *,
    ready: bool,
) -> Iterator[Finding]:
    """What is wrong with the language of a procedure and with its catalogues.

    `held` are its classes of machines with the facts of the passes; unless it is `ready` nobody can say what is stale.
    """
    if procedure.language is not None:
        yield from _unknown((procedure.language,))
    for each in catalogues:
        yield from each.findings
    if not catalogues or not ready:
        return
    # A check compiles a card only here.
    from benchleaf.card.compile import compile_card

    said = {text for one in held for text in _said(compile_card(one.case, one.facts))}
    written = list(texts.of_procedure(procedure))
    for block in blocks:
        written += texts.of_block(block)
    for each in catalogues:
        yield from _stale(each, said)
        yield from _missing(each, written, said)


def _unknown(named: Iterable[Ref]) -> Iterator[Finding]:
    for each in named:
        if each.name not in languages():
            sentence = f"There is no wording in `{each.name}`; there is one in {', '.join(languages())}."
            yield rules.NO_WORDING.at(each.span, sentence)


def _stale(each: Translated, said: set[str]) -> Iterator[Finding]:
    for text, line in each.lines.items():
        if text not in said:
            yield rules.STALE_TRANSLATION.at(Span(each.file, line), f"The card says “{_short(text)}” no more.")


def _missing(each: Translated, written: Iterable[texts.Text], said: set[str]) -> Iterator[Finding]:
    told = set()
    for one in written:
        text = one.words.text
        if text in said and text not in each.own and text not in told:
            told.add(text)
            sentence = f"{each.file} has no translation of “{_short(text)}”."
            yield rules.NOT_TRANSLATED.at(one.words.span, sentence)


def _said(value: Any) -> Iterator[str]:
    """Every text of the writer's that a card says, also within fixed sentences."""
    if isinstance(value, Said):
        for _, inner in value.values:
            yield from _said(inner)
    elif isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for each in value:
            yield from _said(each)


def _short(text: str) -> str:
    return text if len(text) <= 60 else f"{text[:57].rstrip()}…"
