"""Language: short sentences, one instruction each, no word that means two things, no number that nobody owns."""

from collections.abc import Iterable, Iterator
from itertools import chain
from types import MappingProxyType
from typing import Any

from benchleaf.base.finding import Finding
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.model import texts
from benchleaf.model.basics import Amount, Ref, Words
from benchleaf.model.places import within
from benchleaf.model.quantity import Quantity, parse
from benchleaf.model.shop import Shop
from benchleaf.model.texts import AT_WORK, COMMAND, INFO, LABEL, PROCEDURAL, QUESTION, Text
from benchleaf.passes import language_rules as rules
from benchleaf.passes.base import Case, Common, Pass
from benchleaf.passes.language_markup import foreign, unbalanced
from benchleaf.passes.language_words import Stretch, count, numbers_with_units, sentences, table, tokens, words_of

MOST_PROCEDURAL = 20
MOST_DESCRIBING = 25
MOST_SENTENCES = 6
_MAPS = (dict, MappingProxyType)
_LEAVES = frozenset((Ref, Span, Words))


def written(case: Case) -> tuple[Finding, ...]:
    """The texts of one procedure as its writer wrote them."""
    owned = (case.machine, case.shop, case.procedure)
    return tuple(_of_texts(texts.of_procedure(case.procedure), case.shop, owned))


def common(common: Common) -> tuple[Finding, ...]:
    """The texts of a machine file; or those of the shop and the blocks."""
    shop = common.shop
    if common.machine is not None:
        return tuple(_of_texts(texts.of_machine(common.machine), shop, (common.machine, shop)))
    blocks = chain.from_iterable(map(texts.of_block, common.blocks.values()))
    owned = (shop, tuple(common.blocks.values()))
    return tuple(_of_texts(chain(texts.of_shop(shop), blocks), shop, owned))


def _of_texts(found: Iterable[Text], shop: Shop, owners: tuple[Any, ...]) -> Iterator[Finding]:
    forbidden = shop.rules.forbidden_words if shop.rules else {}
    owned: list[set[tuple[str, object]]] = []
    for kind, words in found:
        small = words.text.lower()
        yield from _markup(words)
        yield from _listed(words, small, forbidden)
        if kind == LABEL:
            continue
        yield from _signal_words(words, small)
        yield from _vague(words, small)
        yield from _sentences(kind, words)
        if kind in AT_WORK:
            yield from _numbers(words, owners, owned)


def _at(rule: Rule, words: Words, stretch: Stretch, sentence: str, mend: str = "") -> Finding:
    return rule.at(within(words.text, words.span, stretch.start, stretch.end), sentence, mend=mend)


def _markup(words: Words) -> Iterator[Finding]:
    for stretch, name in foreign(words.text):
        yield _at(rules.MARKUP, words, stretch, f"`{stretch.text.strip()}` is {name}, which a card does not hold.")
    for stretch, _ in unbalanced(words.text):
        yield _at(rules.UNBALANCED_MARKUP, words, stretch, f"The mark `{stretch.text}` has no partner.")


def _whole_words(phrase: str, small: str) -> Iterator[Stretch]:
    """Places where a phrase in small letters stands by itself."""
    start = small.find(phrase)
    while start >= 0:
        end = start + len(phrase)
        before, after = small[start - 1 : start], small[end : end + 1]
        if not (before.isalnum() or before == "-" or after.isalnum() or after == "-"):
            yield Stretch(phrase, start, end)
        start = small.find(phrase, end)


def _listed(words: Words, small: str, forbidden: Any) -> Iterator[Finding]:
    for word, instead in forbidden.items():
        for stretch in _whole_words(word.lower(), small):
            sentence = f"The shop does not use the word `{word}`."
            yield _at(rules.FORBIDDEN_WORD, words, stretch, sentence, mend=str(instead))


def _vague(words: Words, small: str) -> Iterator[Finding]:
    told: list[Stretch] = []
    for phrase, instead in table()["vague"].items():
        for stretch in _whole_words(phrase, small) if phrase in small else ():
            if not any(other.start <= stretch.start < other.end for other in told):
                told.append(stretch)
                shown = words.text[stretch.start : stretch.end]
                mend = f"{instead[0].upper()}{instead[1:]}."
                yield _at(rules.VAGUE_WORD, words, stretch, f"`{shown}` leaves open what is meant.", mend=mend)


