"""A shape judged without the validator is judged as the reference, jsonschema, judges it; or not at all."""

import json
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from benchleaf.base.resources import schema_text
from benchleaf.source.shape import KINDS
from benchleaf.source.shape_sure import Unsure, fits
from benchleaf.source.text import load
from benchleaf.source.tree import read

ROOT = Path(__file__).parents[2]
VALUES = st.recursive(
    st.sampled_from(
        (None, True, False, 0, 1, -1, 2, 1.0, 2.5, "", "a", "ab", "a\n", "ä", "1", "2026-02-28", "2026-02-29")
    )
    | st.sampled_from(("2026-W05-1", "20260228", "2026-2-28")),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.sampled_from("abc"), inner, max_size=3),
    max_leaves=6,
)
NAMES = {"$defs": {"name": {"type": "string", "pattern": "^[a-z]+$"}}}
SCHEMAS = (
    True,
    False,
    {"type": "object"},
    {"type": ["integer", "null"]},
    {"type": "number"},
    {"type": "boolean"},
    {"const": 1},
    {"const": True},
    {"enum": [0, "a", None]},
    {"required": ["a", "b"]},
    {"properties": {"a": {"type": "string"}, "b": False}},
    {"properties": {"a": {}}, "additionalProperties": False},
    {"additionalProperties": {"type": "integer"}},
    {"propertyNames": {"pattern": "^[ab]$"}},
    {"minProperties": 1, "maxProperties": 2},
    {"dependentRequired": {"a": ["b"]}},
    {"dependentSchemas": {"a": {"required": ["c"]}}},
    {"items": {"type": "string"}},
    {"minItems": 1, "maxItems": 2},
    {"uniqueItems": True},
    {"pattern": "^a$"},
    {"pattern": "\\S"},
    {"format": "date"},
    {"minimum": 1, "maximum": 2},
    {"exclusiveMinimum": 1, "exclusiveMaximum": 2.5},
    {"not": {"type": "string"}},
    {"allOf": [{"type": "string"}, {"pattern": "a"}]},
    {"if": {"type": "string"}, "then": {"pattern": "a"}, "else": {"type": "object"}},
    {"if": {"required": ["a"]}, "then": {"required": ["b"]}},
    {"then": False},
    {"$ref": "#/$defs/name", **NAMES},
    {"properties": {"a": {"$ref": "#/$defs/name"}}, **NAMES},
    {"title": "A", "description": "B", "examples": ["c"], "errorMessage": "No.", "default": 1},
)


@settings(max_examples=400)
@given(st.sampled_from(SCHEMAS), VALUES)
def test_a_verdict_is_that_of_the_reference(schema, value):
    checks = jsonschema.Draft202012Validator.FORMAT_CHECKER
    right = jsonschema.Draft202012Validator(schema, format_checker=checks).is_valid(value)
    try:
        assert fits(schema, value, schema) is right
    except Unsure:
        # Only what must be compared as a whole is left open.
        assert isinstance(value, list)
        assert "uniqueItems" in schema


@pytest.mark.parametrize(
    "schema",
    [
        {"patternProperties": {}},
        {"oneOf": [True]},
        {"anyOf": [True]},
        {"contains": True},
        {"unevaluatedProperties": False},
        {"format": "uri"},
        {"$ref": "#/properties/a"},
        {"$ref": "other.json"},
        {"misspelt": 1},
    ],
    ids=json.dumps,
)
def test_what_is_not_known_is_left_open(schema):
    with pytest.raises(Unsure):
        fits(schema, "a", schema)


def test_the_files_of_the_demo_need_no_library():
    schemas = {kind: json.loads(schema_text(kind)) for kind in KINDS}
    seen = set()
    for path in sorted((ROOT / "procedures").rglob("*.yaml")):
        text = load(path, path.name)
        node, findings = read(text.text, path.name)
        assert not findings
        kind = node.get("format").value.split("/")[1]
        assert fits(schemas[kind], node.plain(), schemas[kind]), path
        seen.add(kind)
    assert seen == set(KINDS)
