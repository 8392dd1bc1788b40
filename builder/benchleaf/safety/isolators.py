"""What is moved to cut energies off: isolators, things that hold, and the letting go of what nothing isolates."""

from functools import lru_cache
from typing import NamedTuple

from benchleaf.model.basics import Setting
from benchleaf.model.machine import Machine
from benchleaf.model.procedure import Procedure
from benchleaf.safety.effects import working_value
from benchleaf.safety.presence import isolation

RELIEVE = "relieve:"


class Isolator(NamedTuple):
    """One thing to move. `kind`: break (a condition that isolates), thing (put in place), relieve (only let go).

    `settings` are empty for `relieve`; `energies` are those that need it for their isolation. `rests` tells that the
    isolated value is also the working one, so that power never asks for it to be moved back.
    """

    name: str
    kind: str
    settings: tuple[Setting, ...]
    energies: tuple[str, ...]
    rests: bool


@lru_cache(maxsize=4096)
def needed_for(machine: Machine, key: str) -> tuple[str, ...]:
    """The names of all isolators that an energy needs to be cut off; empty where nothing takes it away."""
    names = tuple(setting.condition.name for setting in isolation(machine, key))
    if names or machine.energy[key].stays_live:
        return names
    return (RELIEVE + key,) if machine.energy[key].relieve is not None else ()


def isolators(machine: Machine, procedure: Procedure) -> dict[str, Isolator]:
    """All isolators of a machine by name, in the order in which its energies name them."""
    found: dict[str, Isolator] = {}
    for key in machine.energy:
        if machine.energy[key].stays_live:
            continue
        settings = {setting.condition.name: setting for setting in isolation(machine, key)}
        for name in needed_for(machine, key):
            known = found.get(name)
            if known is not None:
                found[name] = known._replace(energies=(*known.energies, key))
            else:
                found[name] = _isolator(machine, procedure, name, settings.get(name), key)
    return found


def _isolator(machine: Machine, procedure: Procedure, name: str, setting: Setting | None, key: str) -> Isolator:
    if setting is None:
        return Isolator(name, "relieve", (), (key,), True)
    if name in machine.things:
        return Isolator(name, "thing", (setting,), (key,), True)
    rests = working_value(machine, procedure, name) == setting.value.name
    return Isolator(name, "break", (setting,), (key,), rests)
