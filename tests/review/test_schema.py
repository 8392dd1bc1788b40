"""What signatures say is as `schema/signature.schema.json` describes it."""

import copy
import json
from base64 import b64decode
from pathlib import Path

import jsonschema_rs
import pytest
from tests.review.conftest import PROCEDURE

from benchleaf.base.resources import schema_text

ROOT = Path(__file__).resolve().parents[2]
VALID = jsonschema_rs.Draft202012Validator(json.loads(schema_text("signature"))).is_valid
# What a signature may leave out.
MORE = {"urgent", "remarks", "tried", "findings", "safety"}


def statement(path):
    return json.loads(b64decode(json.loads(path.read_bytes())["payload"]))


@pytest.mark.parametrize(
    "path", sorted(ROOT.glob("procedures/*/signed/*/*.json")), ids=lambda path: f"{path.parent.name} {path.stem}"
)
def test_the_signatures_of_the_demonstration_are_as_described(path):
    assert VALID(statement(path))


def test_every_kind_of_signature_is_as_described(bench):
    bench.sign("w-writer", "ready", "--tried", "machine", "--serial", "DF1-7")
    bench.sign("r-reviewer", "returned", "--reason", "Two limits", "--remark", "1=Which?")
    bench.edit("Keep the fan cool", "Keep the fan cold")
    bench.release("2026-03-02")
    bench.sign("a-approver", "withdrawn", "--reason", "Recalled", "--urgent", day="2026-03-03")
    said = [statement(path) for path in bench.envelopes()]
    assert [each["predicate"]["meaning"] for each in said] == [
        "ready",
        "returned",
        "ready",
        "reviewed",
        "approved",
        "withdrawn",
    ]
    assert all(map(VALID, said))
    assert said[0]["predicate"]["procedure"] == PROCEDURE
    assert {name for each in said for name in each["predicate"]} >= MORE


def test_no_part_of_a_signature_may_be_missing_or_unheard_of(bench):
    bench.sign("w-writer", "ready")
    (path,) = bench.envelopes()
    whole = statement(path)
    for owner in ("statement", "predicate"):
        place = whole if owner == "statement" else whole["predicate"]
        for key in [*place, "unheard-of"]:
            spoiled = copy.deepcopy(whole)
            there = spoiled if owner == "statement" else spoiled["predicate"]
            if key in there:
                del there[key]
            else:
                there[key] = ""
            assert VALID(spoiled) is (key in MORE), key
