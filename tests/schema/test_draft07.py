"""The copies for older editors are fresh, valid draft-07, and say the same as the schemas."""

import importlib.util
import json
from pathlib import Path

import jsonschema
import pytest

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def script():
    spec = importlib.util.spec_from_file_location("make_draft07", ROOT / "builder" / "scripts" / "make_draft07.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def test_no_copy_is_out_of_date(script):
    assert script.stale() == [], "run builder/scripts/make_draft07.py"
    assert len(script.copies()) >= 5


def test_copies_are_valid_draft_07(script):
    for name, text in script.copies().items():
        copy = json.loads(text)
        assert copy["$schema"] == "http://json-schema.org/draft-07/schema#", name
        jsonschema.Draft7Validator.check_schema(copy)
        for newer in ("$defs", "dependentSchemas", "dependentRequired"):
            assert f'"{newer}' not in text, name


def test_stale_copies_are_named_and_mended(script, tmp_path):
    (tmp_path / "a.schema.json").write_text('{"$defs": {"b": {"type": "string"}}, "$ref": "#/$defs/b", "title": "a"}')
    (tmp_path / "draft-07").mkdir()
    (tmp_path / "draft-07" / "gone.schema.json").write_text("{}")
    assert script.stale(tmp_path) == ["a.schema.json", "gone.schema.json"]
    assert script.write(tmp_path) == ["a.schema.json", "gone.schema.json"]
    assert script.stale(tmp_path) == []
    assert json.loads((tmp_path / "draft-07" / "a.schema.json").read_text()) == {
        "definitions": {"b": {"type": "string"}},
        "title": "a",
        "allOf": [{"$ref": "#/definitions/b"}],
    }


def test_both_kinds_of_dependence_stand_under_one_key(script):
    made = script.draft_07(
        {"dependentRequired": {"a": ["b"], "c": ["d"]}, "dependentSchemas": {"a": {"properties": {"e": False}}}}
    )
    assert made == {
        "dependencies": {"a": {"allOf": [{"required": ["b"]}, {"properties": {"e": False}}]}, "c": ["d"]},
    }


@pytest.mark.parametrize("keyword", ["unevaluatedProperties", "prefixItems", "minContains"])
def test_what_draft_07_cannot_say_is_refused(keyword, script):
    with pytest.raises(script.Beyond, match=keyword):
        script.draft_07({"properties": {"a": {keyword: False}}})


def test_a_property_named_like_a_keyword_stays_a_property(script):
    schema = {"properties": {"dependentRequired": {"type": "string"}, "$ref": {"enum": ["$defs"]}}}
    assert script.draft_07(schema) == schema
