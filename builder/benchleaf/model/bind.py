"""From a checked tree to records: the annotations of a record are the rule by which its node is read.

The shape of the tree has been checked against its schema before; what is left to say here is only about
quantities. Whatever does not fit silently becomes None, because the shape check has already told it.
"""

import types
from collections.abc import Callable, Mapping
from functools import cache
from types import MappingProxyType
from typing import Annotated, Any, NamedTuple, Union, get_args, get_origin

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.model.actions import actions
from benchleaf.model.amounts import parse_accuracy, parse_gas_current
from benchleaf.model.basics import AccuracyText, Amount, GasCurrentText, Ref, Setting, State, Test, When, Words
from benchleaf.model.circuit import ElementChange
from benchleaf.model.procedure import Leads, Step, SupplyUse
from benchleaf.model.quantity import Fault, Quantity, parse
from benchleaf.model.quantity_rules import rule_of
from benchleaf.source.tree import Node

# Records that may be written as a bare scalar, and the field which that fills.
SHORT: dict[type, str] = {ElementChange: "state", Leads: "way", SupplyUse: "supply"}

Found = list[Finding]
Convert = Callable[[Node, Span, Found], Any]


class Bound(NamedTuple):
    """A record (None where the tree does not fit) and what is wrong with its quantities."""

    record: Any
    findings: tuple[Finding, ...]


def bind(node: Node, record: type) -> Bound:
    """Read a whole document into a record."""
    found: Found = []
    made = converter(record)(node, node.span, found)
    return Bound(made, tuple(found))


def finding_of(fault: Fault, span: Span) -> Finding:
    """A quantity's fault as a finding that points at the faulty part of the text."""
    rule = rule_of(fault.code)
    if span.line == span.end_line and span.end_column - span.column >= len(fault.text):
        quote = (span.end_column - span.column - len(fault.text)) // 2 if fault.text else 0
        start = span.column + fault.offset + quote
        if fault.length:
            span = Span(span.file, span.line, start, span.line, start + fault.length)
    return rule.at(span, fault.sentence, mend=fault.mend, change=fault.change)


def field_of(key: str) -> str:
    """The record's field for a key of the file (Python's own words carry an underscore)."""
    return key + "_" if key in _RESERVED else key


_RESERVED = frozenset({"from", "for", "is", "class", "while", "try", "in"})


def _text(node: Node, span: Span, found: Found) -> str | None:
    return None if node.kind in ("map", "list") else node.raw


def _integer(node: Node, span: Span, found: Found) -> int | None:
    return node.value if node.kind == "integer" else None


def _truth(node: Node, span: Span, found: Found) -> bool | None:
    return node.value if node.kind == "truth" else None


def _ref(node: Node, span: Span, found: Found) -> Ref | None:
    return None if node.kind in ("map", "list") else Ref(node.raw, node.span)


def _words(node: Node, span: Span, found: Found) -> Words | None:
    return None if node.kind in ("map", "list") else Words(node.raw, node.span)


def _amount(dimension: str) -> Convert:
    def convert(node: Node, span: Span, found: Found) -> Amount | None:
        if node.kind in ("map", "list"):
            return None
        quantity = parse(node.raw, dimension or None)
        if isinstance(quantity, Quantity):
            found.extend(finding_of(note, node.span) for note in quantity.notes)
            return Amount(quantity, node.span)
        found.append(finding_of(quantity, node.span))
        return None

    return convert


def _accuracy(node: Node, span: Span, found: Found) -> AccuracyText | None:
    accuracy = parse_accuracy(node.raw)
    if isinstance(accuracy, Fault):
        found.append(finding_of(accuracy, node.span))
        return None
    return AccuracyText(accuracy, node.span)


def _gas_current(node: Node, span: Span, found: Found) -> GasCurrentText | None:
    current = parse_gas_current(node.raw)
    if isinstance(current, Fault):
        found.append(finding_of(current, node.span))
        return None
    return GasCurrentText(current, node.span)


