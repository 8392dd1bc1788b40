"""Makes the draft-07 copies of the schemas, `schema/draft-07/*.json`, for editors that know no later draft.

Run it after every change of a schema: `python builder/scripts/make_draft07.py`; with `--check` it writes nothing and
names the copies that are out of date.
"""

import argparse
import json
import sys
from collections.abc import Mapping
from pathlib import Path
from typing import Any

SCHEMAS = Path(__file__).resolve().parents[2] / "schema"
DRAFT_07 = "http://json-schema.org/draft-07/schema#"
WIDTH = 120

# What the values of the keywords are; all that stands in no list is copied as it is.
_ONE = ("additionalProperties", "contains", "else", "if", "items", "not", "propertyNames", "then")
_SEVERAL = ("allOf", "anyOf", "oneOf")
_NAMED = ("patternProperties", "properties")
_BEYOND = (
    "$anchor",
    "$dynamicRef",
    "maxContains",
    "minContains",
    "prefixItems",
    "unevaluatedItems",
    "unevaluatedProperties",
)
# Next to these words `$ref` would be ignored by draft-07; they may stand beside an `allOf` that holds it.
_NOTES = ("title", "description", "errorMessage", "examples")


class Beyond(ValueError):
    """A keyword that draft-07 has no words for."""


def draft_07(schema: Any) -> Any:
    """The same rules in draft-07.

    Raises Beyond for keywords that draft-07 can't say.
    """
    if not isinstance(schema, dict):
        return schema
    made: dict[str, Any] = {}
    for key, value in schema.items():
        if key in _BEYOND:
            raise Beyond(key)
        if key in ("dependentRequired", "dependentSchemas", "$ref"):
            continue
        if key == "$schema":
            made[key] = DRAFT_07
        elif key == "$defs":
            made["definitions"] = {name: draft_07(each) for name, each in value.items()}
        elif key in _NAMED:
            made[key] = {name: draft_07(each) for name, each in value.items()}
        elif key in _SEVERAL:
            made[key] = [draft_07(each) for each in value]
        elif key in _ONE:
            made[key] = draft_07(value)
        else:
            made[key] = value
    if "dependentRequired" in schema or "dependentSchemas" in schema:
        made["dependencies"] = _dependencies(schema.get("dependentRequired", {}), schema.get("dependentSchemas", {}))
    return _with_reference(made, schema["$ref"]) if "$ref" in schema else made


def _dependencies(required: Mapping[str, list[str]], schemas: Mapping[str, Any]) -> dict[str, Any]:
    """Both kinds of dependence under the one keyword of draft-07."""
    made: dict[str, Any] = {key: draft_07(each) for key, each in schemas.items()}
    for key, names in required.items():
        made[key] = {"allOf": [{"required": names}, made[key]]} if key in made else names
    return made


def _with_reference(made: dict[str, Any], target: str) -> dict[str, Any]:
    reference = {"$ref": target.replace("#/$defs/", "#/definitions/")}
    if not made:
        return reference
    allof = [reference, *made.pop("allOf", [])]
    notes = {key: made.pop(key) for key in _NOTES if key in made}
    examples = {"examples": notes.pop("examples")} if "examples" in notes else {}
    return {**notes, **made, "allOf": allof, **examples}


def written(value: Any, indent: int = 0, lead: int = 0) -> str:
    """JSON in lines of at most 120 characters where words allow; what fits into one line stays on one."""
    flat = json.dumps(value, ensure_ascii=False)
    if indent + lead + len(flat) < WIDTH or not isinstance(value, dict | list) or not value:
        return flat
    inner = indent + 2
    if isinstance(value, dict):
        keys = {key: json.dumps(key, ensure_ascii=False) + ": " for key in value}
        rows = [keys[key] + written(each, inner, len(keys[key])) for key, each in value.items()]
    else:
        rows = [written(each, inner) for each in value]
    plain = not any(isinstance(each, dict | list) for each in (value.values() if isinstance(value, dict) else value))
    lines = _filled(rows, WIDTH - inner) if plain and len(rows) > 8 else rows
    first, last = "{}" if isinstance(value, dict) else "[]"
    return first + "\n" + ",\n".join(" " * inner + line for line in lines) + "\n" + " " * indent + last


def _filled(rows: list[str], width: int) -> list[str]:
    lines = [rows[0]]
    for row in rows[1:]:
        if len(lines[-1]) + len(row) + 3 <= width:
            lines[-1] += ", " + row
        else:
            lines.append(row)
    return lines


def copies(folder: Path = SCHEMAS) -> dict[str, str]:
    """File name and text of every copy that belongs into `draft-07` below the folder of the schemas."""
    return {
        path.name: written(draft_07(json.loads(path.read_text(encoding="utf-8")))) + "\n"
        for path in sorted(folder.glob("*.schema.json"))
    }


def stale(folder: Path = SCHEMAS) -> list[str]:
    """Names of copies that are missing, out of date, or left over from a schema that is gone."""
    wanted = copies(folder)
    there = {path.name: path.read_text(encoding="utf-8") for path in (folder / "draft-07").glob("*.json")}
    return sorted(name for name in wanted.keys() | there.keys() if wanted.get(name) != there.get(name))


def write(folder: Path = SCHEMAS) -> list[str]:
    """Bring the copies up to date; returns the names of those that changed."""
    changed = stale(folder)
    wanted = copies(folder)
    (folder / "draft-07").mkdir(exist_ok=True)
    for name in changed:
        path = folder / "draft-07" / name
        if name in wanted:
            path.write_text(wanted[name], encoding="utf-8", newline="\n")
        else:
            path.unlink()
    return changed


def main() -> int:
    """Write the copies, or check them; 1 where a check finds one out of date."""
    parser = argparse.ArgumentParser(description="Makes the draft-07 copies of the schemas.")
    parser.add_argument("--check", action="store_true", help="write nothing, name the copies that are out of date")
    check = parser.parse_args().check
    names = stale() if check else write()
    for name in names:
        print(f"schema/draft-07/{name}: {'out of date' if check else 'written'}")
    return 1 if check and names else 0


if __name__ == "__main__":
    sys.exit(main())
