"""The signed list of people: who may sign what with which key and when, and what makes a release.

What counts is the list as the root key signed it. Each list holds how far every chain of signatures had come, so that
a stolen key can't sign backdated: what it signed beyond that point counts for nothing once it is revoked.
"""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from benchleaf.review.envelope import Envelope, statement
from benchleaf.review.faults import Damaged

KIND = "urn:benchleaf:people:1"
FORMAT = "benchleaf/people/1"
WRITER, REVIEWER, APPROVER = "writer", "reviewer", "approver"
DEFAULT_RULE = {"roles": [REVIEWER, APPROVER], "valid_days": 730, "revisions": "letters", "themes": []}


class Key(NamedTuple):
    """A public key, its first and last day, and the day from which it is revoked (empty: none); all days inclusive."""

    key: str
    first: str
    last: str
    revoked: str


class Signer(NamedTuple):
    """A person of the list."""

    id: str
    name: str
    roles: tuple[str, ...]
    keys: tuple[Key, ...]


class Rule(NamedTuple):
    """What makes a release: the roles that must have signed, each another person and none of them a writer.

    `valid_days` is how long a release holds at most; `revisions` is letters or numbers; `themes` are digests.
    """

    roles: tuple[str, ...]
    valid_days: int
    revisions: str
    themes: tuple[str, ...]


class People(NamedTuple):
    """A signed list: for which shop, its number, the root key, the people, the rule, and the heads of all chains.

    `heads` are number and digest of the last envelope of each chain. `revoked_at` tells for each revoked key the heads
    of the first list that revoked it. `digest` is that of the envelope.
    """

    shop: str
    number: int
    digest: str
    root: str
    signers: tuple[Signer, ...]
    rule: Rule
    heads: Mapping[str, tuple[int, str]]
    revoked_at: Mapping[str, Mapping[str, tuple[int, str]]]
    typed: Mapping[str, Any]

    def holders(self, key: str) -> Iterator[tuple[Signer, Key]]:
        """Whoever has this key, with what the list says of it."""
        return ((signer, each) for signer in self.signers for each in signer.keys if each.key == key)


def to_statement(
    shop: str, number: int, previous: str, time: str, typed: Mapping[str, Any], heads: Mapping[str, tuple[int, str]]
) -> dict[str, Any]:
    """The in-toto statement of a list; `typed` is what shop.yaml says, as `People.typed` has it."""
    marks = {name: list(head) for name, head in heads.items()}
    said = {"format": FORMAT, "shop": shop, "number": number, "previous": previous, "time": time, "heads": marks}
    about = {f"chain:{name}": digest for name, (_, digest) in heads.items()}
    return statement(KIND, about, {**said, **typed})


def read(lists: Sequence[tuple[Envelope, str]]) -> People:
    """The last of the lists, each given with the digest of its file, the oldest first. Damaged where they don't fit."""
    root, previous = lists[0][0].key, ""
    revoked_at: dict[str, Mapping[str, tuple[int, str]]] = {}
    people: People | None = None
    for number, (envelope, digest) in enumerate(lists, 1):
        said = envelope.predicate
        if envelope.statement["predicateType"] != KIND or said.get("format") != FORMAT:
            raise Damaged(f"list {number} of people has a format that this version of benchleaf does not know")
        if envelope.key != root:
            raise Damaged(f"list {number} of people is signed with another root key than the first")
        if said.get("number") != number or said.get("previous") != previous:
            raise Damaged(f"list {number} of people does not follow the one before it")
        people = _one(envelope, digest, number)
        for signer in people.signers:
            for key in signer.keys:
                if key.revoked:
                    revoked_at.setdefault(key.key, people.heads)
        previous = digest
    assert people is not None
    return people._replace(revoked_at=revoked_at)


def _one(envelope: Envelope, digest: str, number: int) -> People:
    said = envelope.predicate
    try:
        typed = {"people": said["people"], "release": said["release"]}
        signers = tuple(
            Signer(str(id_), str(each["name"]), tuple(map(str, each["roles"])), tuple(map(_key, each["keys"])))
            for id_, each in typed["people"].items()
        )
        heads = {str(name): (int(head[0]), str(head[1])) for name, head in said["heads"].items()}
        return People(
            str(said["shop"]), number, digest, envelope.key, signers, rule(typed["release"]), heads, {}, typed
        )
    except (KeyError, TypeError, ValueError, AttributeError, IndexError):
        raise Damaged(f"list {number} of people lacks a part") from None


def rule(typed: Mapping[str, Any]) -> Rule:
    """A release rule from plain data; what is left out is as `DEFAULT_RULE` has it."""
    whole = DEFAULT_RULE | dict(typed)
    roles = tuple(map(str, _rows(whole["roles"])))
    if not roles:
        raise ValueError("a release needs a signature")
    return Rule(roles, int(str(whole["valid_days"])), str(whole["revisions"]), tuple(map(str, _rows(whole["themes"]))))


def _rows(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise TypeError("a list belongs here")
    return value


def _key(data: Mapping[str, Any]) -> Key:
    return Key(str(data["key"]), *(str(data.get(name, "")) for name in ("from", "until", "revoked")))