def _signal_words(words: Words, small: str) -> Iterator[Finding]:
    for word in table()["signal_words"]:
        for stretch in _whole_words(word, small) if word in small else ():
            shown = words.text[stretch.start : stretch.end]
            headed = words.text[stretch.end :].lstrip("*_ ")[:1] in (":", "!") and shown[0].isupper()
            if shown.isupper() or headed:
                yield _at(rules.SIGNAL_WORD, words, stretch, f"The signal word `{shown}` is written by hand.")


def _sentences(kind: str, words: Words) -> Iterator[Finding]:
    found = sentences(words.text)
    most = MOST_PROCEDURAL if kind in PROCEDURAL else MOST_DESCRIBING
    for number, stretch in enumerate(found):
        if len(stretch.text) > 3 * most:
            length = count(stretch.text)
            if length > most:
                sentence = f"This sentence has {length} words; {most} is the most here."
                yield _at(rules.LONG_SENTENCE, words, stretch, sentence)
        if kind in (COMMAND, INFO):
            yield from _instructions(words, stretch)
        # What follows the command may well say what is to be seen.
        if kind == COMMAND and number == 0:
            yield from _command(words, stretch)
    if len(found) > MOST_SENTENCES:
        sentence = f"{len(found)} sentences stand here in one piece; {MOST_SENTENCES} is the most."
        yield rules.LONG_PARAGRAPH.at(words.span, sentence)
    if kind == QUESTION and "?" not in words.text:
        yield rules.NOT_A_QUESTION.at(words.span, "Here a question is due.")


def _command(words: Words, stretch: Stretch) -> Iterator[Finding]:
    first = next(iter(tokens(stretch.text)), None)
    if first is None:
        return
    gerund = first.text.endswith("ing") and len(first.text) > 4 and first.text not in words_of("no_gerund")
    if gerund or first.text in words_of("no_command"):
        start = stretch.start + first.start
        place = Stretch(first.text, start, start + len(first.text))
        shown = words.text[place.start : place.end]
        yield _at(rules.NOT_A_COMMAND, words, place, f"`{shown}` does not begin a command.")


def _instructions(words: Words, stretch: Stretch) -> Iterator[Finding]:
    verbs, ends = words_of("verbs"), words_of("follows_verb")
    if " and " not in stretch.text and " then " not in stretch.text:
        return
    found = tokens(stretch.text)
    first = found[0].text
    if first not in verbs or first in words_of("at_once") or any(token.text == "while" for token in found):
        return
    for one, verb, after in zip(found, found[1:], found[2:], strict=False):
        if one.text in ("and", "then") and verb.text in verbs and after.text in ends:
            place = Stretch(verb.text, stretch.start + verb.start, stretch.start + verb.end)
            sentence = f"With `{verb.text}` a second instruction begins in this sentence."
            yield _at(rules.TWO_INSTRUCTIONS, words, place, sentence)
            return


def _numbers(words: Words, owners: tuple[Any, ...], owned: list[set[tuple[str, object]]]) -> Iterator[Finding]:
    for stretch in numbers_with_units(words.text):
        if not owned:
            owned.append({(each.dimension, each.base) for each in _amounts(owners)})
        quantity = parse(stretch.text.lstrip("±").replace(",", "."))
        if not isinstance(quantity, Quantity) or (quantity.dimension, quantity.base) not in owned[0]:
            yield _at(
                rules.LOOSE_NUMBER, words, stretch, f"No limit and no other field owns the number `{stretch.text}`."
            )


def _amounts(item: Any) -> Iterator[Quantity]:
    if type(item) is Amount:
        yield item.quantity
    elif isinstance(item, _MAPS):
        for part in item.values():
            yield from _amounts(part)
    elif isinstance(item, tuple) and type(item) not in _LEAVES:
        for part in item:
            if part and isinstance(part, (tuple, *_MAPS)):
                yield from _amounts(part)


LANGUAGE = Pass("language", rules.RULES, common=common, written=written)
