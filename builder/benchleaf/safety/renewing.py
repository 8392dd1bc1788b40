"""Proof of zero once more: after work was held up, and before hands where an energy comes back by itself."""

from collections.abc import Mapping, Sequence

from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted, Why
from benchleaf.model.shop import Shop
from benchleaf.safety.blocks import access_steps, let_go_steps, proof_steps
from benchleaf.safety.isolators import Isolator, needed_for
from benchleaf.safety.locking import Lockout, lockout, narrowed
from benchleaf.safety.presence import feeders
from benchleaf.safety.reach import reach_of
from benchleaf.safety.valuation import Values


def returning(machine: Machine) -> frozenset[str]:
    """The energies that come back after they were let go, or that one which does so feeds."""
    return frozenset(
        key
        for key, energy in machine.energy.items()
        if not energy.stays_live
        and any(machine.energy[name].comes_back for name in (key, *feeders(machine, key)) if name in machine.energy)
    )


def proved_anew(
    machine: Machine, shop: Shop, plan: Lockout, values: Values, why: Why, back: frozenset[str]
) -> list[Inserted]:
    """The proof of a lockout that still stands; what comes back (`back`) is let go first."""
    again = tuple(key for key in plan.energies if key in back)
    return [
        *let_go_steps(machine, plan, again, why),
        *access_steps(machine, plan, values, why),
        *proof_steps(machine, shop, plan, why),
    ]


def before_hands(
    machine: Machine,
    shop: Shop,
    known: Mapping[str, Isolator],
    locked: frozenset[str],
    steps: Sequence[Inserted],
    values: Values,
    why: Why,
) -> list[Inserted]:
    """What is proved anew before a block of steps while `locked` stand: what comes back and reaches beyond its part.

    Empty where no hands come near in that block.
    """
    if not any(step.nearness == "hands" for step in steps):
        return []
    back = returning(machine)
    near = frozenset(
        key
        for key in back
        if reach_of(machine.energy[key]) != "touch" and (needed := set(needed_for(machine, key))) <= locked and needed
    )
    if not near:
        return []
    plan = narrowed(machine, lockout(machine, shop, known, locked, frozenset(), near), back)
    return proved_anew(machine, shop, plan, values, why, back)
