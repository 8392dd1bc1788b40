"""The shop: its meters, wrenches, tools, people and house rules (`procedures/shop.yaml`)."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.basics import (
    EMPTY,
    AccuracyText,
    AnyAmount,
    Mass,
    Ratio,
    Ref,
    Resistance,
    Time,
    Torque,
    Words,
)


class MeterRange(NamedTuple):
    """One range of a meter for one kind of measurement."""

    span: Span
    to: AnyAmount
    accuracy: AccuracyText
    from_: AnyAmount | None = None
    resolution: AnyAmount | None = None
    input_resistance: Resistance | None = None
    test_voltage: AnyAmount | None = None


class Meter(NamedTuple):
    """An instrument of the shop that needs calibration."""

    span: Span
    name: Words
    ranges: Mapping[str, tuple[MeterRange, ...]]
    number: str = ""
    category: Words | None = None
    input_resistance: Resistance | None = None
    calibration_due: str = ""


class Wrench(NamedTuple):
    """A torque wrench with its marked range and permissible deviation."""

    span: Span
    name: Words
    from_: Torque
    to: Torque
    accuracy: Ratio
    number: str = ""
    calibration_due: str = ""


class ShopThing(NamedTuple):
    """A stand, sling, chock or the like that the shop owns, with its rating."""

    span: Span
    name: Words
    rated: Mass | None = None
    number: str = ""


class Tool(NamedTuple):
    """A plain tool that needs no calibration; `count` of them go to the machine."""

    span: Span
    name: Words
    number: str = ""
    insulated: bool = False
    instead: tuple[Ref, ...] = ()
    range: str = ""
    count: int = 1  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records


class Supply(NamedTuple):
    """Something used up: oil, grease, cleaner, absorbent."""

    span: Span
    name: Words
    specification: str = ""
    sheet: str = ""
    hazards: tuple[Ref, ...] = ()
    disposal: Words | None = None
    shelf_life: Words | None = None


class ProvingUnit(NamedTuple):
    """The known live source on which a voltage tester is tried before and after a proof of zero."""

    span: Span
    name: Words
    range: str
    meter: Ref | None = None


class TorqueRules(NamedTuple):
    """House rules for tightening."""

    span: Span
    share_of_proof: Ratio | None = None


class CrewRules(NamedTuple):
    """House rules for energized work."""

    span: Span
    crew: int = 2


class PublicKey(NamedTuple):
    """A person's public key and the days (ISO 8601, inclusive) on which it counts; empty: without bound."""

    span: Span
    key: str
    from_: str = ""
    until: str = ""
    revoked: str = ""


class Signer(NamedTuple):
    """A person who may sign cards."""

    span: Span
    name: Words
    roles: tuple[Ref, ...]
    keys: tuple[PublicKey, ...] = ()


class SignedWording(NamedTuple):
    """That a person has read the fixed words of a language: who, on which day (ISO 8601), and the wording's digest."""

    span: Span
    by: Words
    on: str
    digest: str


class ReleaseRule(NamedTuple):
    """Whose signatures turn a draft into a released document, and how long that holds."""

    span: Span
    roles: tuple[Ref, ...] = ()
    valid_days: int | None = None
    revisions: str = ""
    themes: tuple[Ref, ...] = ()


class HouseRules(NamedTuple):
    """Rules of the house that every procedure is held to."""

    span: Span
    forbidden_words: Mapping[str, Words] = EMPTY
    required: tuple[Ref, ...] = ()
    trades: tuple[Ref, ...] = ()
    decision: Ref | None = None


class Shop(NamedTuple):
    """All of `shop.yaml`."""

    span: Span
    format: str
    name: Words
    units: Mapping[str, tuple[Words, ...]] = EMPTY
    paper: str = "A4"
    type_size: str = "normal"
    margins: str = "single"
    languages: tuple[Ref, ...] = ()
    signed_wording: Mapping[str, SignedWording] = EMPTY
    torque: TorqueRules | None = None
    energized_work: CrewRules | None = None
    pause: Time | None = None
    meters: Mapping[str, Meter] = EMPTY
    proving_unit: ProvingUnit | None = None
    wrenches: Mapping[str, Wrench] = EMPTY
    things: Mapping[str, ShopThing] = EMPTY
    tools: Mapping[str, Tool] = EMPTY
    supplies: Mapping[str, Supply] = EMPTY
    thresholds: Mapping[str, AnyAmount] = EMPTY
    people: Mapping[str, Signer] = EMPTY
    release: ReleaseRule | None = None
    rules: HouseRules | None = None
    emergency: Words | None = None
