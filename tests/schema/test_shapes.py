"""Complete documents are accepted; every way of spoiling them is refused, and told at the place where it is."""

import copy
import json
from typing import Any

import jsonschema
import jsonschema_rs
import pytest
from hypothesis import given
from hypothesis import strategies as st

from benchleaf.model.actions import actions
from benchleaf.model.assemble import assemble
from benchleaf.source.text import unprintable

NAMES = ("shop.yaml", "machine.yaml", "no-lift.yaml", "pump-replace.yaml", "close-up.yaml")


def at(value: Any, path: tuple[str | int, ...]) -> Any:
    for key in path:
        value = value[key]
    return value


def without(document: Any, path: tuple[str | int, ...], key: str) -> Any:
    spoiled = copy.deepcopy(document)
    del at(spoiled, path)[key]
    return spoiled


def put(document: Any, path: tuple[str | int, ...], value: Any) -> Any:
    if not path:
        return value
    spoiled = copy.deepcopy(document)
    at(spoiled, path[:-1])[path[-1]] = value
    return spoiled


@pytest.mark.parametrize("name", NAMES)
def test_a_complete_document_is_accepted_and_read(name, documents, schema, tree):
    kind, document = documents[name]
    jsonschema.Draft202012Validator(schema(kind).root).validate(document)
    assert schema(kind).accepts(document)
    bound = assemble(tree(json.dumps(document, ensure_ascii=False)), kind)
    assert bound.record is not None
    assert bound.findings == ()


@pytest.mark.parametrize("name", NAMES)
def test_no_required_key_may_be_missing(name, documents, schema):
    kind, document = documents[name]
    held = schema(kind)
    cases = {
        (path, key)
        for path, _, each in held.places(document, held.root)
        if isinstance(at(document, path), dict)
        for key in each.get("required", ())
    }
    assert len(cases) > (3 if name == "close-up.yaml" else 10)
    assert [case for case in sorted(cases, key=str) if held.accepts(without(document, *case))] == []


@pytest.mark.parametrize("name", NAMES)
def test_no_unknown_key_is_let_through(name, documents, schema):
    kind, document = documents[name]
    held = schema(kind)
    closed = {
        path
        for path, _, each in held.places(document, held.root)
        if each.get("additionalProperties") is False and isinstance(at(document, path), dict)
    }
    assert len(closed) > 2
    assert [path for path in closed if held.accepts(put(document, (*path, "unheard-of"), "next"))] == []


@pytest.mark.parametrize("name", ("shop.yaml", "machine.yaml", "no-lift.yaml"))
@pytest.mark.parametrize("bare", [42, 0.5, "42", "-3.5", True, None])
def test_a_quantity_is_never_a_bare_number(name, bare, documents, schema):
    kind, document = documents[name]
    held = schema(kind)
    quantities = {
        path for path, _, each in held.places(document, held.root) if "dimension" in each.get("description", "")
    }
    amounts = {path for path in quantities if isinstance(at(document, path), str)}
    assert len(amounts) > 5
    assert [path for path in amounts if held.accepts(put(document, path, bare))] == []


def paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    below = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [path, *(each for key, inner in below for each in paths(inner, (*path, key)))]


ODD = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-5, 500),
    st.sampled_from(
        ["", " ", "next", "none", "off", "24 V", "5 lots", "36 N·m", "a b", "A1", "{lead}", "1..8", "50 %"]
    ),
    # Characters that no source file may hold never come as far as the schema.
    st.text(max_size=5).filter(lambda text: not unprintable(text)),
    st.sampled_from(
        [[], {}, [[]], ["next"], {"go": "rest"}, {"found": "dead", "go": "rest"}, {"key": "on"}, [{"a": "b"}]]
    ),
)


@given(name=st.sampled_from(NAMES), choice=st.data())
def test_what_the_schema_accepts_the_model_reads(name, choice, documents, schema, tree):
    kind, document = documents[name]
    held = schema(kind)
    spoiled = put(document, choice.draw(st.sampled_from(paths(document))), choice.draw(ODD))
    accepted = held.accepts(spoiled)
    assert accepted == held.accepts_07(spoiled), "the draft-07 copy says otherwise"
    if accepted:
        bound = assemble(tree(json.dumps(spoiled, ensure_ascii=False)), kind)
        assert bound.record is not None or bound.findings


def told(held: Any, document: Any) -> list[tuple[str, str]]:
    """Where each error is and what the schema says of it; a forbidden key is told by the schema around it."""
    found = []
    for error in jsonschema_rs.Draft202012Validator(held.root).iter_errors(document):
        steps = 2 if error.kind.name == "falseSchema" else 1
        said = held.along(error.evaluation_path[:-steps]).get("errorMessage", error.message)
        found.append(("/".join(map(str, error.instance_path)), said))
    return found


def step_errors(held: Any, documents: Any, step: Any) -> list[tuple[str, str]]:
    return told(held, put(documents["close-up.yaml"][1], ("steps", 1), step))


def test_a_step_without_an_action_is_told_once(schema, documents):
    ((path, said),) = step_errors(schema("block"), documents, {"at": "pump"})
    assert path == "steps/1"
    assert said.startswith("A step begins with its action")


