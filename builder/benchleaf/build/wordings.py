"""The wording of a language: its catalogue of fixed words, and whether the shop has signed that off."""

from collections.abc import Mapping
from functools import cache
from hashlib import sha256
from types import MappingProxyType

from benchleaf.base.resources import package_root
from benchleaf.base.said import ENGLISH, Wording, fill
from benchleaf.model.shop import Shop
from benchleaf.trade.numbers import mark_of

# Characters of a digest that tell one wording from another; a person types them.
DIGITS = 12
_FOLDER = "languages"
_LEFTWARDS = frozenset({"ar", "fa", "he", "ur"})


def languages() -> tuple[str, ...]:
    """The languages in which fixed words can be said, English first."""
    return ("en", *sorted(path.stem for path in (package_root() / _FOLDER).glob("*.po")))


def language_of(shop: Shop, asked: str = "", own: str = "") -> str:
    """The language of documents: the one asked for, else the procedure's own, else the first of the shop's."""
    return asked or own or (shop.languages[0].name if shop.languages else "en")


def digest_of(language: str) -> str:
    """The digest that a shop signs: of all fixed words and their translations, whatever else the file says."""
    told = "\0".join(f"{text}\0{said}" for text, said in sorted(_patterns(language).items()))
    return sha256(told.encode()).hexdigest()[:DIGITS]


def wording(language: str, shop: Shop, own: Mapping[str, str] = ENGLISH.own) -> Wording:
    """The wording of one of `languages`, with the translated texts of the writer's."""
    if language == "en" and not own:
        return ENGLISH
    patterns = _patterns(language)
    mark, to = mark_of(language)
    digest = digest_of(language) if language != "en" else ""
    told = sha256("\0".join((digest, *(f"{text}\0{said}" for text, said in sorted(own.items())))).encode()).hexdigest()
    bare = Wording(
        language,
        patterns,
        MappingProxyType(dict(own)),
        mark,
        to,
        "rtl" if language.partition("-")[0] in _LEFTWARDS else "ltr",
        digest=told,
    )
    return (
        bare
        if is_signed(language, shop)
        else bare._replace(note=bare.speak(fill("Wording not reviewed ({digest})", digest=digest)))
    )


def is_signed(language: str, shop: Shop) -> bool:
    """Whether the shop has signed off the wording as it is now; English is ours to answer for."""
    signed = shop.signed_wording.get(language)
    return language == "en" or (signed is not None and signed.digest == digest_of(language))


@cache
def _patterns(language: str) -> Mapping[str, str]:
    if language == "en":
        return ENGLISH.patterns
    # Catalogues take a library that English does without.
    from benchleaf.source.translations import read

    text = (package_root() / _FOLDER / f"{language}.po").read_text(encoding="utf-8")
    return MappingProxyType({each.text: each.translation for each in read(text) if each.stands})
