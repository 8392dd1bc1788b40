"""The schemas, their validators, and complete documents to hold against them."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import jsonschema_rs
import pytest

from benchleaf.base.resources import schema_root, schema_text
from benchleaf.source.tree import Node, read

FOLDER = Path(__file__).parent / "documents"
# Which schema each of the documents is held against.
DOCUMENTS = {
    "shop.yaml": "shop",
    "machine.yaml": "machine",
    "no-lift.yaml": "procedure",
    "pump-replace.yaml": "procedure",
    "close-up.yaml": "block",
}
Path_ = tuple[str | int, ...]


def data(node: Node) -> Any:
    """What a JSON Schema sees of a YAML tree."""
    if node.kind == "map":
        return {entry.key: data(entry.node) for entry in node.value}
    if node.kind == "list":
        return [data(each) for each in node.value]
    return float(node.value) if node.kind == "decimal" else node.value


class Schema:
    """A schema with its validator and the ways to walk it."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.root: dict[str, Any] = json.loads(schema_text(name))
        self.accepts = jsonschema_rs.Draft202012Validator(self.root).is_valid
        older = json.loads((schema_root() / "draft-07" / f"{name}.schema.json").read_text(encoding="utf-8"))
        self.accepts_07 = jsonschema_rs.Draft7Validator(older).is_valid

    def resolved(self, schema: Any) -> Any:
        """The schema that `$ref` points at, or the schema itself."""
        while isinstance(schema, dict) and "$ref" in schema:
            schema = self.root["$defs"][schema["$ref"].removeprefix("#/$defs/")]
        return schema

    def along(self, way: list[str | int]) -> dict[str, Any]:
        """The schema at the end of a way from the root; references are steps of the way."""
        here: Any = self.root
        for step in way:
            here = self.root["$defs"][here["$ref"].removeprefix("#/$defs/")] if step == "$ref" else here[step]
        assert isinstance(here, dict)
        return here

    def accepts_as(self, schema: dict[str, Any], value: Any) -> bool:
        """Whether a value is right for a piece of this schema."""
        return jsonschema_rs.Draft202012Validator({"$defs": self.root["$defs"], **schema}).is_valid(value)

    def below(self, schema: Any, keyword: str) -> Any:
        """The first value of a keyword found in a schema, through references and the branches of conditions."""
        schema = self.resolved(schema)
        if not isinstance(schema, dict):
            return None
        if isinstance(schema.get(keyword), dict) and ("if" not in schema or keyword in ("properties", "items")):
            return schema[keyword]
        found = (self.below(schema.get(branch), keyword) for branch in ("else", "then"))
        return next((each for each in found if each is not None), None)

    def described(self) -> Iterator[tuple[str, dict[str, Any]]]:
        """Where and what: everything that an editor shows."""
        for name, each in self.root["$defs"].items():
            yield f"$defs/{name}", each
            yield from self._described(f"$defs/{name}", each)
        yield from self._described("", self.root)

    def _described(self, place: str, schema: Any) -> Iterator[tuple[str, dict[str, Any]]]:
        if isinstance(schema, dict):
            for name, each in schema.get("properties", {}).items():
                yield f"{place}/{name}", each
                yield from self._described(f"{place}/{name}", each)
            for key in ("items", "additionalProperties", "then", "else"):
                each = schema.get(key)
                # A branch without the whole list of properties only restricts what is described elsewhere.
                if key in ("items", "additionalProperties") or (
                    isinstance(each, dict) and "additionalProperties" in each
                ):
                    yield from self._described(f"{place}/{key}", each)

    def places(self, value: Any, schema: Any, path: Path_ = ()) -> Iterator[tuple[Path_, str, dict[str, Any]]]:
        """Each place of a value with each schema that holds there, and the name of its definition."""
        name = schema["$ref"].removeprefix("#/$defs/") if isinstance(schema, dict) and "$ref" in schema else ""
        schema = self.resolved(schema)
        if not isinstance(schema, dict):
            return
        yield path, name, schema
        if "if" in schema:
            branch = "then" if self.accepts_as(schema["if"], value) else "else"
            yield from self.places(value, schema.get(branch), path)
        for each in schema.get("allOf", ()):
            yield from self.places(value, each, path)
        if isinstance(value, dict):
            for key, each in value.items():
                below = schema.get("properties", {}).get(key, schema.get("additionalProperties"))
                yield from self.places(each, below, (*path, key))
        elif isinstance(value, list):
            for index, each in enumerate(value):
                yield from self.places(each, schema.get("items"), (*path, index))


@pytest.fixture(scope="session")
def schema() -> Callable[[str], Schema]:
    """A schema by its name."""
    made: dict[str, Schema] = {}

    def get(name: str) -> Schema:
        if name not in made:
            made[name] = Schema(name)
        return made[name]

    return get


@pytest.fixture(scope="session")
def tree() -> Callable[[str], Node]:
    """The tree of a text in YAML."""

    def parse(text: str) -> Node:
        made = read(text, "document.yaml")
        assert made.node is not None, made.findings
        return made.node

    return parse


@pytest.fixture(scope="session")
def documents(tree: Callable[[str], Node]) -> dict[str, tuple[str, Any]]:
    """File name to the name of its schema and what the schema sees of it."""
    return {name: (kind, data(tree((FOLDER / name).read_text(encoding="utf-8")))) for name, kind in DOCUMENTS.items()}
