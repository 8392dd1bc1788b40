"""The state of what is built from the working files, as the signatures of the workspace have it."""

from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.build.candidate import of_judged
from benchleaf.build.gather import Key, Shelf
from benchleaf.build.judge import Judged
from benchleaf.card.digest import canonical, digest
from benchleaf.render.theme import Theme
from benchleaf.review import rules, store
from benchleaf.review.chain import chain
from benchleaf.review.people import People
from benchleaf.review.stamp import Stamp, stamp
from benchleaf.review.state import RELEASED, standing
from benchleaf.review.trust import demo, missed, people_of


class Stamps(NamedTuple):
    """What to put on cards, by procedure, and what is wrong with signatures or with the theme, by source file."""

    by_key: Mapping[Key, Stamp]
    findings: Mapping[str, tuple[Finding, ...]]


def theme_digest(theme: Theme) -> str:
    """The digest of a theme: of all that it holds, those below it included."""
    held = (theme.templates, theme.styles, theme.scripts, theme.light, theme.dark, theme.sunlight, theme.index_scripts)
    return sha256(canonical([dict(each) for each in held])).hexdigest()


def theme_allowed(theme: Theme, people: People) -> bool:
    """Whether released documents may be drawn with a theme."""
    return not theme.foreign or theme_digest(theme) in people.rule.themes


def unlisted(theme: Theme, file: str) -> Finding:
    """The finding for a theme that is not allowed."""
    sentence = f"The theme {theme.label} (digest {theme_digest(theme)}) is not on the signed list of themes."
    return rules.THEME.at(Span(file), sentence)


def stamps(ready: Iterable[Judged], shelf: Shelf, theme: Theme, home: Path | None) -> Stamps:
    """What the signatures say of procedures that nothing stops. Raises Refused."""
    signed = frozenset(store.procedures(shelf.root))
    ready = [one for one in ready if "/".join(one.key) in signed]
    if not ready:
        return Stamps({}, {})
    shop = shelf.shop.record
    trust = people_of(shelf.root, home, str(shop.name) if shop else "")
    if trust.people is None:
        return Stamps({}, {})
    by_key, findings = {}, {}
    for one in ready:
        found = chain(shelf.root, "/".join(one.key))
        where = standing(found, trust.people, shelf.today, demo().keys)
        if home and missed(home, trust.people, found):
            where = where._replace(whole=False, current=None)
        cards = of_judged(one.classes)
        review_by = next(card.review_by for card in cards.values())
        content = tuple(sorted((key, digest(card)) for key, card in cards.items()))
        by_key[one.key] = stamp(where, content, shelf.today, review_by, demonstration=trust.demonstration)
        if by_key[one.key].state == RELEASED and not theme_allowed(theme, trust.people):
            findings[one.standing.file] = (unlisted(theme, one.standing.file),)
    return Stamps(by_key, findings)


def released(root: Path, shop: str, today: str, home: Path) -> dict[str, str]:
    """The current release of each procedure (machine/id) that has one, by its revision. Raises Refused."""
    trust = people_of(root, home, shop) if store.procedures(root) else None
    if trust is None or trust.people is None:
        return {}
    every = (standing(chain(root, name), trust.people, today, demo().keys) for name in store.procedures(root))
    return {each.procedure: each.current.revision for each in every if each.current}
