"""Keys and envelopes against published vectors, and every byte of an envelope against change.

Vectors: RFC 8032, 7.1 (Ed25519); DSSE 1.0.0, protocol.md, test vectors (pre-authentication encoding and an ECDSA
signature over it).
"""

import json
from base64 import b64decode

import pytest
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature
from cryptography.hazmat.primitives.hashes import SHA256
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.card.digest import canonical
from benchleaf.review.envelope import opened, pae, seal, statement
from benchleaf.review.faults import Damaged, Refused
from benchleaf.review.keys import from_seed, label, public_text, sealed, verifies
from benchleaf.review.keys import opened as key_of

PHRASE = "correct horse battery"
RFC_8032 = [
    (
        "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
        "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
        "",
        "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe2"
        "4655141438e7a100b",
    ),
    (
        "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
        "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
        "72",
        "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aee"
        "b00d291612bb0c00",
    ),
    (
        "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
        "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
        "af82",
        "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28d"
        "c027beceea1ec40a",
    ),
]
KEY = from_seed(bytes(range(32)))
SAID = statement("urn:benchleaf:test:1", {"card:": "00" * 32}, {"text": "Turn the key on.", "number": 7})
FILE = seal(SAID, KEY)


@pytest.mark.parametrize(("seed", "public", "message", "signature"), RFC_8032)
def test_ed25519_is_that_of_the_published_vectors(seed, public, message, signature):
    key = from_seed(bytes.fromhex(seed))
    assert key.public == public_text(bytes.fromhex(public))
    assert key.sign(bytes.fromhex(message)).hex() == signature
    assert verifies(key.public, bytes.fromhex(signature), bytes.fromhex(message))
    assert not verifies(key.public, bytes.fromhex(signature), bytes.fromhex(message) + b"x")


def test_what_is_signed_is_that_of_the_published_example():
    encoded = pae("http://example.com/HelloWorld", b"hello world")
    assert encoded == b"DSSEv1 29 http://example.com/HelloWorld 11 hello world"
    x = 46950820868899156662930047687818585632848591499744589407958293238635476079160
    y = 5640078356564379163099075877009565129882514886557779369047442380624545832820
    raw = b64decode("A3JqsQGtVsJ2O2xqrI5IcnXip5GToJ3F+FnZ+O88SjtR6rDAajabZKciJTfUiHqJPcIAriEGAHTVeCUjW2JIZA==")
    numbers = (int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big"))
    key = ec.EllipticCurvePublicNumbers(x, y, ec.SECP256R1()).public_key()
    key.verify(encode_dss_signature(*numbers), encoded, ec.ECDSA(SHA256()))


def test_an_envelope_says_what_was_sealed():
    found = opened(FILE)
    assert found.key == KEY.public
    assert found.statement == SAID
    data = json.loads(FILE)
    assert set(data) == {"payload", "payloadType", "signatures"}
    assert data["payloadType"] == "application/vnd.in-toto+json"
    assert json.loads(b64decode(data["payload"]))["_type"] == "https://in-toto.io/Statement/v1"


@pytest.mark.parametrize("place", range(len(FILE)))
def test_each_byte_counts(place):
    for other in {FILE[place] ^ 1, FILE[place] ^ 32, ord("A"), ord(" ")} - {FILE[place]}:
        with pytest.raises(Damaged):
            opened(FILE[:place] + bytes([other]) + FILE[place + 1 :])


@given(st.integers(0, len(FILE)), st.binary(max_size=3))
def test_nothing_can_be_put_in_or_left_out(place, extra):
    for changed in (FILE[:place] + extra + FILE[place:], FILE[:place]):
        if changed != FILE:
            with pytest.raises(Damaged):
                opened(changed)


def test_another_key_can_not_take_over_a_statement():
    other = from_seed(bytes(32))
    data = json.loads(FILE)
    data["signatures"][0]["keyid"] = other.public
    with pytest.raises(Damaged, match="signature does not fit"):
        opened(canonical(data) + b"\n")


def test_a_key_file_opens_with_its_pass_phrase_and_with_no_other():
    content = sealed("R. Reviewer", PHRASE)
    assert label(content) == ("R. Reviewer", key_of(content, PHRASE).public)
    assert PHRASE.encode() not in content
    for wrong in ("", PHRASE + " ", PHRASE.upper()):
        with pytest.raises(Refused, match=r"^the pass phrase does not open this key$"):
            key_of(content, wrong)


def test_a_key_file_can_not_be_given_to_somebody_else():
    data = json.loads(sealed("R. Reviewer", PHRASE))
    for name, value in {"label": "W. Writer", "public": KEY.public}.items():
        with pytest.raises((Refused, Damaged)):
            key_of(json.dumps(data | {name: value}).encode(), PHRASE)


@pytest.mark.parametrize(
    ("spoiled", "said"),
    [
        ({"format": "benchleaf/key/9"}, "does not know"),
        ({"public": "ed25519:AAAA"}, "no public key"),
        ({"kdf": {"name": "scrypt", "n": 1 << 40, "r": 8, "p": 1}}, "does not know"),
        ({"kdf": {"name": "none"}}, "does not know"),
        ({"salt": 3}, "lacks a part"),
    ],
)
def test_a_damaged_key_file_is_told(spoiled, said):
    data = json.loads(sealed("R. Reviewer", PHRASE))
    with pytest.raises(Damaged, match=said):
        key_of(json.dumps(data | spoiled).encode(), PHRASE)
    with pytest.raises(Damaged, match="no key file"):
        key_of(b"{}", PHRASE)
