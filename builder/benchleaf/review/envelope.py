"""Signed statements: a DSSE envelope (version 1.0.0) over an in-toto statement (version 1), as one exact row of bytes.

Each envelope has one signature. A file must hold exactly the bytes that this module writes: a changed byte is found
even where it changes no meaning.
"""

import json
from base64 import b64decode, b64encode
from binascii import Error
from collections.abc import Mapping
from typing import Any, NamedTuple

from benchleaf.card.digest import canonical
from benchleaf.review.faults import Damaged
from benchleaf.review.keys import SigningKey, verifies

PAYLOAD_TYPE = "application/vnd.in-toto+json"
STATEMENT = "https://in-toto.io/Statement/v1"
_PARTS = (
    {"payload", "payloadType", "signatures"},
    {"keyid", "sig"},
    {"_type", "subject", "predicateType", "predicate"},
)


class Envelope(NamedTuple):
    """An envelope that is whole: its statement, and the key that signed it. Whether the key is believed is not said."""

    statement: Mapping[str, Any]
    key: str

    @property
    def predicate(self) -> Mapping[str, Any]:
        """What is said of the subjects."""
        found = self.statement["predicate"]
        assert isinstance(found, Mapping)
        return found


def pae(kind: str, body: bytes) -> bytes:
    """The bytes that are signed (DSSE 1.0.0, Pre-Authentication Encoding)."""
    name = kind.encode()
    return b"DSSEv1 %d %s %d %s" % (len(name), name, len(body), body)


def statement(kind: str, subjects: Mapping[str, str], predicate: Mapping[str, Any]) -> dict[str, Any]:
    """An in-toto statement of this predicate type about things with these names and SHA-256 digests."""
    about = [{"name": name, "digest": {"sha256": digest}} for name, digest in sorted(subjects.items())]
    return {"_type": STATEMENT, "subject": about, "predicateType": kind, "predicate": dict(predicate)}


def subjects(said: Mapping[str, Any]) -> dict[str, str]:
    """Digests of the things that a statement is about, by name. Damaged where it names them in another way."""
    try:
        return {str(each["name"]): str(each["digest"]["sha256"]) for each in said["subject"]}
    except (KeyError, TypeError):
        raise Damaged("its subjects are not named by their SHA-256") from None


def seal(said: Mapping[str, Any], key: SigningKey) -> bytes:
    """The file of a statement signed with this key."""
    body = canonical(said)
    return _file(body, key.public, key.sign(pae(PAYLOAD_TYPE, body)))


def opened(content: bytes) -> Envelope:
    """The envelope of a file, its signature held against the key that it names. Damaged where anything is amiss."""
    try:
        data = json.loads(content)
        if set(data) != _PARTS[0] or data["payloadType"] != PAYLOAD_TYPE or len(data["signatures"]) != 1:
            raise Damaged("it is no envelope with one signature over an in-toto statement")
        (signature,) = data["signatures"]
        if set(signature) != _PARTS[1]:
            raise Damaged("its signature lacks a part")
        body, key, sig = b64decode(data["payload"]), str(signature["keyid"]), b64decode(signature["sig"])
        said = json.loads(body)
        whole = _file(body, key, sig) == content and canonical(said) == body and set(said) == _PARTS[2]
    except Damaged:
        raise
    except (Error, ValueError, KeyError, TypeError, RecursionError, AttributeError):
        raise Damaged("it can't be read") from None
    if not whole:
        raise Damaged("its bytes are not those that were written")
    if not verifies(key, sig, pae(PAYLOAD_TYPE, body)):
        raise Damaged("its signature does not fit what it says")
    if said["_type"] != STATEMENT or not isinstance(said["predicate"], Mapping):
        raise Damaged("it holds no statement of a kind that this version of benchleaf knows")
    subjects(said)
    return Envelope(said, key)


def _file(body: bytes, key: str, signature: bytes) -> bytes:
    data = {
        "payload": b64encode(body).decode(),
        "payloadType": PAYLOAD_TYPE,
        "signatures": [{"keyid": key, "sig": b64encode(signature).decode()}],
    }
    return canonical(data) + b"\n"