@pytest.mark.parametrize("second", [each for each in actions() if each != "measure"])
def test_a_second_action_is_told_once_and_at_one_of_them(second, schema, documents):
    step: dict[str, object] = {"measure": "coil", second: "pump"}
    if second == "ask":
        step["answers"] = {"yes": "next", "no": "stop"}
    errors = step_errors(schema("block"), documents, step)
    of_actions = [(path, said) for path, said in errors if "step of its own" in said and "answers" not in path]
    assert [path for path, _ in of_actions] in (["steps/1/measure"], [f"steps/1/{second}"])


def test_each_action_alone_is_a_step(schema, documents):
    held = schema("block")
    for action in actions():
        step = {action: "pump"} | ({"answers": {"yes": "next", "no": "stop"}} if action == "ask" else {})
        assert step_errors(held, documents, step) == []


@pytest.mark.parametrize(
    ("step", "where", "said"),
    [
        ({"ask": "Is it lit?"}, "steps/1", '"answers" is a required property'),
        ({"look": "lamp", "below": "stop"}, "steps/1", '"measure" is a required property'),
        ({"measure": "coil", "answers": {"a": "next", "b": "stop"}}, "steps/1/answers", "A reading leads by"),
        ({"insert": "close-up", "at": "pump"}, "steps/1/at", "An insertion takes"),
        ({"measure": "coil", "below": {"go": "rest", "found": "dead"}}, "steps/1/below/found", "leads one way"),
        ({"measure": "coil", "below": "onward"}, "steps/1/below", "Write next, stop"),
        ({"wait": "Leave it to rest.", "for": 30}, "steps/1/for", "A quantity is a number with its unit"),
        ({"measure": "The voltage of the pack"}, "steps/1/measure", "Write the identifier"),
        ({"operate": "Press.", "otherwise": "stop"}, "steps/1", '"expect" is a required property'),
    ],
)
def test_a_wrong_step_is_told_at_its_place(step, where, said, schema, documents):
    ((path, sentence),) = step_errors(schema("block"), documents, step)
    assert path == where
    assert said in sentence


@pytest.mark.parametrize(
    ("limit", "where", "said"),
    [
        ({}, "", "A limit needs a form"),
        ({"nominal": "5 V"}, "", "A nominal value alone is no limit"),
        ({"tolerance": "4 %"}, "", "A tolerance stands with a nominal value"),
        ({"nominal": "5 V", "tolerance": "4 %", "high": "6 V"}, "/high", "A tolerance stands with a nominal value"),
        ({"low": "4 V", "open": True}, "/low", "A limit has one form"),
        ({"drop": {"from": "rest", "at_most": "2 V"}, "spread": {"at_most": "1 V"}}, "/spread", "A limit has one form"),
        ({"low": 4}, "/low", "A quantity is a number with its unit"),
        ({"share": {"of": "rest"}}, "/share", "less than 2 properties"),
    ],
)
def test_a_limit_has_one_form(limit, where, said, schema, documents):
    spoiled = put(documents["machine.yaml"][1], ("limits", "at-rest"), {"measure": "dc-voltage", **limit})
    errors = told(schema("machine"), spoiled)
    assert any(path == f"limits/at-rest{where}" and said in sentence for path, sentence in errors), errors
    assert {path.removeprefix("limits/at-rest") for path, _ in errors} == {where}


ENERGY_NEEDS = {
    "battery": {"chemistry": "lithium-iron-phosphate", "highest": "29 V", "capacity": "40 Ah"},
    "mains": {"voltage": "230 V"},
    "dc": {"highest": "29 V"},
    "capacitor": {"capacitance": "2200 uF", "highest": "29 V"},
    "spring": {},
    "height": {"mass": "320 kg"},
    "hydraulic": {"pressure": "160 bar"},
    "pneumatic": {"pressure": "8 bar"},
    "motion": {},
    "heat": {"temperature": "70 °C"},
    "chemical": {"agent": "sulphuric acid"},
}


@pytest.mark.parametrize("kind", ENERGY_NEEDS)
def test_each_kind_of_energy_asks_for_its_own_sizes(kind, schema, documents):
    held, document = schema("machine"), documents["machine.yaml"][1]
    assert held.accepts(put(document, ("energy", "bus"), {"kind": kind, **ENERGY_NEEDS[kind]}))
    bare = told(held, put(document, ("energy", "bus"), {"kind": kind}))
    assert sorted(said for _, said in bare) == sorted(f'"{key}" is a required property' for key in ENERGY_NEEDS[kind])
    assert all(path == "energy/bus" for path, _ in bare)


def test_an_unknown_kind_of_energy_is_told_once(schema, documents):
    ((path, said),) = told(schema("machine"), put(documents["machine.yaml"][1], ("energy", "bus", "kind"), "nuclear"))
    assert path == "energy/bus/kind"
    assert "battery, mains, dc" in said


def test_fault_finding_needs_a_complaint_and_nothing_else_does(schema, documents):
    held, document = schema("procedure"), documents["no-lift.yaml"][1]
    bare = without(document, (), "complaint")
    assert told(held, bare) == [("", '"complaint" is a required property')]
    assert held.accepts(bare | {"kind": "inspection"})


@pytest.mark.parametrize("value", ["off", "on", 1, 0, True, "half"])
def test_values_of_conditions_may_look_like_numbers_and_truth(value, schema, documents):
    held, document = schema("machine"), documents["machine.yaml"][1]
    document = put(document, ("conditions", "level", "values"), [value, "other"])
    document = put(document, ("energy", "platform", "when"), {"level": value})
    assert held.accepts(put(document, ("things", "link", "sets"), {"level": value}))
    assert not held.accepts(put(document, ("things", "link", "sets"), {"level": [value]}))
