"""The state of a procedure, computed from its signatures: nobody can type it.

A content is in review once its writer signed it as ready, and released once the signatures that the rule asks for are
there, each by another person and none by a writer of it. Returned, it needs them all again.
"""

import re
from collections.abc import Iterable, Sequence
from datetime import date, timedelta
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.review.chain import Chain
from benchleaf.review.count import counted
from benchleaf.review.people import People, Rule
from benchleaf.review.signature import APPROVED, READY, RETURNED, REVIEWED, WITHDRAWN, Content, Signature

DRAFT, IN_REVIEW, RELEASED, SUPERSEDED, GONE = "draft", "in review", "released", "superseded", "withdrawn"


class Release(NamedTuple):
    """A content that was released: by which signatures, from when until when (dates, inclusive; no `first`: at once).

    `withdrawn` is the signature that took it back, None for none.
    """

    revision: str
    content: Content
    signatures: tuple[Signature, ...]
    first: str
    last: str
    withdrawn: Signature | None = None

    @property
    def day(self) -> str:
        """The day of the signature that completed it."""
        return self.signatures[-1].day


class Waiting(NamedTuple):
    """A content in review: the signatures on it so far, and the roles that are still to sign."""

    content: Content
    signatures: tuple[Signature, ...]
    missing: tuple[str, ...]


class Standing(NamedTuple):
    """Where a procedure stands on a day.

    `current` is the release by which work may go on, None where there is none. `whole` is false where the chain is
    broken: then nothing is current. `returned` is the last signature that sent a content back, None for none since.
    """

    procedure: str
    releases: tuple[Release, ...]
    current: Release | None
    waiting: tuple[Waiting, ...]
    findings: tuple[Finding, ...]
    whole: bool
    returned: Signature | None = None

    def state(self, content: Content) -> str:
        """The state of a content of this procedure."""
        if not self.whole:
            return DRAFT
        newest = self.current or self.last
        for place, release in enumerate(self.releases):
            if release.content == content:
                if release.withdrawn:
                    return GONE
                return SUPERSEDED if newest and place < self.releases.index(newest) else RELEASED
        return IN_REVIEW if any(each.content == content for each in self.waiting) else DRAFT

    @property
    def last(self) -> Release | None:
        """The last release, whether it still holds or not."""
        return self.releases[-1] if self.releases else None


def standing(chain: Chain, people: People, today: str, published: frozenset[str] = frozenset()) -> Standing:
    """Where a procedure stands; `published` as in `counted`."""
    good, findings = counted(chain, people, today, published)
    releases: list[Release] = []
    open_: dict[Content, list[Signature]] = {}
    returned: Signature | None = None
    for each in good:
        if each.meaning == RETURNED:
            open_.pop(each.content, None)
            returned = each
        elif each.meaning == WITHDRAWN:
            releases = [_withdrawn(one, each) for one in releases]
        elif not any(one.content == each.content for one in releases):
            signed = open_.setdefault(each.content, [])
            signed.append(each)
            returned = None if each.meaning == READY else returned
            later = not releases or after(each.revision, releases[-1].revision, people.rule)
            if later and not missing(signed, people.rule):
                releases.append(_release(tuple(open_.pop(each.content)), people.rule))
    waiting = tuple(
        Waiting(content, tuple(signed), missing(signed, people.rule))
        for content, signed in open_.items()
        if any(each.meaning == READY for each in signed)
    )
    current = _current(releases, today) if chain.whole else None
    every = (*chain.findings, *findings)
    return Standing(chain.procedure, tuple(releases), current, waiting, every, chain.whole, returned)


def missing(signed: Iterable[Signature], rule: Rule) -> tuple[str, ...]:
    """The roles of the rule that nobody has signed in; several people are needed for several roles."""
    signed = tuple(signed)
    writers = {each.person for each in signed if each.meaning == READY}
    if not writers:
        return rule.roles
    by_role = {
        role: {each.person for each in signed if each.meaning in (REVIEWED, APPROVED) and each.role == role} - writers
        for role in rule.roles
    }
    filled = _filled(rule.roles, by_role, frozenset())
    return tuple(role for role in rule.roles if role not in filled)


def _filled(roles: Sequence[str], by_role: dict[str, set[str]], taken: frozenset[str]) -> frozenset[str]:
    """As many roles as can be given a person each."""
    if not roles:
        return frozenset()
    best = _filled(roles[1:], by_role, taken)
    for person in sorted(by_role[roles[0]] - taken):
        with_it = _filled(roles[1:], by_role, taken | {person}) | {roles[0]}
        best = max(best, with_it, key=len)
    return best


def after(revision: str, other: str, rule: Rule) -> bool:
    """Whether a revision comes after another, counted in letters or in numbers."""
    return _rank(revision, rule) > _rank(other, rule)


def follows_rule(revision: str, rule: Rule) -> bool:
    """Whether a revision is written as the rule wants it."""
    return re.fullmatch(r"[1-9]\d*" if rule.revisions == "numbers" else r"[A-Z]{1,3}", revision) is not None


def _rank(revision: str, rule: Rule) -> tuple[int, str]:
    if rule.revisions == "numbers":
        return (int(revision) if revision.isdecimal() else 0, revision)
    return (len(revision), revision)


def _release(signed: tuple[Signature, ...], rule: Rule) -> Release:
    done = signed[-1]
    first = max(each.valid_from for each in signed)
    latest = (date.fromisoformat(max(first, done.day)) + timedelta(days=rule.valid_days)).isoformat()
    last = min([latest, *(each.valid_until for each in signed if each.valid_until)])
    return Release(done.revision, done.content, signed, first, last)


def _withdrawn(release: Release, by: Signature) -> Release:
    taken = release.content == by.content and release.withdrawn is None
    return release._replace(withdrawn=by) if taken else release


def _current(releases: Sequence[Release], today: str) -> Release | None:
    """The newest that has begun; none where that one is withdrawn or has run out: an older one never comes back."""
    begun = [each for each in releases if each.first <= today]
    newest = begun[-1] if begun else None
    return newest if newest and not newest.withdrawn and today <= newest.last else None
