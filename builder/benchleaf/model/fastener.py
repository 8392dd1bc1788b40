"""A screwed joint: what it holds, its thread and class, how tight and in which order."""

from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.applies import Applies
from benchleaf.model.basics import AnyAmount, Length, Ratio, Ref, Torque, Words


class Fastener(NamedTuple):
    """A screwed joint: what it holds, its thread and class, how tight and in which order."""

    span: Span
    holds: Ref
    thread: Words
    count: int = 1  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    name: Words | None = None
    class_: Ref | None = None
    torque: Torque | None = None
    tolerance: Ratio | None = None
    angle: AnyAmount | None = None
    method: Ref | None = None
    friction: Ref | None = None
    thread_friction: Ref | None = None
    head_friction: Ref | None = None
    head_diameter: Length | None = None
    hole: Length | None = None
    engagement: Length | None = None
    into: Words | None = None
    prevailing: Torque | None = None
    pattern: Ref | None = None
    sequence: tuple[Ref, ...] = ()
    stages: tuple[Ratio, ...] = ()
    joint: Ref | None = None
    locking: Words | None = None
    single_use: bool = False
    source: str = ""
    applies_to: Applies | None = None
