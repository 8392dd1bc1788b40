"""The plan: written steps and inserted ones in printing order, with every way resolved, and the warnings placed.

This is what the energy passes hand to the card: whichever engine makes it, the card reads only this.
"""

from typing import NamedTuple

from benchleaf.model.basics import State
from benchleaf.model.flow import Way


class Why(NamedTuple):
    """Why something was put in: rule, and the station, part and energy that called for it."""

    rule: str
    sentence: str
    station: str = ""
    part: str = ""
    energy: str = ""


class Warned(NamedTuple):
    """A warning before a step. `word` is danger, warning, caution or notice; `signs` are ISO 7010 numbers."""

    key: str
    word: str
    hazard: str
    consequence: str
    avoidance: str
    signs: tuple[str, ...]
    why: Why


class Proof(NamedTuple):
    """A reading that proves zero: pairs of points, all to be below `below`, with its text."""

    measure: str
    pairs: tuple[tuple[str, str], ...]
    below: str
    unit: str
    instrument: str = ""


class Inserted(NamedTuple):
    """A step put in by the compiler. `role` is its place in the energy-control order (see `card.model.CardStep`).

    `wait` is in seconds, already rounded up; `locks` are the isolators that the step locks or frees.
    """

    role: str
    action: str
    nearness: str
    command: str
    why: Why
    info: str = ""
    sets: State = ()
    wait: int = 0
    proof: Proof | None = None
    place: str = ""
    energies: tuple[str, ...] = ()
    locks: tuple[str, ...] = ()


class Planned(NamedTuple):
    """One step of the plan: a written station (`station`) or an inserted step.

    `live` are the energies that may be there and reach the person at this step, with the right to work so.
    """

    key: str
    ways: tuple[Way, ...]
    station: str = ""
    inserted: Inserted | None = None
    warnings: tuple[Warned, ...] = ()
    live: tuple[str, ...] = ()


class PlanSection(NamedTuple):
    """A run of steps. `kind`: before | isolation | power | work | closing."""

    key: str
    kind: str
    title: str
    steps: tuple[Planned, ...]
    lead_in: str = ""


class Ending(NamedTuple):
    """How an outcome is left: its closing section (empty where nothing needs closing).

    `loose` are the loose ends that may be left with it, as (action that opened it, name).
    """

    outcome: str
    leave: str
    closing: str = ""
    loose: tuple[tuple[str, str], ...] = ()


class Gear(NamedTuple):
    """Protective equipment: its mandatory sign (ISO 7010), its name, and why."""

    sign: str
    name: str
    why: Why


class EnergyLine(NamedTuple):
    """An energy as the head of the card names it."""

    key: str
    kind: str
    name: str
    size: str
    sign: str
    stays_live: bool
    isolation: str
    proof: str


class Plan(NamedTuple):
    """The whole plan of one procedure."""

    sections: tuple[PlanSection, ...]
    endings: tuple[Ending, ...]
    hazards: tuple[EnergyLine, ...]
    gear: tuple[Gear, ...]
    emergency: tuple[str, ...]
    rests_on: tuple[str, ...]
