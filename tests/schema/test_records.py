"""Schema and model hold together: same keys, same needs, same shapes, and what the one shows the other reads."""

import json
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

import pytest

import benchleaf
from benchleaf.base.finding import Severity
from benchleaf.base.rules import FAMILIES
from benchleaf.base.span import Span
from benchleaf.build.verdict import READY, STOPPED
from benchleaf.model.actions import actions
from benchleaf.model.assemble import RECORDS
from benchleaf.model.basics import State, When, Words
from benchleaf.model.bind import PLAIN, SHORT, converter, field_of
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.measures import measures
from benchleaf.model.procedure import Procedure, Step
from benchleaf.trade.hazards import KINDS as ENERGIES
from benchleaf.trade.hazards import hazard, hazard_words, limits
from benchleaf.trade.patterns import bolt_order

PACKAGE = Path(benchleaf.__file__).parent
KINDS = ("block", "machine", "procedure", "shop")


def key_of(field: str) -> str:
    """The key of the file for a record's field."""
    key = field.removesuffix("_")
    return key if field_of(key) == field else field


def bare(annotation: Any) -> Any:
    """An annotation without `| None`."""
    if get_origin(annotation) in (Union, UnionType):
        return next(each for each in get_args(annotation) if each is not NoneType)
    return annotation


def is_record(annotation: Any) -> bool:
    return isinstance(annotation, type) and hasattr(annotation, "_fields") and annotation not in PLAIN


def inner(held: Any, annotation: Any, field: Any) -> tuple[Any, Any]:
    """What an annotation is made of in the end, and the part of the schema for it."""
    annotation = bare(annotation)
    if annotation not in (State, When) and get_origin(annotation) is tuple:
        return inner(held, get_args(annotation)[0], held.below(field, "items"))
    if get_origin(annotation) is Mapping:
        return inner(held, get_args(annotation)[1], held.below(field, "additionalProperties"))
    return annotation, field


def pairs(held: Any, record: Any, owner: Any, seen: set[Any]) -> Iterator[tuple[Any, Any]]:
    """Each record with the object schema that describes it, from the top down."""
    yield record, owner
    for field, annotation in record.__annotations__.items():
        kind, below = inner(held, annotation, owner["properties"].get(key_of(field)))
        if is_record(kind) and kind is not Span and (record, field) not in seen:
            seen.add((record, field))
            yield from pairs(held, kind, object_of(held, below), seen)


def object_of(held: Any, schema: Any) -> dict[str, Any]:
    """The object schema of a record, through references and the branches of a condition."""
    schema = held.resolved(schema)
    assert isinstance(schema, dict), schema
    if "properties" in schema:
        return schema
    branches = [held.resolved(schema[each]) for each in ("then", "else") if each in schema]
    found = [object_of(held, each) for each in branches if held.below(each, "properties") is not None]
    assert len({json.dumps(each) for each in found}) == 1, f"{len(found)} objects in {schema}"
    return found[0]


def fields_of(record: Any) -> dict[str, Any]:
    """Key to annotation of what a writer may write."""
    hidden = {"span", "action", "object"} if record is Step else {"span"}
    return {key_of(name): each for name, each in record.__annotations__.items() if name not in hidden}


@pytest.fixture(params=KINDS)
def matched(request, schema):
    held = schema(request.param)
    found = list(pairs(held, RECORDS[request.param], held.root, set()))
    assert len(found) > (5 if request.param != "block" else 3)
    return held, found


def test_keys_are_the_same_both_ways(matched):
    for record, owner in matched[1]:
        wanted = set(fields_of(record)) | (set(actions()) if record is Step else set())
        assert set(owner["properties"]) == wanted, record.__name__
        assert owner["additionalProperties"] is False, record.__name__


def test_what_the_record_needs_the_schema_requires(matched):
    for record, owner in matched[1]:
        needed = {key_of(name) for name in record._fields if name not in record._field_defaults} - {"span"}
        assert set(owner.get("required", ())) == needed, record.__name__


def test_values_have_the_shape_of_the_record(matched):
    held, found = matched
    for record, owner in found:
        for key, annotation in fields_of(record).items():
            place = f"{record.__name__}.{key}"
            check_shape(held, annotation, owner["properties"][key], place)


