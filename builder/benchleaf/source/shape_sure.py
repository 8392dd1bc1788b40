"""Whether a value surely has the shape of a JSON Schema (draft 2020-12), without the library that says what is wrong.

That library takes two starts of Python to load, and most files are right. It decides wherever this module is `Unsure`,
which it is of every keyword that our schemas do not use.
"""

import re
from collections.abc import Callable, Mapping
from datetime import date
from functools import lru_cache
from typing import Any

_Schema = Any
_Root = Mapping[str, Any]
_SAYS_NOTHING = frozenset({"$schema", "$id", "$defs", "title", "description", "examples", "errorMessage", "default"})
_OTHER_BRANCHES = frozenset({"then", "else"})


class Unsure(Exception):
    """A keyword or a value of which the library must judge."""


def fits(schema: _Schema, value: Any, root: _Root) -> bool:
    """Whether plain data fits a schema, `root` being the schema document that its references point into.

    Raises Unsure.
    """
    if schema is True or schema is False:
        return bool(schema)
    for keyword, said in schema.items():
        if keyword in _SAYS_NOTHING or keyword in _OTHER_BRANCHES:
            continue
        test = _TESTS.get(keyword)
        if test is None:
            raise Unsure(keyword)
        if not test(said, value, schema, root):
            return False
    return True


def _type(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    kinds = _KINDS[type(value)]
    if isinstance(said, str):
        return said in kinds or (said == "integer" and type(value) is float and value.is_integer())
    return any(_type(each, value, schema, root) for each in said)


_KINDS: dict[type, tuple[str, ...]] = {
    dict: ("object",),
    list: ("array",),
    str: ("string",),
    bool: ("boolean",),
    int: ("integer", "number"),
    float: ("number",),
    type(None): ("null",),
}


def _same(one: Any, other: Any) -> bool:
    """Equal as JSON has it, where true is not 1."""
    if isinstance(one, (dict, list)) and isinstance(other, (dict, list)):
        raise Unsure("const")
    return bool(one == other) and (type(one) is bool) is (type(other) is bool)


def _additional(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    if type(value) is not dict or said is True:
        return True
    known = schema.get("properties", ())
    return all(fits(said, each, root) for key, each in value.items() if key not in known)


def _properties(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    return type(value) is not dict or all(fits(said[key], each, root) for key, each in value.items() if key in said)


def _names(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    return type(value) is not dict or all(fits(said, key, root) for key in value)


def _items(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    return type(value) is not list or all(fits(said, each, root) for each in value)


def _unique(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    if type(value) is not list or not said:
        return True
    if any(type(each) is not str for each in value):
        raise Unsure("uniqueItems")
    return len(set(value)) == len(value)


def _branch(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    return fits(schema.get("then" if fits(said, value, root) else "else", True), value, root)


def _reference(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    there, _, name = said.rpartition("/")
    if there != "#/$defs":
        raise Unsure(said)
    return fits(root["$defs"][name], value, root)


def _depends(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    return type(value) is not dict or all(fits(each, value, root) for key, each in said.items() if key in value)


def _also_needed(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    return type(value) is not dict or all(
        name in value for key, names in said.items() if key in value for name in names
    )


def _format(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
    if said != "date":
        raise Unsure(said)
    if type(value) is not str:
        return True
    try:
        return len(value) == len("2026-01-31") and bool(date.fromisoformat(value))
    except ValueError:
        return False


@lru_cache(maxsize=256)
def _pattern(said: str) -> Callable[[str], Any]:
    """Searches for a pattern; `$` is the end of the text in a schema, and not before its last line end as well."""
    return re.compile(re.sub(r"(?<!\\)\$$", r"\\Z", said)).search


def _items_of(value: Any) -> int | None:
    return len(value) if type(value) is list else None


def _keys_of(value: Any) -> int | None:
    return len(value) if type(value) is dict else None


def _number(value: Any) -> Any:
    return value if type(value) in (int, float) else None


def _bound(size: Callable[[Any], Any], holds: Callable[[Any, Any], bool]) -> Callable[[Any, Any, _Schema, _Root], bool]:
    def test(said: Any, value: Any, schema: _Schema, root: _Root) -> bool:
        found = size(value)
        return found is None or holds(found, said)

    return test


_TESTS: dict[str, Callable[[Any, Any, _Schema, _Root], bool]] = {
    "$ref": _reference,
    "type": _type,
    "const": lambda said, value, schema, root: _same(said, value),
    "enum": lambda said, value, schema, root: any(_same(each, value) for each in said),
    "properties": _properties,
    "additionalProperties": _additional,
    "propertyNames": _names,
    "required": lambda said, value, schema, root: type(value) is not dict or all(map(value.__contains__, said)),
    "dependentSchemas": _depends,
    "dependentRequired": _also_needed,
    "items": _items,
    "uniqueItems": _unique,
    "if": _branch,
    "allOf": lambda said, value, schema, root: all(fits(each, value, root) for each in said),
    "not": lambda said, value, schema, root: not fits(said, value, root),
    "pattern": lambda said, value, schema, root: type(value) is not str or _pattern(said)(value) is not None,
    "format": _format,
    "minItems": _bound(_items_of, int.__ge__),
    "maxItems": _bound(_items_of, int.__le__),
    "minProperties": _bound(_keys_of, int.__ge__),
    "maxProperties": _bound(_keys_of, int.__le__),
    "minimum": _bound(_number, lambda found, said: found >= said),
    "maximum": _bound(_number, lambda found, said: found <= said),
    "exclusiveMinimum": _bound(_number, lambda found, said: found > said),
    "exclusiveMaximum": _bound(_number, lambda found, said: found < said),
}
