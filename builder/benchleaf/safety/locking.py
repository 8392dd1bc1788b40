"""What one lockout of a machine consists of: what holds, which isolators move in which order, how long to wait."""

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from benchleaf.base.said import number
from benchleaf.model.basics import Setting
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.safety.isolators import Isolator, needed_for
from benchleaf.safety.presence import ELECTRICAL, feeders
from benchleaf.safety.thresholds import tightened
from benchleaf.trade.discharge import discharge_time

# Where the machine file states no tolerance: the usual one of electrolytic capacitors. Common practice, no source.
USUAL_TOLERANCE = 0.20


class Wait(NamedTuple):
    """A time to wait, in seconds as computed, for an energy; `below` says in words how low it then is."""

    energy: str
    seconds: float
    kind: str
    below: str = ""


class Lockout(NamedTuple):
    """The parts of a lockout, each in working order. `energies` are what it takes away.

    `names` are the isolators that it locks.
    """

    names: frozenset[str] = frozenset()
    energies: tuple[str, ...] = ()
    things: tuple[Setting, ...] = ()
    controls: tuple[Setting, ...] = ()
    isolators: tuple[Setting, ...] = ()
    relieve: tuple[str, ...] = ()
    waits: tuple[Wait, ...] = ()
    covers: tuple[str, ...] = ()
    proofs: tuple[str, ...] = ()


def lockout(
    machine: Machine,
    shop: Shop,
    known: Mapping[str, Isolator],
    names: frozenset[str],
    already: frozenset[str],
    wanted: frozenset[str] | None = None,
) -> Lockout:
    """Plan the lockout that locks the isolators `names` while `already` are locked.

    What it takes away, lets go and proves are the energies that are wholly cut off only by it; of these those that
    work in the locked part comes near (`wanted`, None for all), with what feeds them.
    """
    settings = [setting for name, each in known.items() if name in names for setting in each.settings]
    things = tuple(s for s in settings if s.condition.name in machine.things)
    breaks = _ordered(machine, [s for s in settings if s.condition.name in machine.conditions])
    controls: dict[str, Setting] = {}
    for isolator in breaks:
        for setting in machine.conditions[isolator.condition.name].move_when:
            if setting.condition.name not in known:
                controls.setdefault(setting.condition.name, setting)
    taken = tuple(key for key in machine.energy if _completes(machine, key, names, already))
    if wanted is not None:
        near = wanted.union(*(feeders(machine, key) for key in wanted))
        # All that is electrical behind the same breaks is shown as well, near hands or not: 29 CFR 1910.333(b)(2).
        near |= {key for key in taken if machine.energy[key].kind.name in ELECTRICAL}
        taken = tuple(key for key in taken if key in near)
    proofs = tuple(key for key in taken if machine.energy[key].prove is not None)
    relieve = tuple(key for key in taken if machine.energy[key].relieve is not None)
    return Lockout(
        names,
        taken,
        things,
        tuple(controls.values()),
        breaks,
        relieve,
        waits(machine, shop, taken),
        _covers(machine, proofs),
        proofs,
    )


def narrowed(machine: Machine, plan: Lockout, keys: frozenset[str]) -> Lockout:
    """What of a lockout that stands is let go and proved once more for these energies alone."""
    proofs = tuple(key for key in plan.proofs if key in keys)
    return plan._replace(
        energies=tuple(key for key in plan.energies if key in keys),
        relieve=tuple(key for key in plan.relieve if key in keys),
        waits=tuple(wait for wait in plan.waits if wait.energy in keys),
        covers=_covers(machine, proofs),
        proofs=proofs,
    )


def _covers(machine: Machine, proofs: Iterable[str]) -> tuple[str, ...]:
    """The covers behind which the points of some proofs lie."""
    found = (ref.name for key in proofs if (prove := machine.energy[key].prove) is not None for ref in prove.access)
    return tuple(name for name in dict.fromkeys(found) if name in machine.conditions)


def _completes(machine: Machine, key: str, names: frozenset[str], already: frozenset[str]) -> bool:
    needed = frozenset(needed_for(machine, key))
    return bool(needed & names) and needed <= names | already


def _ordered(machine: Machine, settings: list[Setting]) -> tuple[Setting, ...]:
    """Isolators in an order in which each may be moved: what `move_when` asks of another isolator comes first.

    Else what carries a raised load goes first, since power may be needed to lower the load onto it, and to lift it off.
    """
    heights = (energy for energy in machine.energy.values() if energy.kind.name == "height")
    carrying = {setting.condition.name for energy in heights for setting in energy.isolate}
    waiting, done = sorted(settings, key=lambda s: s.condition.name not in carrying), []
    names = {s.condition.name for s in settings}
    while waiting:
        free = next((s for s in waiting if not _asks(machine, s) & names), waiting[0])
        waiting.remove(free)
        names.discard(free.condition.name)
        done.append(free)
    return tuple(done)


def _asks(machine: Machine, setting: Setting) -> set[str]:
    return {each.condition.name for each in machine.conditions[setting.condition.name].move_when}


def waits(machine: Machine, shop: Shop, energies: tuple[str, ...]) -> tuple[Wait, ...]:
    """The times that stored energies take to be gone once they are cut off."""
    found = []
    for key in energies:
        energy = machine.energy[key]
        if energy.cools_in is not None:
            found.append(Wait(key, energy.cools_in.quantity.number(), "heat"))
        if energy.relieve is not None and energy.relieve.for_ is not None:
            found.append(Wait(key, energy.relieve.for_.quantity.number(), "relieve"))
        if energy.kind.name == "capacitor" and energy.bleed and energy.capacitance and energy.highest:
            end, text = end_voltage(machine, shop, key)
            tolerance = 1.0 + (energy.tolerance.quantity.number() if energy.tolerance else USUAL_TOLERANCE)
            bleed = 1.0 + (energy.bleed_tolerance.quantity.number() if energy.bleed_tolerance else USUAL_TOLERANCE)
            seconds = discharge_time(
                energy.capacitance.quantity.number() * tolerance,
                energy.bleed.quantity.number() * bleed,
                energy.highest.quantity.number(),
                end,
            )
            found.append(Wait(key, seconds, "capacitor", text))
    return tuple(found)


def end_voltage(machine: Machine, shop: Shop, key: str) -> tuple[float, str]:
    """The voltage below which a capacitor counts as empty, in V and in words: the lowest of proof, shop and law."""
    found = [tightened(shop, "residual-voltage")]
    for name in (key, *sorted(feeders(machine, key))):
        prove = machine.energy[name].prove if name in machine.energy else None
        if prove is not None and prove.below is not None and prove.below.quantity.dimension == "voltage":
            found.append((prove.below.quantity.number(), prove.below.quantity.text))
    volts, text = min(found)
    return volts, number(text)
