"""The small records that the steps of a compiled card are made of."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

NO_FACTS: Mapping[str, Any] = MappingProxyType({})


class Value(NamedTuple):
    """A quantity: decimal text and unit as written, and the text to print (both unit systems)."""

    value: str
    unit: str
    printed: str


class Reason(NamedTuple):
    """Why the compiler put something in: rule, and the step, part and energy that called for it."""

    rule: str
    sentence: str
    step: str = ""
    part: str = ""
    energy: str = ""


class Warn(NamedTuple):
    """A warning: signal word, what hurts, what it does, how to keep clear of it."""

    key: str
    word: str
    hazard: str
    consequence: str
    avoidance: str
    signs: tuple[str, ...]
    reason: Reason


class Choice(NamedTuple):
    """Where an answer leads. `kind`: next | step | outcome | stop; `to` is the key of a step or outcome."""

    side: str
    label: str
    kind: str
    to: str = ""
    number: int = 0
    title: str = ""
    at_most: int = 0


class Point(NamedTuple):
    """A test point with its name and where it is."""

    key: str
    name: str
    place: str = ""


class Grey(NamedTuple):
    """A stretch of readings in which a meter can't tell good from bad, the ends included."""

    low: Value
    high: Value


class BandRow(NamedTuple):
    """The limit at one temperature, and what is surely good there; between two rows both lie on a straight line."""

    at: Value
    low: Value | None
    high: Value | None
    accept_low: Value | None = None
    accept_high: Value | None = None


class MeterBand(NamedTuple):
    """What a meter makes of a limit.

    From `accept_low` to `accept_high` a reading is surely good, in a `grey` stretch too close to tell; `accept` and
    `doubt` say it in words. `uncertainty` is U at k = 2 where it is largest, `ratio` the test uncertainty ratio as
    decimal text (empty for a limit with one side). `specific_risk` is the probability that an accepted reading belongs
    to something bad, where it is greatest (empty where nothing is accepted); `consumer_risk` and `producer_risk` are
    the shares of all things made that are bad and accepted, and good and not (empty where no process is stated).
    `rows` are what is surely good at each temperature, for a limit that depends on it.
    """

    key: str
    name: str
    accept_low: Value | None
    accept_high: Value | None
    grey: tuple[Grey, ...]
    uncertainty: Value
    ratio: str
    accept: str
    doubt: str
    specific_risk: str = ""
    consumer_risk: str = ""
    producer_risk: str = ""
    rows: tuple[BandRow, ...] = ()


class Band(NamedTuple):
    """A limit as printed. `form` is the limit's form; `sentence` says it in words.

    `low`, `nominal`, `high` are in the unit in which the limit is written; `of` names the earlier step of a relation.
    Of limits that compare readings, `high` is the most by which they may differ; of a share, low and high are in %.
    `decision` is guarded or simple, empty where nothing is known of a meter. From there to `doubt`, the fields are what
    the named meter makes of the limit (see `MeterBand`); `others` are those that could take the reading as well.
    """

    key: str
    name: str
    form: str
    sentence: str
    low: Value | None = None
    nominal: Value | None = None
    high: Value | None = None
    of: str = ""
    of_number: int = 0
    source: str = ""
    decision: str = ""
    meter: str = ""
    accept_low: Value | None = None
    accept_high: Value | None = None
    grey: tuple[Grey, ...] = ()
    uncertainty: Value | None = None
    ratio: str = ""
    specific_risk: str = ""
    consumer_risk: str = ""
    producer_risk: str = ""
    accept: str = ""
    doubt: str = ""
    others: tuple[MeterBand, ...] = ()
    rows: tuple[BandRow, ...] = ()


class Reading(NamedTuple):
    """What is measured, where the leads go, with what, and within which limit.

    `pairs` are (red, black) points; a proof of zero has several. `blanks` are the labels of what is written down.
    """

    measure: str
    label: str
    unit: str
    band: Band
    pairs: tuple[tuple[Point, Point], ...] = ()
    instrument: str = ""
    instrument_key: str = ""
    how: str = ""
    blanks: tuple[str, ...] = ()
    repeat: str = ""


class BoltPlace(NamedTuple):
    """Where a bolt lies in the picture, in thousandths of half its width from the middle: to the right, and upwards."""

    x: int
    y: int


class Tightening(NamedTuple):
    """A joint to tighten: torque and stages with printed values; `order` numbers the bolts.

    `places` are those of the bolts by their numbers, empty where any order will do.
    `lubrication` says in what state the threads must be, `angle` how far it is turned on, `prevailing` that the nut
    turns hard before it clamps; each is a sentence, or empty.
    """

    fastener: str
    name: str
    thread: str
    count: int  # type: ignore[assignment]  # shadows tuple.count, which no one calls on records
    torque: Value | None
    stages: tuple[Value, ...] = ()
    pattern: str = ""
    order: tuple[int, ...] = ()
    wrench: str = ""
    info: str = ""
    source: str = ""
    lubrication: str = ""
    angle: str = ""
    prevailing: str = ""
    places: tuple[BoltPlace, ...] = ()


class Callout(NamedTuple):
    """A number on a figure and what it points at."""

    number: str
    text: str


class Figure(NamedTuple):
    """A picture: path relative to the machine's folder, digest of its bytes, alternative text, call-outs, licence."""

    file: str
    digest: str
    alt: str
    callouts: tuple[Callout, ...] = ()
    licence: str = ""


class Entry(NamedTuple):
    """A blank to fill in beside the readings: its key, label and what is expected (text, a unit, photo)."""

    key: str
    label: str
    expects: str = "text"


class WayOut(NamedTuple):
    """One way out of a step: `to` is a step key, `outcome:KEY`, `stop` (stop and ask) or `end` (the card is done)."""

    side: str
    to: str
    at_most: int = 0


class StepFacts(NamedTuple):
    """What a step does, for the proof of the card.

    `sets` are values that conditions have after it, `meanwhile` values only while it is done; `opens` and `closes` are
    loose ends as `action:name`; `parts` those that the person comes to; `live` energies that are meant to be there;
    `energies` those that an inserted step proves or lets go, `locks` the isolators that it locks or frees. `stays` are
    energies within reach that stay live; `leads` says `back` where a reading of current ends with the leads back in the
    voltage sockets; `airs` that the room is aired, `seconds` how long it lasts (0: not stated); `exposed` the keys of
    the warnings that it needs whatever stands how.
    """

    ways: tuple[WayOut, ...]
    sets: Mapping[str, str] = NO_FACTS
    meanwhile: Mapping[str, str] = NO_FACTS
    opens: tuple[str, ...] = ()
    closes: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    live: tuple[str, ...] = ()
    energies: tuple[str, ...] = ()
    locks: tuple[str, ...] = ()
    measure: str = ""
    power: str = ""
    access: bool = False
    together: bool = False
    helper: str = ""
    stays: tuple[str, ...] = ()
    leads: str = ""
    airs: bool = False
    seconds: int = 0
    exposed: tuple[str, ...] = ()
