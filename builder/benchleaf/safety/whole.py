"""The lockout of a whole machine, for no procedure in particular: away with every energy, prove it, and back."""

from typing import NamedTuple

from benchleaf.base.span import Span
from benchleaf.model.basics import EMPTY, Ref, When, Words
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Inserted, Why
from benchleaf.model.procedure import Change, Procedure
from benchleaf.model.shop import Shop
from benchleaf.safety.blocks import access_steps, lock_steps, proof_steps
from benchleaf.safety.isolators import Isolator, isolators
from benchleaf.safety.locking import lockout
from benchleaf.safety.presence import trusted
from benchleaf.safety.restoring import power_steps

_NOWHERE = Span("")
# Nothing is known of how the machine stands, so nothing is taken for done already.
_NOTHING = Procedure(
    span=_NOWHERE,
    format="",
    id=Ref(""),
    title=Words(""),
    kind=Ref(""),
    machine=Ref(""),
    revision=Ref(""),
    changed=Change(_NOWHERE, Ref(""), Words("")),
    purpose=Words(""),
    steps=(),
    outcomes=EMPTY,
    crew=EMPTY,
)


class Whole(NamedTuple):
    """The steps in the order of 29 CFR 1910.147(d) and (e): lock and let go, prove, give the machine back."""

    lock: tuple[Inserted, ...]
    prove: tuple[Inserted, ...]
    back: tuple[Inserted, ...]


def whole_lockout(machine: Machine, shop: Shop) -> Whole:
    """Every isolator of the machine locked; empty where the machine has none."""
    known = all_isolators(machine)
    why = Why("energy.lockout", "")
    plan = lockout(machine, shop, known, frozenset(known), frozenset())
    if not (plan.isolators or plan.things or plan.relieve):
        return Whole((), (), ())
    return Whole(
        tuple(lock_steps(machine, plan, EMPTY, why)),
        (*access_steps(machine, plan, EMPTY, why), *proof_steps(machine, shop, plan, why)),
        tuple(power_steps(machine, _NOTHING, plan, plan.covers, why)),
    )


def all_isolators(machine: Machine) -> dict[str, Isolator]:
    """All isolators of the machine by name, in the order in which its energies name them."""
    return isolators(machine, _NOTHING)


def only_while(machine: Machine, isolator: Isolator) -> tuple[When, ...]:
    """For each energy of an isolator when it is there; empty if one of them may be there whatever else stands how."""
    found = []
    for key in isolator.energies:
        cases = trusted(machine, machine.energy[key].when)
        others = tuple(tuple(test for test in case if test.condition.name != isolator.name) for case in cases)
        if not others or any(not case for case in others):
            return ()
        found.append(others)
    return tuple(dict.fromkeys(found))
