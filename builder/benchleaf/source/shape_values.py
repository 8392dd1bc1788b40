"""Sentences about values: wrong type, wrong form, unknown words, too few, too many, out of bounds."""

import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from typing import Any

from benchleaf.base.finding import Finding, Related
from benchleaf.source import rules_shape as rules
from benchleaf.source.filenames import proposed
from benchleaf.source.nodes import Node, brief
from benchleaf.source.shape_complaint import Complaint
from benchleaf.source.shape_terms import about, as_mend, called, flow, kind_of, listed, nearest

# How the patterns of the schema begin that ask for a number with its unit, and for an identifier.
_QUANTITY = "^[-+−]?[0-9.]"
_IDENTIFIERS = ("^[a-z][a-z0-9]*(-", "^[A-Za-z0-9{]")
_MOST_OPTIONS = 12
_DUE = {
    "string": "text",
    "integer": "a whole number",
    "number": "a number",
    "boolean": "true or false",
    "object": "a map of keys",
    "array": "a list",
    "null": "nothing",
}


def told(complaint: Complaint) -> Iterator[Finding]:
    """The finding for a keyword about a single value."""
    teller = _TELLERS.get(complaint.keyword)
    if teller is not None:
        yield teller(complaint)
    else:
        sentence = f"{called(complaint)} does not have the form that is due here."
        yield rules.WRONG_FORM.at(complaint.node.span, sentence, mend=_mend(complaint))


def wrong_type(complaint: Complaint) -> Finding:
    """The finding for a value of another type than the field asks for."""
    node, due = complaint.node, complaint.facts["types"]
    subject = called(complaint)
    if not complaint.path:
        hint = " After each colon a space is due." if node.kind == "text" and ":" in node.raw else ""
        return rules.WRONG_TYPE.at(node.span, f"This file holds {kind_of(node)}, where keys are due.{hint}")
    if node.kind == "nothing":
        span = complaint.entry.key_span if complaint.entry else node.span
        return rules.NO_VALUE.at(span, f"{subject} has no value{about(complaint)}", mend=_example(complaint))
    if node.kind in ("integer", "decimal") and _is_quantity(complaint.schemas):
        return _needs_unit(complaint)
    if "string" in due and node.kind in ("integer", "decimal", "truth"):
        sentence = f"{subject} holds {kind_of(node)}, where text is due."
        return rules.WRONG_TYPE.at(node.span, sentence, mend="put it in quotes", change=f'"{node.raw}"')
    if node.kind == "decimal" and "integer" in due:
        return rules.WRONG_TYPE.at(node.span, f"{subject} is {node.raw}, where a whole number is due.")
    words = " or ".join(_DUE[one] for one in due)
    return rules.WRONG_TYPE.at(
        node.span, f"{subject} holds {kind_of(node)}, where {words} is due.", mend=_mend(complaint)
    )


def _is_quantity(schemas: tuple[dict[str, Any], ...]) -> bool:
    return any(str(schema.get("pattern", "")).startswith(_QUANTITY) for schema in schemas)


def _needs_unit(complaint: Complaint) -> Finding:
    """A bare number: the example carries the number that was written, with the unit of the field's own example."""
    raw = _without_exponent(complaint.node.raw.strip())
    example = next((str(one["examples"][0]) for one in complaint.schemas if one.get("examples")), "")
    unit = example.partition(" ")[2]
    sentence = (
        f"{called(complaint)} needs a unit, as in `{raw} {unit}`." if unit else f"{called(complaint)} needs a unit."
    )
    return rules.NEEDS_UNIT.at(complaint.node.span, sentence)


def _without_exponent(number: str) -> str:
    """A number as quantities are written: `4200` for `4.2e3`; anything else as it is."""
    if not re.fullmatch(r"[-+]?[0-9.]+[eE][-+]?[0-9]{1,2}", number) or number.count(".") > 1:
        return number
    return f"{Decimal(number):f}"


def _option(complaint: Complaint) -> Finding:
    options = complaint.facts.get("options", [complaint.facts.get("expected_value")])
    words = [flow(one) for one in options]
    raw = complaint.key.key if complaint.key else complaint.node.raw
    near = nearest(raw.lower(), words)
    span = complaint.key.key_span if complaint.key else complaint.node.span
    known = f"it is one of: {listed(words)}" if len(words) > 1 else f"only `{words[0]}` is known here"
    tail = f"; {known}" if len(words) <= _MOST_OPTIONS else ""
    what = f"says `{brief(raw)}`" if complaint.node.kind not in ("map", "list") else f"holds {kind_of(complaint.node)}"
    mend = f"write `{near}`" if near else as_mend(complaint.message)
    sentence = f"{called(complaint)} {what}, which has no meaning here{tail}."
    return rules.UNKNOWN_VALUE.at(span, sentence, mend=mend, change=near)


