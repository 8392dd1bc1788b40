"""What the proof knows of a card: the machine's facts as written, the steps as a graph, and where its paths end."""

from collections.abc import Mapping
from typing import NamedTuple

Setting = tuple[str, str]
Case = tuple[tuple[str, frozenset[str]], ...]
When = tuple[Case, ...]

STOP = -1
LOST = -2
IN, OUT = "in-place", "out"


class Condition(NamedTuple):
    """What stands this way or that; a thing is a condition {out, in-place}. `closed` is how a cover stands shut."""

    name: str
    values: tuple[str, ...]
    closed: str
    isolates: bool = False
    control: bool = False
    cover: bool = False
    lock: bool = False
    thing: bool = False
    moved_by_thing: bool = False
    springs_back: str = ""
    may_change: bool = False
    move_when: tuple[Setting, ...] = ()
    follows: tuple[tuple[str, When], ...] = ()
    sets: tuple[Setting, ...] = ()

    @property
    def protects(self) -> bool:
        """Whether hands may trust it: a break, a cover, a thing or what a thing moves, never a control."""
        return not self.control and (self.isolates or self.cover or self.thing or self.moved_by_thing)


class Prove(NamedTuple):
    """How the machine says that an energy is proved gone; `below` which number of its `unit` a reading must lie."""

    measure: str
    pairs: frozenset[frozenset[str]]
    look: bool
    try_: bool
    sees: tuple[str, ...]
    access: tuple[str, ...]
    below: str = ""
    unit: str = ""


class Bleeding(NamedTuple):
    """A charge that bleeds away, in F, ohm and V; the tolerances as shares."""

    farads: float
    within: float
    ohms: float
    bleed_within: float
    volts: float


class Energy(NamedTuple):
    """An energy as the machine file describes it; a battery's string may be `parted` into so many `lengths`."""

    key: str
    name: str
    kind: str
    reach: str
    stays_live: bool
    comes_back: bool
    highest: float
    when: When
    isolate: tuple[Setting, ...]
    fed_by: tuple[str, ...]
    held_by: tuple[str, ...]
    relieve: bool
    waits: bool
    prove: Prove | None
    chemistry: str = ""
    parted: tuple[Setting, ...] = ()
    lengths: int = 1
    lets_go: tuple[Setting, ...] = ()
    lasts: float = 0.0
    bleeds: Bleeding | None = None


class Part(NamedTuple):
    """A part: the place it is in, its carrier, and what it exposes unless all of some settings hold."""

    place: str
    on: str
    exposes: tuple[tuple[str, tuple[Setting, ...]], ...]


class Way(NamedTuple):
    """A way out of a step to the index of a step or end, or STOP, or LOST when `to` names nothing."""

    side: str
    target: int
    to: str


class Step(NamedTuple):
    """A step as the proof sees it. `assigns` are values after it (None: any), things' own settings included.

    `told` are the keys of its warnings, `exposed` of those that it needs, `warned_for` those with the number of the
    step that they were made for; `leads` whether a reading of current ends with the leads back; `waited` how long an
    inserted wait lasts, in s; `high` up to which number of which unit a reading is good.
    """

    at: int
    key: str
    number: int
    section: str
    kind: str
    role: str
    action: str
    nearness: str
    command: str
    hold: bool
    together: bool
    warned: frozenset[str]
    ways: tuple[Way, ...]
    assigns: Mapping[str, str | None]
    meanwhile: Mapping[str, str]
    opens: tuple[str, ...]
    closes: tuple[str, ...]
    parts: tuple[str, ...]
    live: tuple[str, ...]
    energies: tuple[str, ...]
    measure: str
    pairs: frozenset[frozenset[str]]
    power: str
    access: bool
    locks: tuple[str, ...]
    told: frozenset[str] = frozenset()
    stays: frozenset[str] = frozenset()
    leads: bool = False
    airs: bool = False
    seconds: int = 0
    waited: float = 0.0
    high: tuple[str, str] | None = None
    exposed: tuple[str, ...] = ()
    warned_for: tuple[tuple[str, int], ...] = ()

    @property
    def tester(self) -> bool:
        """Whether the voltage tester is tried on the proving unit here."""
        return self.role == "prove" and self.action == "read"


class End(NamedTuple):
    """Where paths end: the findings that end here, and how they leave the machine."""

    at: int
    outcomes: tuple[str, ...]
    leave: str
    closed_off: bool


class Sheet(NamedTuple):
    """All that the proof reads of one card."""

    conditions: Mapping[str, Condition]
    energies: Mapping[str, Energy]
    parts: Mapping[str, Part]
    initial: Mapping[str, str]
    final: Mapping[str, str]
    steps: tuple[Step, ...]
    ends: tuple[End, ...]
    leaves: Mapping[str, str]
    closings: Mapping[str, str]
    switches: Mapping[str, When] = {}
    faults: Mapping[str, Mapping[str, str]] = {}

    @property
    def wears(self) -> bool:
        """Whether any energy of the machine may come back after it was proved gone."""
        return any(energy.comes_back for energy in self.energies.values())

    @property
    def total(self) -> int:
        """Steps and ends together."""
        return len(self.steps) + len(self.ends)


def words(key: str) -> str:
    """An identifier as words."""
    return key.replace("-", " ")
