"""How the sentences about a file's shape name places, values and examples."""

import difflib
import json
import re
from collections.abc import Iterable
from typing import Any

from benchleaf.base.span import Span
from benchleaf.source.nodes import Node, brief
from benchleaf.source.scalars import OutOfRange, resolve
from benchleaf.source.shape_complaint import Complaint

_PLAIN = re.compile(r"[^\s\[\]{},#&*!|>'\"%@`?:-](?:[^\s\[\]{},#:]|[ ](?![#]))*")


def called(complaint: Complaint) -> str:
    """The value complained of, as the subject of a sentence."""
    if complaint.entry is not None:
        return f"`{brief(complaint.entry.key)}`"
    if not complaint.path:
        return "This file"
    names = [step for step in complaint.path if isinstance(step, str)]
    number = complaint.path[-1]
    return f"Item {int(number) + 1} of `{brief(names[-1])}`" if names else f"Item {int(number) + 1}"


def of_what(complaint: Complaint) -> str:
    """The map complained of, as it follows the word `of`."""
    if not complaint.path:
        return f"a {complaint.schemas[0].get('title', 'file')} file"
    if complaint.entry is not None:
        return f"`{brief(complaint.entry.key)}`"
    title = complaint.schema.get("title")
    return f"a {title}" if title else called(complaint).replace("Item", "item")


def owner(complaint: Complaint) -> Span:
    """Where a map is told that lacks something: the key that holds it, or else its own first key."""
    if complaint.entry is not None:
        return complaint.entry.key_span
    node = complaint.node
    return node.value[0].key_span if node.kind == "map" and node.value else node.span


def kind_of(node: Node) -> str:
    """What a value is, in words."""
    if node.kind == "truth":
        return f"the truth value `{node.raw}`"
    words = {"map": "a map of keys", "list": "a list", "text": "text", "nothing": "nothing"}
    return words.get(node.kind, "a number")


def listed(words: Iterable[str]) -> str:
    """Words joined for a sentence."""
    return ", ".join(words)


def as_mend(sentence: str) -> str:
    """A sentence of the schema as a clause: no capital, no full stop."""
    text = sentence.rstrip(".")
    return text[:1].lower() + text[1:] if text[1:2].islower() or text[1:2] == " " else text


def first_sentence(description: str) -> str:
    """The first sentence of a description, as it follows a colon."""
    return as_mend(description.partition(". ")[0]) + "." if description else ""


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word that was most likely meant: one with the same letters, or else one that is much alike."""
    options = list(known) if len(word) <= 100 else []
    same = [one for one in options if sorted(one) == sorted(word)]
    return next(iter(same or difflib.get_close_matches(word, options, 1, 0.7)), None)


def about(complaint: Complaint) -> str:
    """What the field complained of is for, as the end of a sentence."""
    described = next((one["description"] for one in complaint.schemas if "description" in one), "")
    return f": {first_sentence(described)}" if described else "."


def flow(value: Any) -> str:
    """A value as YAML in one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{flow(key)}: {flow(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(one) for one in value) + "]"
    if isinstance(value, str):
        return value if _stays_text(value) else json.dumps(value, ensure_ascii=False)
    return json.dumps(value)


def _stays_text(value: str) -> bool:
    try:
        return bool(_PLAIN.fullmatch(value)) and resolve(value)[0] == "text"
    except OutOfRange:
        return False
