"""What an editor shows at each field, and that the schemas are sound in themselves."""

import json
import re

import jsonschema
import pytest

from benchleaf.base.resources import schema_names, schema_text
from benchleaf.model.actions import actions

NAMES = schema_names()
SOURCES = ("block", "machine", "procedure", "shop")


def test_the_schemas_of_all_files_are_there():
    assert set(SOURCES) | {"findings"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_schema_is_valid_2020_12(name):
    root = json.loads(schema_text(name))
    assert root["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    jsonschema.Draft202012Validator.check_schema(root)


@pytest.mark.parametrize("name", NAMES)
def test_each_field_says_what_it_is_and_shows_it(name, schema):
    fields = list(schema(name).described())
    assert len(fields) > 20
    for place, field in fields:
        assert field.get("title"), place
        assert field["title"][0].islower() or field["title"].isupper(), place
        described = field.get("description", "")
        assert len(described) > 15 and described[0].isupper() and described.endswith("."), place
        assert field.get("examples"), place


@pytest.mark.parametrize("name", NAMES)
def test_the_examples_are_right_for_their_fields(name, schema):
    held = schema(name)
    wrong = [
        (place, example)
        for place, field in held.described()
        for example in field["examples"]
        if not held.accepts_as(field, example)
    ]
    assert wrong == []
    assert all(held.accepts(example) for example in held.root["examples"])


@pytest.mark.parametrize("name", SOURCES)
def test_a_field_that_may_be_left_out_says_what_happens_then(name, schema):
    held = schema(name)
    silent = []
    for place, owner in [("", held.root), *held.described()]:
        fields = owner.get("properties", {})
        for key in fields.keys() - set(owner.get("required", ())) - actions().keys():
            if not re.search("[Ll]eft out|[Nn]eeded|needs|form of a limit", fields[key]["description"]):
                silent.append(f"{place}/{key}")
    assert silent == []


def test_the_same_definition_says_the_same_in_all_schemas(schema):
    seen: dict[str, object] = {}
    for name in SOURCES:
        for key, each in schema(name).root["$defs"].items():
            assert seen.setdefault(key, each) == each, f"{name}: {key}"
    assert len(seen) > 40


@pytest.mark.parametrize("name", SOURCES)
def test_every_definition_is_used(name):
    text = schema_text(name)
    unused = [key for key in json.loads(text)["$defs"] if f'"#/$defs/{key}"' not in text]
    assert unused == []
