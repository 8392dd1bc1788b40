"""The small pieces that every record of the model is made of.

Records are `NamedTuple` classes: frozen, typed, and a quarter of the import time of frozen dataclasses,
which `check` would feel at every start. `bind` reads their annotations, so an annotation here is also
the rule by which a tree becomes a record.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Annotated, Any, NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.amounts import Accuracy, GasCurrent
from benchleaf.model.quantity import Quantity

NOWHERE = Span("")
EMPTY: Mapping[str, Any] = MappingProxyType({})


class Ref(NamedTuple):
    """The name of something declared elsewhere, with the place where it is used."""

    name: str
    span: Span = NOWHERE

    def __str__(self) -> str:
        return self.name


class Words(NamedTuple):
    """Text for people (light markdown), with its place."""

    text: str
    span: Span = NOWHERE

    def __str__(self) -> str:
        return self.text

    def __bool__(self) -> bool:
        return bool(self.text)


class Amount(NamedTuple):
    """A quantity as written in a file, with its place."""

    quantity: Quantity
    span: Span = NOWHERE

    def __str__(self) -> str:
        return self.quantity.text


class Setting(NamedTuple):
    """A condition and the one value that it is given or must have."""

    condition: Ref
    value: Ref


class Test(NamedTuple):
    """A condition and the values that satisfy a `when`."""

    condition: Ref
    values: tuple[Ref, ...]


class AccuracyText(NamedTuple):
    """An accuracy specification as written, with its place."""

    accuracy: Accuracy
    span: Span = NOWHERE


class GasCurrentText(NamedTuple):
    """A gassing current per capacity as written, with its place."""

    current: GasCurrent
    span: Span = NOWHERE


State = tuple[Setting, ...]
When = tuple[tuple[Test, ...], ...]

# The string names the dimension that the quantity must have.
Voltage = Annotated[Amount, "voltage"]
Current = Annotated[Amount, "current"]
Resistance = Annotated[Amount, "resistance"]
Capacitance = Annotated[Amount, "capacitance"]
Inductance = Annotated[Amount, "inductance"]
Charge = Annotated[Amount, "charge"]
Mass = Annotated[Amount, "mass"]
Length = Annotated[Amount, "length"]
Volume = Annotated[Amount, "volume"]
Pressure = Annotated[Amount, "pressure"]
Temperature = Annotated[Amount, "temperature"]
TemperatureDifference = Annotated[Amount, "temperature-difference"]
Time = Annotated[Amount, "time"]
Torque = Annotated[Amount, "torque"]
Force = Annotated[Amount, "force"]
Rate = Annotated[Amount, "stiffness"]
Ratio = Annotated[Amount, "ratio"]
Power = Annotated[Amount, "power"]
RotationalSpeed = Annotated[Amount, "rotational-speed"]
Speed = Annotated[Amount, "speed"]
SoundLevel = Annotated[Amount, "sound-level"]
AnyAmount = Annotated[Amount, ""]
