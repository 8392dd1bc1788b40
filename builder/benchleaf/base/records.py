"""Named tuples as `typing` has them, made at a fifth of the price, since a check makes two hundred such classes.

To type checkers `NamedTuple` is that of `typing`. At run time `typing` compiles a constructor for each class and looks
at every annotation; here classes with equally many fields share the code of their constructor, under other names.
"""

from collections import _tuplegetter  # type: ignore[attr-defined]  # the reader of a field in every named tuple
from collections.abc import Iterable
from functools import cache
from types import CodeType, FunctionType
from typing import TYPE_CHECKING, Any, Self

if TYPE_CHECKING:
    from typing import NamedTuple as NamedTuple


class _Record(tuple[Any, ...]):
    """What all records can do, as `collections.namedtuple` documents it."""

    __slots__ = ()
    _fields: tuple[str, ...] = ()

    @classmethod
    def _make(cls, values: Iterable[Any]) -> Self:
        made = tuple.__new__(cls, values)
        if len(made) != len(cls._fields):
            raise TypeError(f"Expected {len(cls._fields)} arguments, got {len(made)}")
        return made

    def _replace(self, **changes: Any) -> Self:
        made = tuple.__new__(type(self), map(changes.pop, self._fields, self))
        if changes:
            raise ValueError(f"Got unexpected field names: {list(changes)!r}")
        return made

    def _asdict(self) -> dict[str, Any]:
        return dict(zip(self._fields, self, strict=True))

    def __repr__(self) -> str:
        told = (f"{name}={value!r}" for name, value in zip(self._fields, self, strict=True))
        return f"{type(self).__name__}({', '.join(told)})"

    def __getnewargs__(self) -> tuple[Any, ...]:
        return tuple(self)


class _Maker(type):
    """Makes a plain class of a body whose annotated names are its fields."""

    def __new__(cls, name: str, bases: tuple[type, ...], body: dict[str, Any]) -> type:
        if not bases:
            return super().__new__(cls, name, bases, body)
        fields = tuple(body.get("__annotations__", ()))
        defaults = {field: body[field] for field in fields if field in body}
        called = f"{name}.__new__"
        code = _code(len(fields)).replace(co_name="__new__", co_qualname=called, co_varnames=("_cls", *fields))
        constructor = FunctionType(code, {"_new": tuple.__new__}, "__new__", tuple(defaults.values()))
        body |= {field: _tuplegetter(number, "") for number, field in enumerate(fields)}
        body |= {"__slots__": (), "__new__": constructor, "__match_args__": fields}
        return type(name, (_Record,), body | {"_fields": fields, "_field_defaults": defaults})


@cache
def _code(count: int) -> CodeType:
    """Of a constructor for so many fields."""
    names = "".join(f"_{number}, " for number in range(count))
    constructor: FunctionType = eval(f"lambda _cls, {names}: _new(_cls, ({names}))")
    return constructor.__code__


if not TYPE_CHECKING:
    NamedTuple = _Maker("NamedTuple", (), {})