def _pattern(complaint: Complaint) -> Finding:
    raw = complaint.key.key if complaint.key else complaint.node.raw
    span = complaint.key.key_span if complaint.key else complaint.node.span
    pattern = str(complaint.schema["pattern"])
    if not raw.strip():
        return rules.NO_VALUE.at(span, f"{called(complaint)} is empty{about(complaint)}", mend=_example(complaint))
    if pattern.startswith(_QUANTITY):
        if raw.strip().lstrip("+-−").replace(".", "").replace(",", "").isdigit():
            return _needs_unit(complaint)
        sentence = f"`{brief(raw)}` is no quantity: number first, then its unit."
        return rules.WRONG_FORM.at(span, sentence, mend=_mend(complaint))
    if pattern.startswith(_IDENTIFIERS):
        better = proposed(raw) if raw.isascii() and pattern.startswith(_IDENTIFIERS[0]) else ""
        sentence = f"`{brief(raw)}` is no identifier{_odd(raw)}."
        return rules.BAD_IDENTIFIER.at(span, sentence, mend=_mend(complaint), change=better or None)
    sentence = f"`{brief(raw)}` does not have the form that {called(complaint)} asks for."
    return rules.WRONG_FORM.at(span, sentence, mend=_mend(complaint))


def _odd(raw: str) -> str:
    """Names the first character that looks like plain text and is not."""
    odd = next((one for one in raw if not one.isascii() and not one.isspace()), "")
    return f": it holds `{odd}` (U+{ord(odd):04X})" if odd else ""


def _format(complaint: Complaint) -> Finding:
    sentence = f"`{brief(complaint.node.raw)}` is no {complaint.facts['format']}."
    if complaint.facts["format"] == "date":
        sentence = f"`{brief(complaint.node.raw)}` is no day of the calendar."
    return rules.WRONG_FORM.at(complaint.node.span, sentence, mend=_mend(complaint))


def _count(complaint: Complaint) -> Finding:
    node, limit = complaint.node, complaint.facts["limit"]
    size = len(node.value)
    if size == 0:
        what = "an empty list" if node.kind == "list" else "an empty map"
        return rules.EMPTY.at(node.span, f"{called(complaint)} is {what}.", mend=_example(complaint))
    bound = "at least" if complaint.keyword.startswith("min") else "at most"
    count = f"{size} {'entry' if size == 1 else 'entries'}"
    sentence = f"{called(complaint)} has {count}, and {bound} {limit} {'is' if limit == 1 else 'are'} due."
    return rules.WRONG_COUNT.at(node.span, sentence, mend=_mend(complaint))


def _repeated(complaint: Complaint) -> Finding:
    first, again = _twins(complaint.node)
    sentence = f"`{brief(again.raw)}` stands twice in {called(complaint).replace('Item', 'item')}."
    if again.kind in ("map", "list"):
        sentence = f"The same entry stands twice in {called(complaint).replace('Item', 'item')}."
    return rules.REPEATED_ITEM.at(again.span, sentence, related=(Related(first.span, "It stands here first."),))


def _twins(node: Node) -> tuple[Node, Node]:
    """The first two items of a list that are the same, as JSON Schema compares them."""
    seen: dict[str, Node] = {}
    for item in node.value:
        key = flow(item.plain())
        if key in seen:
            return seen[key], item
        seen[key] = item
    return node, node


def _bound(complaint: Complaint) -> Finding:
    words = {
        "minimum": "at least {} is due",
        "maximum": "at most {} is due",
        "exclusiveMinimum": "more than {} is due",
        "exclusiveMaximum": "less than {} is due",
    }
    due = words[complaint.keyword].format(complaint.facts["limit"])
    return rules.OUT_OF_BOUNDS.at(
        complaint.node.span, f"{called(complaint)} is {complaint.node.raw}, and {due}.", mend=_mend(complaint)
    )


def _mend(complaint: Complaint) -> str:
    """The schema's own advice, or an example."""
    return as_mend(complaint.message) or _example(complaint)


def _example(complaint: Complaint) -> str:
    for schema in complaint.schemas:
        for example in map(flow, schema.get("examples", ())):
            if len(example) <= 60:
                return f"write for example `{example}`"
    return ""


_TELLERS: dict[str, Callable[[Complaint], Finding]] = {
    "enum": _option,
    "const": _option,
    "pattern": _pattern,
    "format": _format,
    "minItems": _count,
    "maxItems": _count,
    "minProperties": _count,
    "maxProperties": _count,
    "uniqueItems": _repeated,
    "minimum": _bound,
    "maximum": _bound,
    "exclusiveMinimum": _bound,
    "exclusiveMaximum": _bound,
}
