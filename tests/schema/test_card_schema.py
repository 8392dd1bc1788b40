"""The compiled card and its schema hold together: same fields, all always there, same shapes."""

import importlib.util
from collections.abc import Mapping
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, get_args, get_origin

import pytest
from tests.proof.demo_cards import cards

from benchleaf.card.model import FORMAT, Card, plain
from benchleaf.trade.hazards import KINDS

CARDS = Path(__file__).parents[1] / "render" / "sample_cards.py"


def sample_cards() -> dict[str, Card]:
    spec = importlib.util.spec_from_file_location("sample_cards", CARDS)
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    return {name: each for name, each in vars(module).items() if isinstance(each, Card)}


SAMPLES = sample_cards()


def check(held: Any, annotation: Any, field: Any, place: str) -> int:
    """Hold a field against its annotation; returns how many fields were held."""
    if get_origin(annotation) is UnionType:
        assert held.resolved(field)["type"] == ["object", "null"], place
        (inner,) = (each for each in get_args(annotation) if each is not NoneType)
        return check(held, inner, field["then"], place)
    field = held.resolved(field)
    if get_origin(annotation) is Mapping:
        assert field["type"] == "object", place
        return 1
    if get_origin(annotation) is tuple:
        assert field["type"] == "array", place
        several = get_args(annotation)
        if several[-1] is not Ellipsis:
            assert field["minItems"] == field["maxItems"] == len(several), place
        return 1 + check(held, several[0], field["items"], place)
    if isinstance(annotation, type) and hasattr(annotation, "_fields"):
        assert list(field["properties"]) == list(annotation._fields) == field["required"], place
        assert field["additionalProperties"] is False, place
        inner = annotation.__annotations__
        return sum(check(held, inner[key], each, f"{place}.{key}") for key, each in field["properties"].items())
    words = field.get("enum") or ([field["const"]] if "const" in field else None)
    named = {"string": str, "integer": int, "boolean": bool}
    assert all(type(each) is annotation for each in words) if words else named[field["type"]] is annotation, place
    return 1


def test_the_schema_has_the_fields_of_the_card(schema):
    held = schema("card")
    assert check(held, Card, held.root, "card") > 150
    assert held.root["properties"]["format"]["const"] == FORMAT
    assert held.root["$defs"]["hazard-line"]["properties"]["kind"]["enum"] == list(KINDS)


@pytest.mark.parametrize("name", SAMPLES)
def test_a_card_is_as_described(name, schema):
    assert schema("card").accepts(plain(SAMPLES[name]))


def test_there_are_cards_to_hold_against_the_schema():
    assert len(SAMPLES) >= 3


@pytest.mark.parametrize("name", SAMPLES)
def test_no_field_of_a_card_may_be_missing_or_unheard_of(name, schema):
    held, card = schema("card"), plain(SAMPLES[name])
    accepted = []
    objects = [path for path, _, each in held.places(card, held.root) if each.get("additionalProperties") is False]
    for path in objects:
        for key in [*at(card, path), "unheard-of"]:
            owner = at(card, path)
            whole = dict(owner)
            if key in owner:
                del owner[key]
            else:
                owner[key] = ""
            if held.accepts(card):
                accepted.append((path, key))
            owner.clear()
            owner.update(whole)
    assert len(objects) > 15
    assert accepted == []
    assert held.accepts(card) and card == plain(SAMPLES[name])


def at(value: Any, path: tuple[str | int, ...]) -> Any:
    for key in path:
        value = value[key]
    return value


def test_the_cards_of_the_demo_are_as_described(schema):
    made = [plain(card) for card in cards().values()]
    assert len(made) > 5
    assert [card["id"] for card in made if not schema("card").accepts(card)] == []