def check_shape(held: Any, annotation: Any, field: Any, place: str) -> None:
    annotation = bare(annotation)
    if get_origin(annotation) is Annotated:
        assert field["$ref"] == f"#/$defs/{get_args(annotation)[1] or 'quantity'}", place
        assert not held.accepts_as(field, 42), place
        return
    if annotation in (State, When):
        assert field["$ref"] == f"#/$defs/{'state' if annotation == State else 'when'}", place
    elif get_origin(annotation) is tuple:
        assert held.below(field, "items") is not None, place
        assert not any(held.accepts_as(field, wrong) for wrong in ([], None, 1.5)), place
        check_shape(held, get_args(annotation)[0], held.below(field, "items"), place)
    elif get_origin(annotation) is Mapping:
        assert not held.accepts_as(field, []) and not held.accepts_as(field, "text"), place
        assert not held.accepts_as(field, {}), f"{place}: an empty map says nothing"
        check_shape(held, get_args(annotation)[1], held.below(field, "additionalProperties"), place)
    elif is_record(annotation):
        assert not held.accepts_as(field, 42) and not held.accepts_as(field, []), place
        shorts = [each for each in held.resolved(field).get("examples", ()) if isinstance(each, str)]
        assert bool(shorts) == (annotation in SHORT), place
        assert annotation in SHORT or not held.accepts_as(field, "next"), place
    elif annotation in (bool, int):
        wrong = "true" if annotation is bool else 1.5
        assert not held.accepts_as(field, wrong) and not held.accepts_as(field, "1"), place
    else:
        assert annotation in PLAIN, place
        assert not any(held.accepts_as(field, wrong) for wrong in ({}, {"a": "b"}, None, "")), place
        if annotation is Words:
            assert not held.accepts_as(field, 42), place


def test_the_model_reads_what_the_schema_shows(matched, tree):
    read = 0
    for record, owner in matched[1]:
        for key, annotation in fields_of(record).items():
            for example in owner["properties"][key]["examples"]:
                node = tree(json.dumps(example, ensure_ascii=False))
                findings: list[Any] = []
                assert converter(annotation)(node, node.span, findings) is not None, (
                    f"{record.__name__}.{key}: {example}"
                )
                assert findings == [], f"{record.__name__}.{key}: {findings[0].sentence}"
                read += 1
    assert read > 20


def test_actions_are_those_of_the_model(schema):
    for name in ("procedure", "block"):
        step = schema(name).root["$defs"]["step"]
        assert list(step["properties"])[: len(actions())] == list(actions())
        assert list(step["allOf"][0]["not"]["properties"]) == list(actions())


def test_kinds_of_energy_and_measurement_are_those_of_the_tables(schema):
    machine, shop = schema("machine").root, schema("shop").root
    none = machine["properties"]["energy_none"]
    assert machine["$defs"]["energy"]["properties"]["kind"]["enum"] == list(ENERGIES)
    assert none["else"]["enum"] == none["then"]["items"]["enum"] == list(ENERGIES)
    assert machine["$defs"]["energy"]["properties"]["chemistry"]["enum"] == list(hazard("battery").chemistry)
    assert machine["$defs"]["measure-kind"]["enum"] == shop["$defs"]["measure-kind"]["enum"] == list(measures())


def test_a_hazard_that_has_no_warning_is_no_word_of_the_schema(schema):
    for name in ("machine", "procedure", "block"):
        assert schema(name).root["$defs"]["hazard-word"]["enum"] == list(hazard_words())


def test_thresholds_that_may_be_tightened_are_those_that_are_asked_for(schema):
    assert schema("shop").root["properties"]["thresholds"]["propertyNames"]["enum"] == list(limits())


def test_orders_of_tightening_are_those_that_can_be_drawn(schema):
    words = schema("machine").root["$defs"]["fastener"]["properties"]["sequence"]["then"]["enum"]
    for word in words:
        assert sorted(bolt_order((word,), 6)) == [1, 2, 3, 4, 5, 6]


def test_fields_that_a_house_may_ask_for_are_those_that_may_be_left_out(schema):
    optional = [key_of(name) for name in Procedure._field_defaults]
    required = schema("shop").root["properties"]["rules"]["properties"]["required"]
    assert sorted(required["else"]["enum"]) == sorted(required["then"]["items"]["enum"]) == sorted(optional)


def test_words_of_a_report_are_those_of_the_findings(schema):
    findings = schema("findings").root
    assert findings["$defs"]["severity"]["enum"] == [each.value for each in Severity]
    assert findings["$defs"]["verdict"]["properties"]["status"]["enum"] == [READY, STOPPED]
    assert findings["$defs"]["slug"]["pattern"].startswith("^(" + "|".join(FAMILIES) + ")")


@pytest.mark.parametrize(
    "text", ["rc-48", "a", "no-drive", "a1-2b", "4-post", "A1", "a--b", "-a", "a-", "a b", "a_b", "é"]
)
def test_an_identifier_is_the_same_for_schema_and_model(text, schema):
    pattern = schema("machine").root["$defs"]["name"]["pattern"]
    assert bool(re.search(pattern, text)) == is_identifier(text)
