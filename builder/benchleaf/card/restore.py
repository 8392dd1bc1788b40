"""From the plain data of a card back to its record, by the annotations of the record."""

import types
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any, Union, get_args, get_origin, get_type_hints

from benchleaf.card.model import Card

_NOTHING: Mapping[Any, Any] = {str: "", int: 0, bool: False}


def restored(data: Mapping[str, Any]) -> Card:
    """The card of which `data` is the content; what is left out is empty. ValueError where it is no card."""
    card = _reader(Card)(data)
    assert isinstance(card, Card)
    return card


@cache
def _reader(kind: Any) -> Callable[[Any], Any]:
    """Reads plain data as a value of this kind; raises ValueError."""
    origin, inner = get_origin(kind), get_args(kind)
    if kind is Any:
        return _anything
    if kind in _NOTHING:
        return lambda value: _plain(kind, value)
    if origin in (Union, types.UnionType):
        read = _reader(next(each for each in inner if each is not types.NoneType))
        return lambda value: None if value is None else read(value)
    if origin is tuple:
        return _row(inner)
    if origin is Mapping:
        read_item = _reader(inner[1])
        return lambda value: {str(key): read_item(item) for key, item in _map(value).items()}
    return _record(kind)


def _row(inner: tuple[Any, ...]) -> Callable[[Any], Any]:
    if len(inner) == 2 and inner[1] is Ellipsis:
        read = _reader(inner[0])
        return lambda value: tuple(read(item) for item in _list(value))
    readers = [_reader(each) for each in inner]

    def row(value: Any) -> tuple[Any, ...]:
        items = _list(value)
        if len(items) != len(readers):
            raise ValueError(f"{len(items)} values where {len(readers)} belong")
        return tuple(read(item) for read, item in zip(readers, items, strict=True))

    return row


def _record(kind: Any) -> Callable[[Any], Any]:
    hints = {name: get_type_hints(kind)[name] for name in kind._fields}
    readers = {name: _reader(hint) for name, hint in hints.items()}
    usual = {name: kind._field_defaults.get(name, _nothing(hint)) for name, hint in hints.items()}

    def record(value: Any) -> Any:
        data = _map(value)
        return kind(**{name: read(data[name]) if name in data else usual[name] for name, read in readers.items()})

    return record


def _nothing(hint: Any) -> Any:
    origin = get_origin(hint)
    return _NOTHING.get(hint, () if origin is tuple else {} if origin is Mapping else None)


def _plain(kind: type, value: Any) -> Any:
    if type(value) is not kind:
        raise ValueError(f"{value!r} where {kind.__name__} belongs")
    return value


def _anything(value: Any) -> Any:
    return value


def _map(value: Any) -> Mapping[str, Any]:
    if not isinstance(value, Mapping):
        raise ValueError(f"{value!r} where a map belongs")
    return value


def _list(value: Any) -> list[Any]:
    if not isinstance(value, list):
        raise ValueError(f"{value!r} where a list belongs")
    return value
