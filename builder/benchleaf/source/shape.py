"""A tree against the JSON Schema of its kind, and what the schema finds told in the trade's words.

Validating is jsonschema_rs's work; its errors come in no useful order and wording, and only tell which keyword of
the schema failed where.
"""

import json
import re
from collections.abc import Iterator
from functools import cache
from itertools import islice
from typing import Any

import jsonschema_rs

from benchleaf.base.finding import Finding, in_order
from benchleaf.base.resources import schema_text
from benchleaf.source.nodes import Entry, Node
from benchleaf.source.shape_complaint import Complaint

# No writer mends more than these in one go, and looking for what was meant takes its time.
MOST_COMPLAINTS = 200

_POSSIBLE_KEY = re.compile(r"[a-z0-9_-]+")

KINDS = ("shop", "machine", "block", "procedure")

_Schema = dict[str, Any]
# Keywords whose value maps names to schemas; of these only `properties` leads to another value.
_MAPS = ("properties", "dependentSchemas")
# Keywords whose schema speaks of what a value holds.
_INWARDS = ("items", "additionalProperties", "propertyNames")


def check(node: Node, kind: str) -> tuple[Finding, ...]:
    """Findings where the tree of a file does not have the shape that `schema/KIND.schema.json` asks for."""
    validator = _validator(kind)
    plain = node.plain()
    if validator.is_valid(plain):
        return ()
    # Only a file with errors pays for the words and the search for what was meant.
    from benchleaf.source.shape_words import told

    complaints = tuple(_complaints(kind, node, _bounded(plain))) or tuple(_complaints(kind, node, plain))
    return in_order(told(schema_of(kind), node, complaints))


@cache
def schema_of(kind: str) -> _Schema:
    """The schema of a kind of file, parsed."""
    schema: _Schema = json.loads(schema_text(kind))
    return schema


@cache
def _validator(kind: str) -> jsonschema_rs.Draft202012Validator:
    return jsonschema_rs.Draft202012Validator(schema_of(kind), validate_formats=True)


def _complaints(kind: str, root: Node, plain: Any) -> Iterator[Complaint]:
    for error in islice(_validator(kind).iter_errors(plain), MOST_COMPLAINTS):
        name = error.kind.name
        key = None
        path = tuple(error.instance_path)
        if name == "propertyNames":
            error = error.kind.as_dict()["error"]
            name = error.kind.name
            key = str(error.instance)
        through = tuple(error.evaluation_path)
        keyword = name if name == "falseSchema" or not through else str(through[-1])
        node, entry, parent = _found(root, path)
        yield Complaint(
            keyword=keyword,
            facts=error.kind.as_dict(),
            path=path,
            node=node,
            entry=entry,
            parent=parent,
            key=next((one for one in node.value if one.key == key), None) if key is not None else None,
            schemas=_schemas(schema_of(kind), through[:-1]),
            through=through,
        )


def _bounded(value: Any) -> Any:
    """The value without most of the keys that cannot be right, where one map has hundreds of them.

    The validator copies the whole map for each such key, so that thousands would take minutes.
    """
    if isinstance(value, list):
        return [_bounded(item) for item in value]
    if not isinstance(value, dict):
        return value
    odd = [key for key in value if len(value) > MOST_COMPLAINTS and not _POSSIBLE_KEY.fullmatch(key)]
    dropped = set(odd[MOST_COMPLAINTS:])
    return {key: _bounded(item) for key, item in value.items() if key not in dropped}


def _found(root: Node, path: tuple[str | int, ...]) -> tuple[Node, Entry | None, Node | None]:
    """The node at a path, the entry that holds it, and the node around it."""
    node, entry, parent = root, None, None
    for step in path:
        parent = node
        if node.kind == "map":
            # A key of digits alone comes back as a number.
            entry = next(one for one in node.value if one.key == str(step))
            node = entry.node
        else:
            entry, node = None, node.value[step]
    return node, entry, parent


def _schemas(schema: _Schema, through: tuple[str | int, ...]) -> tuple[_Schema, ...]:
    """Those schemas on a way that speak of the value at its end; references are followed."""
    found = [schema]
    here: Any = schema
    within = ""
    for step in through:
        here = here[step]
        if within:
            found = [here] if within == "properties" else [*found, here]
            within = ""
        elif step in _MAPS:
            within = str(step)
        elif step in _INWARDS:
            found = [here]
        elif step == "$ref":
            here = schema["$defs"][here.rpartition("/")[2]]
            found.append(here)
        elif isinstance(here, dict):
            found.append(here)
    return tuple(found)