def _state(node: Node, span: Span, found: Found) -> State:
    if node.kind != "map":
        return ()
    return tuple(Setting(Ref(e.key, e.key_span), Ref(e.node.raw, e.node.span)) for e in node.value)


def _case(node: Node) -> tuple[Test, ...]:
    if node.kind != "map":
        return ()
    return tuple(Test(Ref(e.key, e.key_span), tuple(Ref(v.raw, v.span) for v in _items(e.node))) for e in node.value)


def _when(node: Node, span: Span, found: Found) -> When:
    return tuple(_case(item) for item in _items(node))


def _items(node: Node) -> tuple[Node, ...]:
    return node.value if node.kind == "list" else (node,)


def _tuple_of(item: Any) -> Convert:
    convert = converter(item)
    # A single pair may be written without the outer brackets.
    nested = get_origin(item) is tuple

    def all_of(node: Node, span: Span, found: Found) -> tuple[Any, ...]:
        if node.kind == "text" and node.raw == "none":
            return ()
        if nested and node.kind == "list" and node.value and node.value[0].kind != "list":
            made = [convert(node, span, found)]
        else:
            made = [convert(each, each.span, found) for each in _items(node)]
        return tuple(each for each in made if each is not None)

    return all_of


def _map_of(item: Any) -> Convert:
    convert = converter(item)

    def all_of(node: Node, span: Span, found: Found) -> Mapping[str, Any]:
        if node.kind != "map":
            return MappingProxyType({})
        made = {e.key: convert(e.node, e.key_span, found) for e in node.value}
        return MappingProxyType({key: each for key, each in made.items() if each is not None})

    return all_of


def _record(record: Any) -> Convert:
    fields = {name: converter(annotation) for name, annotation in record.__annotations__.items() if name != "span"}
    required = frozenset(fields) - frozenset(record._field_defaults)
    short = SHORT.get(record, "")

    def convert(node: Node, span: Span, found: Found) -> Any:
        values: dict[str, Any] = {}
        if node.kind == "map":
            for entry in node.value:
                read = fields.get(field_of(entry.key))
                if read is not None:
                    value = read(entry.node, entry.key_span, found)
                    if value is not None:
                        values[field_of(entry.key)] = value
        elif short and node.kind != "list":
            value = fields[short](node, node.span, found)
            if value is not None:
                values[short] = value
        return record(span, **values) if required <= values.keys() else None

    return convert


def _step(rest: Convert) -> Convert:
    """A step's first key is its action, and the value of that key what it acts on."""

    def convert(node: Node, span: Span, found: Found) -> Any:
        if node.kind != "map":
            return None
        first = next((entry for entry in node.value if entry.key in actions()), None)
        if first is None or first.node.kind in ("map", "list"):
            return None
        others = node._replace(value=tuple(entry for entry in node.value if entry is not first))
        step = rest(others, first.key_span, found)
        return step._replace(action=Ref(first.key, first.key_span), object=Words(first.node.raw, first.node.span))

    return convert


PLAIN: dict[Any, Convert] = {
    str: _text,
    int: _integer,
    bool: _truth,
    Ref: _ref,
    Words: _words,
    AccuracyText: _accuracy,
    GasCurrentText: _gas_current,
    State: _state,
    When: _when,
}


@cache
def converter(annotation: Any) -> Convert:
    """The reader of one annotation; raises TypeError for one that no reader exists for (our own slip)."""
    if annotation in PLAIN:
        return PLAIN[annotation]
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Annotated:
        return _amount(inner[1])
    if origin in (Union, types.UnionType):
        return converter(next(each for each in inner if each is not types.NoneType))
    if origin is tuple:
        return _tuple_of(inner[0])
    if origin is Mapping:
        return _map_of(inner[1])
    if annotation is Step:
        return _step(_record(annotation))
    if isinstance(annotation, type) and issubclass(annotation, tuple):
        return _record(annotation)
    raise TypeError(f"no reader for {annotation!r}")
