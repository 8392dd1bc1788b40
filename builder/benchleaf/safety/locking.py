"""What one lockout of a machine consists of: what holds, which isolators move in which order, how long to wait."""

from typing import NamedTuple

from benchleaf.model.basics import Setting
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.safety.presence import feeders, isolation
from benchleaf.trade.discharge import discharge_time

# Where the machine file proves no lower voltage: the limit under which 1910.333(a)(1) lets parts be worked on live.
SAFE_VOLTAGE = 50.0


class Wait(NamedTuple):
    """A time to wait, in seconds as computed, for an energy; `below` says in words how low it then is."""

    energy: str
    seconds: float
    kind: str
    below: str = ""


class Lockout(NamedTuple):
    """The parts of a lockout, each in working order. `energies` are what it takes away."""

    energies: tuple[str, ...]
    things: tuple[Setting, ...]
    controls: tuple[Setting, ...]
    isolators: tuple[Setting, ...]
    relieve: tuple[str, ...]
    waits: tuple[Wait, ...]
    covers: tuple[str, ...]
    proofs: tuple[str, ...]


def lockout(machine: Machine, shop: Shop, energies: tuple[str, ...]) -> Lockout:
    """Plan one lockout for these energies and all that is fed by the same isolators."""
    settings: dict[str, Setting] = {}
    for key in energies:
        for setting in isolation(machine, key):
            settings.setdefault(setting.condition.name, setting)
    things = tuple(s for s in settings.values() if s.condition.name in machine.things)
    isolators = _ordered(machine, [s for s in settings.values() if s.condition.name in machine.conditions])
    names = {s.condition.name for s in isolators}
    controls: dict[str, Setting] = {}
    for isolator in isolators:
        for setting in machine.conditions[isolator.condition.name].move_when:
            if setting.condition.name not in names:
                controls.setdefault(setting.condition.name, setting)
    taken = tuple(key for key in machine.energy if key in energies or _follows_them(machine, key, energies))
    proofs = tuple(key for key in taken if machine.energy[key].prove is not None)
    wanted = (ref.name for key in proofs for ref in machine.energy[key].prove.access)  # type: ignore[union-attr]
    covers = tuple(name for name in dict.fromkeys(wanted) if name in machine.conditions)
    relieve = tuple(key for key in taken if machine.energy[key].relieve is not None)
    return Lockout(
        taken, things, tuple(controls.values()), isolators, relieve, _waits(machine, shop, taken), covers, proofs
    )


def _follows_them(machine: Machine, key: str, energies: tuple[str, ...]) -> bool:
    """What feeds a locked energy, or is fed by one, and can be cut off, is part of the same lockout."""
    if machine.energy[key].stays_live or not isolation(machine, key):
        return False
    related = {feeder for each in energies for feeder in feeders(machine, each)}
    return key in related or bool(feeders(machine, key) & set(energies))


def _ordered(machine: Machine, settings: list[Setting]) -> tuple[Setting, ...]:
    """Isolators in an order in which each may be moved: what `move_when` asks of another isolator comes first."""
    waiting, done = list(settings), []
    names = {s.condition.name for s in settings}
    while waiting:
        free = next((s for s in waiting if not _asks(machine, s) & names), waiting[0])
        waiting.remove(free)
        names.discard(free.condition.name)
        done.append(free)
    return tuple(done)


def _asks(machine: Machine, setting: Setting) -> set[str]:
    return {each.condition.name for each in machine.conditions[setting.condition.name].move_when}


def _waits(machine: Machine, shop: Shop, energies: tuple[str, ...]) -> tuple[Wait, ...]:
    waits = []
    for key in energies:
        energy = machine.energy[key]
        if energy.cools_in is not None:
            waits.append(Wait(key, energy.cools_in.quantity.number(), "heat"))
        if energy.relieve is not None and energy.relieve.for_ is not None:
            waits.append(Wait(key, energy.relieve.for_.quantity.number(), "relieve"))
        if energy.kind.name == "capacitor" and energy.bleed and energy.capacitance and energy.highest:
            end, text = end_voltage(machine, shop, key)
            tolerance = 1.0 + (energy.tolerance.quantity.number() if energy.tolerance else 0.0)
            bleed = 1.0 + (energy.bleed_tolerance.quantity.number() if energy.bleed_tolerance else 0.0)
            seconds = discharge_time(
                energy.capacitance.quantity.number() * tolerance,
                energy.bleed.quantity.number() * bleed,
                energy.highest.quantity.number(),
                end,
            )
            waits.append(Wait(key, seconds, "capacitor", text))
    return tuple(waits)


def end_voltage(machine: Machine, shop: Shop, key: str) -> tuple[float, str]:
    """The voltage below which a capacitor counts as empty, in V and in words: the lowest of proof, shop and law."""
    found = [(SAFE_VOLTAGE, f"{SAFE_VOLTAGE:g} V")]
    for name in (key, *sorted(feeders(machine, key))):
        prove = machine.energy[name].prove if name in machine.energy else None
        if prove is not None and prove.below is not None and prove.below.quantity.dimension == "voltage":
            found.append((prove.below.quantity.number(), prove.below.quantity.text))
    tighter = shop.thresholds.get("residual-voltage")
    if tighter is not None and tighter.quantity.dimension == "voltage":
        found.append((tighter.quantity.number(), tighter.quantity.text))
    return min(found)
