"""Ed25519 keys (RFC 8032): public ones as text, private ones in a file that only a pass phrase opens.

The private key is sealed with ChaCha20-Poly1305 (RFC 8439) under a key that scrypt (RFC 7914) draws from the pass
phrase, so that each try of a pass phrase takes time and memory, and a wrong one is told without a hint.
"""

import json
from base64 import b64decode, b64encode
from binascii import Error
from collections.abc import Callable, Mapping
from secrets import token_bytes
from typing import Any, NamedTuple

from cryptography.exceptions import InvalidSignature, InvalidTag
from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey, Ed25519PublicKey
from cryptography.hazmat.primitives.ciphers.aead import ChaCha20Poly1305
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from benchleaf.card.digest import canonical
from benchleaf.review.faults import Damaged, Refused

FORMAT = "benchleaf/key/1"
PREFIX = "ed25519:"
# 32 MiB and about a tenth of a second for each try (RFC 7914, section 2, advises to grow N with the hardware).
_COST = {"name": "scrypt", "n": 1 << 15, "r": 8, "p": 1}
_MOST_COST = 1 << 20
_HEAD = ("format", "label", "public", "kdf", "salt", "nonce")


class SigningKey(NamedTuple):
    """A private key that was opened: its public half as text, and what signs with it."""

    public: str
    sign: Callable[[bytes], bytes]


class Label(NamedTuple):
    """What a key file says without its pass phrase: whose it is, and its public key."""

    label: str
    public: str


def public_text(raw: bytes) -> str:
    """The 32 bytes of a public key as text: `ed25519:` and base64."""
    return PREFIX + b64encode(raw).decode()


def public_bytes(text: str) -> bytes:
    """The bytes of a public key; Damaged where the text is none."""
    try:
        raw = b64decode(text.removeprefix(PREFIX), validate=True)
    except (Error, ValueError):
        raw = b""
    if len(raw) != 32 or public_text(raw) != text:
        raise Damaged("this is no public key (`ed25519:` and 44 characters)")
    return raw


def from_seed(seed: bytes) -> SigningKey:
    """The key of a seed of 32 bytes (RFC 8032, 5.1.5)."""
    private = Ed25519PrivateKey.from_private_bytes(seed)
    return SigningKey(public_text(private.public_key().public_bytes_raw()), private.sign)


def verifies(public: str, signature: bytes, message: bytes) -> bool:
    """Whether a signature over a message was made with the private half of this key."""
    try:
        Ed25519PublicKey.from_public_bytes(public_bytes(public)).verify(signature, message)
    except (InvalidSignature, Damaged):
        return False
    return True


def sealed(label: str, passphrase: str, seed: bytes = b"") -> bytes:
    """A new key file; its key is drawn by chance unless a seed of 32 bytes is given."""
    seed = seed or token_bytes(32)
    head = {
        "format": FORMAT,
        "label": label,
        "public": from_seed(seed).public,
        "kdf": _COST,
        "salt": b64encode(token_bytes(16)).decode(),
        "nonce": b64encode(token_bytes(12)).decode(),
    }
    secret = _cipher(head, passphrase).encrypt(b64decode(str(head["nonce"])), seed, canonical(head))
    return (json.dumps(head | {"sealed": b64encode(secret).decode()}, indent=2) + "\n").encode()


def label(content: bytes) -> Label:
    """What a key file says of itself. Damaged for anything else."""
    data = _read(content)
    return Label(data["label"], data["public"])


def opened(content: bytes, passphrase: str) -> SigningKey:
    """The key of a file. Damaged for a file that is none; Refused for a pass phrase that does not open it."""
    data = _read(content)
    head = {name: data[name] for name in _HEAD}
    try:
        seed = _cipher(head, passphrase).decrypt(b64decode(data["nonce"]), b64decode(data["sealed"]), canonical(head))
        key = from_seed(seed)
    except (InvalidTag, Error, ValueError):
        raise Refused("the pass phrase does not open this key") from None
    if key.public != data["public"]:
        raise Damaged("its public key does not belong to its private key")
    return key


def _cipher(head: Mapping[str, Any], passphrase: str) -> ChaCha20Poly1305:
    cost = head["kdf"]
    kdf = Scrypt(salt=b64decode(head["salt"]), length=32, n=cost["n"], r=cost["r"], p=cost["p"])
    return ChaCha20Poly1305(kdf.derive(passphrase.encode()))


def _read(content: bytes) -> dict[str, Any]:
    try:
        data = json.loads(content)
    except ValueError:
        raise Damaged("this is no key file") from None
    if not isinstance(data, dict) or not str(data.get("format", "")).startswith("benchleaf/key/"):
        raise Damaged("this is no key file")
    if data["format"] != FORMAT:
        raise Damaged(f"this key file has the format {data['format']}, which this version of benchleaf does not know")
    if set(data) != {*_HEAD, "sealed"} or not all(isinstance(data[name], str) for name in data if name != "kdf"):
        raise Damaged("this key file lacks a part of it")
    cost = data["kdf"]
    sound = isinstance(cost, dict) and cost.get("name") == "scrypt" and set(cost) == set(_COST)
    if not sound or not all(type(cost[name]) is int and 0 < cost[name] <= _MOST_COST for name in ("n", "r", "p")):
        raise Damaged("this key file asks for a way of opening that this version of benchleaf does not know")
    if cost["n"] * cost["r"] > _MOST_COST or cost["n"] & (cost["n"] - 1) or cost["n"] < 2 or cost["p"] > 16:
        raise Damaged("this key file asks for a way of opening that this version of benchleaf does not know")
    public_bytes(data["public"])
    return data
