"""A card's content as a flat table: what is said, by the thing that it is said of; numbers of steps are left out.

Two cards then differ exactly where their tables do. Things that lie in lists are told apart by names that stay the
same over revisions, never by their place, and every number of a step is written as the name of that step.
"""

import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from benchleaf.card.digest import canonical

Data = Mapping[str, Any]
# By what the members of a list are told apart; the others by their key, or by all that they say.
_NAMES: dict[str, tuple[str, ...]] = {
    "choices": ("side", "label"),
    "crew": ("role",),
    "entries": ("key",),
    "equipment": ("sign", "name"),
    "hazards": ("key",),
    "others": ("key",),
    "outcomes": ("key",),
    "put_back": ("key",),
    "references": ("document",),
    "sections": ("key",),
    "spares": ("key",),
    "supplies": ("key",),
    "tools": ("kind", "key"),
    "warnings": ("key",),
    "ways": ("side", "to"),
    "wiring": ("measure", "red", "black"),
}
# Places of things, which follow from what is told otherwise.
_PLACES = frozenset({"number", "of_number", "closing_number", "format"})
# Numbers of steps.
_STEPS = frozenset({"steps", "opened", "closed"})
_STEP_WORDS = re.compile(r"\b([Ss]teps?) (\d+)(?:([–-])(\d+))?")


class Place(NamedTuple):
    """Of what thing something is said: its kind, its name, and the name of the field (dots lead inwards)."""

    kind: str
    name: str
    field: str


def flat(card: Data) -> dict[Place, Any]:
    """All that a card says, by place. What is said of a step has the kind `step` and the key of the step as name."""
    numbers = {step["number"]: str(step["key"]) for section in card.get("sections", ()) for step in section["steps"]}
    table: dict[Place, Any] = {}
    for field, value in card.items():
        if field == "sections":
            for section in value:
                _put(
                    table,
                    Place("section", section["key"], ""),
                    {k: v for k, v in section.items() if k != "steps"},
                    numbers,
                )
                for step in section["steps"]:
                    whole = {**step, "section": section["key"]}
                    _put(table, Place("step", str(step["key"]), ""), whole, numbers)
        elif field in _NAMES:
            for name, member in _members(field, value):
                _put(table, Place(field, name, ""), member, numbers)
        elif isinstance(value, list):
            for name, member in _members(field, [_worded(each, numbers) for each in value]):
                table[Place(field, name, "")] = member
        else:
            _put(table, Place("card" if field != "facts" else "facts", "", field), value, numbers)
    return table


def order(card: Data) -> list[str]:
    """Keys of the steps in their order."""
    return [str(step["key"]) for section in card.get("sections", ()) for step in section["steps"]]


def _put(table: dict[Place, Any], place: Place, value: Any, numbers: Mapping[int, str]) -> None:
    last = place.field.rpartition(".")[2]
    if last in _PLACES:
        return
    if isinstance(value, Mapping):
        for field, inner in value.items():
            _put(table, place._replace(field=f"{place.field}.{field}".lstrip(".")), inner, numbers)
        if not value:
            table[place] = {}
    elif isinstance(value, list) and last in _NAMES:
        for name, member in _members(last, value):
            _put(table, place._replace(field=f"{place.field}[{name}]"), member, numbers)
    elif isinstance(value, list) and last in _STEPS:
        table[place] = [numbers.get(number, number) for number in value]
    else:
        table[place] = _worded(value, numbers)


def _members(field: str, value: list[Any]) -> Iterator[tuple[str, Any]]:
    """The members of a list, each with its name; those of one name are counted."""
    seen: dict[str, int] = {}
    for member in value:
        if isinstance(member, Mapping):
            names = _NAMES.get(field) or (("key",) if "key" in member else ())
            name = " ".join(str(member.get(each, "")) for each in names) or canonical(member).decode()
        else:
            name = str(member)
        seen[name] = seen.get(name, 0) + 1
        yield (name if seen[name] == 1 else f"{name} #{seen[name]}"), member


def _worded(value: Any, numbers: Mapping[int, str]) -> Any:
    """A text with the numbers of steps in it written as their names."""
    if isinstance(value, list):
        return [_worded(each, numbers) for each in value]
    if isinstance(value, Mapping):
        return {key: _worded(each, numbers) for key, each in value.items() if key not in _PLACES}
    if not isinstance(value, str):
        return value

    def named(found: re.Match[str]) -> str:
        first, last = (numbers.get(int(found[n] or 0), found[n] or "") for n in (2, 4))
        return f"{found[1]} {first}{found[3] or ''}{last}"

    return _STEP_WORDS.sub(named, value)
