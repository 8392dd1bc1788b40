"""The two sides of a comparison: cards as they stand, as they were signed, or as a file carries them."""

import json
import os
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from benchleaf.build import readback
from benchleaf.build.candidate import Candidate, candidates
from benchleaf.build.filenames import CARD
from benchleaf.build.request import Tell
from benchleaf.card.digest import content, of_bytes
from benchleaf.review.chain import chain
from benchleaf.review.envelope import opened
from benchleaf.review.faults import Damaged
from benchleaf.review.signature import APPROVED, Signature, read


class NoSide(Exception):
    """What was named is nothing that can be compared; the text is a sentence for the user."""


class Side(NamedTuple):
    """Cards by the key of their class, how they were named, and the candidate or signature that they come from."""

    name: str
    revision: str
    cards: Mapping[str, Mapping[str, Any]]
    candidate: Candidate | None = None
    signature: Signature | None = None


NOTHING = Side("nothing", "", {})


def sides(root: Path, today: str, named: Sequence[str], tell: Tell) -> tuple[Side, Side]:
    """The old and the new side; one that is named alone is held against its last release.

    Raises NoSide, Damaged, Unreadable and Refused.
    """
    new = side(root, today, named[-1], tell)
    if len(named) > 1:
        return side(root, today, named[0], tell), new
    procedure = next(f"{card['machine']['key']}/{card['id']}" for card in new.cards.values())
    signed = [each for each in chain(root, procedure).signatures if each.meaning == APPROVED]
    before = [each for each in signed if new.signature is None or each.content != new.signature.content]
    if not before:
        return NOTHING, new
    return _of_signature(before[-1]), new


def side(root: Path, today: str, name: str, tell: Tell) -> Side:
    """One side. Raises as `sides` does."""
    procedure, at, revision = name.partition("@")
    if at and not os.path.exists(name):
        signed = [each for each in chain(root, procedure).signatures if each.revision == revision]
        if not signed:
            raise NoSide(f"no revision {revision} of {procedure} was ever signed here")
        return _of_signature(signed[-1])
    path = Path(os.path.abspath(name))
    if not path.is_file():
        path = root / "procedures" / f"{name}.yaml"
    if not path.is_file():
        raise NoSide(f"`{name}` is no procedure and no file; write MACHINE/ID, as in rc-48/no-drive")
    if path.suffix == ".yaml":
        return _working(root, today, path, tell)
    return _of_file(path, name)


def _working(root: Path, today: str, path: Path, tell: Tell) -> Side:
    found = candidates(root, today, (path,), tell)
    if len(found) != 1:
        raise NoSide(f"{path.name} is no procedure")
    one = found[0]
    if not one.cards:
        slugs = ", ".join(sorted({error.slug for error in one.errors}))
        raise NoSide(f"{one.file} has errors ({slugs}), and has no card to compare")
    return Side(f"{one.procedure} as it stands", one.revision, one.cards, candidate=one)


def _of_file(path: Path, name: str) -> Side:
    try:
        data = path.read_bytes()
        if data.startswith(b"%PDF"):
            data = readback.attached(data, CARD)
        said = json.loads(data)
    except OSError as error:
        raise NoSide(f"{name} could not be read") from error
    except (ValueError, RecursionError) as error:
        raise Damaged(f"{name} is no card and no signature") from error
    if isinstance(said, dict) and "payloadType" in said:
        return _of_signature(read(opened(data), path.name, of_bytes(data)))
    if not isinstance(said, dict) or not str(said.get("format", "")).startswith("benchleaf/card/"):
        raise Damaged(f"{name} is no card and no signature")
    card = content(said)
    key = card.get("machine", {}).get("applies", {}).get("key", "")
    return Side(name, str(card.get("revision", "")), {key: card})


def _of_signature(signature: Signature) -> Side:
    name = f"{signature.procedure}@{signature.revision} ({signature.meaning} {signature.day})"
    return Side(name, signature.revision, signature.cards, signature=signature)
