"""The values that a calculation is given, once they are read."""

from collections.abc import Mapping
from typing import Any, NamedTuple, TypeVar

from benchleaf.model.quantity import Quantity

T = TypeVar("T")
Values = dict[str, float | str | bool]


class Given(NamedTuple):
    """Values by key, and each as written."""

    values: Mapping[str, Any]
    texts: Mapping[str, str]

    def has(self, key: str) -> bool:
        """Whether the key has a value, given or by default."""
        return key in self.values

    def value(self, key: str, kind: type[T]) -> T:
        """The value of a key, which must be of that type: the table of calculations says so."""
        found = self.values[key]
        if not isinstance(found, kind):
            raise TypeError(f"{key} is no {kind.__name__}")
        return found

    def number(self, key: str, unit: str) -> float:
        """The value of a quantity in a unit of its dimension."""
        return self.value(key, Quantity).number(unit)

    def word(self, key: str) -> str:
        """The value of a key that takes words."""
        return self.value(key, str)


class Answer(NamedTuple):
    """Results by key in the units of the table of calculations, how they were found, and by whose rule.

    `unit` is that of results that follow their inputs. Values that do not exist for these inputs are not there.
    """

    values: Values
    formula: str
    source: str
    unit: str = ""
