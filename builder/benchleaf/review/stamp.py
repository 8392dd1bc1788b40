"""What signatures put on a card: its state, sentences on how long it holds, and the history of its releases."""

from typing import NamedTuple

from benchleaf.base.said import fill
from benchleaf.card.model import Card, Issue
from benchleaf.review.signature import Content, Signature
from benchleaf.review.state import DRAFT, GONE, RELEASED, SUPERSEDED, Release, Standing

DEMONSTRATION = fill("Signed with keys of the demonstration, which prove nothing.")


class Stamp(NamedTuple):
    """What is put on the cards of one content."""

    state: str = DRAFT
    flags: tuple[str, ...] = ()
    history: tuple[Issue, ...] = ()

    def on(self, card: Card) -> Card:
        """The card with it."""
        return card._replace(state=self.state, flags=self.flags, history=self.history)


def stamp(
    standing: Standing, content: Content, today: str, review_by: str = "", *, demonstration: bool = False
) -> Stamp:
    """What is put on cards of this content on a day."""
    state = standing.state(content)
    release = next((each for each in standing.releases if each.content == content), None)
    flags = _flags(standing, release, state, today) if release else []
    if review_by and review_by < today:
        flags.append(fill("Review was due on {day}.", day=review_by))
    if release and demonstration:
        flags.append(DEMONSTRATION)
    return Stamp(state, tuple(flags), _history(standing, release) if release else ())


def _flags(standing: Standing, release: Release, state: str, today: str) -> list[str]:
    if state == GONE and release.withdrawn:
        gone = release.withdrawn
        return [fill("Withdrawn on {day} by {name}: {reason}.", day=gone.day, name=gone.name, reason=gone.reason)]
    if state == SUPERSEDED:
        newest = standing.current or standing.last
        if not newest:
            return []
        day = newest.first or newest.day
        return [fill("Superseded by revision {revision} on {day}.", revision=newest.revision, day=day)]
    if state != RELEASED:
        return []
    if release.first > today:
        return [fill("Not to be used before {day}.", day=release.first)]
    if release.last < today:
        return [fill("Ran out on {day}: not to be used until it is reviewed.", day=release.last)]
    return [fill("Valid until {day}.", day=release.last)]


def _history(standing: Standing, release: Release) -> tuple[Issue, ...]:
    upto = standing.releases[: standing.releases.index(release) + 1]
    return tuple(_issue(each) for each in upto)


def _issue(release: Release) -> Issue:
    card = next(iter(release.signatures[-1].cards.values()))
    reason = f"{card.get('changed_kind', '')}: {card.get('changed_reason', '')}"
    gone = release.withdrawn
    note = fill("withdrawn on {day}: {reason}", day=gone.day, reason=gone.reason) if gone else ""
    return Issue(release.revision, release.day, reason, ", ".join(map(signed_by, release.signatures)), note)


def signed_by(signature: Signature) -> str:
    """A person with the role in which they signed."""
    return f"{signature.name} ({signature.role})"
