"""What the card carries for its proof: the machine's facts as written, and what each step moves, opens and reaches.

The verifier reads this and nothing of the engine that put steps in; so everything here is taken from the machine file,
the procedure and the plan, and nothing from the analysis.
"""

from typing import Any

from benchleaf.card.records import StepFacts, WayOut
from benchleaf.model.basics import Amount, State, When
from benchleaf.model.energy import Energy, Prove
from benchleaf.model.flow import Station
from benchleaf.model.machine import Condition, Machine
from benchleaf.model.plan import Planned
from benchleaf.model.procedure import Procedure, Step
from benchleaf.passes.base import Case
from benchleaf.safety.effects import LooseEnd, loose_ends, moves
from benchleaf.safety.reach import AIRING, met, nearness, parts_of, reach_of
from benchleaf.safety.sizes import highest_voltage
from benchleaf.safety.thresholds import all_tightened
from benchleaf.safety.warnings import standing_exposures

Data = dict[str, Any]


def machine_facts(machine: Machine, procedure: Procedure) -> Data:
    """The machine as its file describes it, as far as energies and their isolation go."""
    return {
        "conditions": {name: _condition(each) for name, each in machine.conditions.items()},
        "things": {
            name: {
                "sets": _state(each.sets),
                "holds": [ref.name for ref in each.holds],
                "joins": [ref.name for ref in each.joins],
                "defeats": each.defeats.name if each.defeats else "",
            }
            for name, each in machine.things.items()
        },
        "energies": {name: _energy(each) for name, each in machine.energy.items()},
        "parts": {
            name: {
                "in": each.in_.name if each.in_ else "",
                "on": each.on.name if each.on else "",
                "exposes": [{"energy": e.energy.name, "unless": _state(e.unless)} for e in each.exposes],
            }
            for name, each in machine.parts.items()
        },
        "circuit": _circuit(machine),
        "initial": _state(procedure.initial),
        "final": _state(procedure.final),
    }


def _condition(condition: Condition) -> Data:
    return {
        "values": [ref.name for ref in condition.values],
        "initial": condition.initial.name if condition.initial else "",
        "isolates": condition.isolates,
        "control": condition.control,
        "cover": condition.cover,
        "lock": bool(condition.lock),
        "move_when": _state(condition.move_when),
        "springs_back": condition.springs_back.name if condition.springs_back else "",
        "may_change": condition.may_change,
        "follows": [{"is": clause.is_.name, "when": _when(clause.when)} for clause in condition.follows],
    }


def _energy(energy: Energy) -> Data:
    return {
        "kind": energy.kind.name,
        "reach": reach_of(energy),
        "stays_live": energy.stays_live,
        "comes_back": energy.comes_back,
        "highest": highest_voltage(energy),
        "chemistry": energy.chemistry.name if energy.chemistry else "",
        "parted": _parting(energy),
        "when": _when(energy.when),
        "isolate": _state(energy.isolate),
        "fed_by": [ref.name for ref in energy.fed_by],
        "held_by": [ref.name for ref in energy.held_by],
        "relieve": energy.relieve is not None,
        "lets_go": _state(energy.relieve.sets) if energy.relieve is not None else {},
        "waits": any((energy.cools_in, energy.bleed, energy.relieve and energy.relieve.for_)),
        "lasts": _number(energy.cools_in) or (_number(energy.relieve.for_) if energy.relieve is not None else 0.0),
        "bleeds": _bleeding(energy),
        "prove": _prove(energy.prove) if energy.prove else None,
    }


def _number(amount: Amount | None) -> float:
    """A size in its base unit, 0 where the machine file does not state it."""
    return amount.quantity.number() if amount is not None else 0.0


def _bleeding(energy: Energy) -> Data | None:
    """What decides how long a charge takes to bleed away, in F, ohm and V; tolerances are shares, null if unstated."""
    if energy.kind.name != "capacitor" or not (energy.bleed and energy.capacitance and energy.highest):
        return None
    return {
        "farads": _number(energy.capacitance),
        "within": _number(energy.tolerance) if energy.tolerance else None,
        "ohms": _number(energy.bleed),
        "bleed_within": _number(energy.bleed_tolerance) if energy.bleed_tolerance else None,
        "volts": _number(energy.highest),
    }


def _parting(energy: Energy) -> Data | None:
    """Where a battery's string can be parted, and into how many lengths; None where nothing says so."""
    parted = energy.blocks.parted if energy.blocks is not None else None
    return {"when": _state(parted.when), "into": parted.into} if parted is not None else None


def _circuit(machine: Machine) -> Data:
    """The switches of the circuit with what closes them, and what each listed fault does to which element."""
    elements = machine.circuit.elements if machine.circuit is not None else {}
    return {
        "switches": {name: _when(each.closed_when) for name, each in elements.items() if each.closed_when},
        "faults": {
            name: {element: change.state.name for element, change in fault.circuit.items() if change.state is not None}
            for name, fault in machine.faults.items()
        },
    }


def _prove(prove: Prove) -> Data:
    return {
        "measure": prove.measure,
        "pairs": [[ref.name for ref in pair] for pair in prove.between],
        "below": str(prove.below.quantity.value) if prove.below is not None else "",
        "unit": prove.below.quantity.unit.symbol if prove.below is not None else "",
        "look": bool(prove.look or (prove.gauge and not prove.measure)),
        "try": bool(prove.try_),
        "sees": [ref.name for ref in prove.sees],
        "access": [ref.name for ref in prove.access],
    }


def _state(state: State) -> dict[str, str]:
    return {setting.condition.name: setting.value.name for setting in state}


def _when(when: When) -> list[dict[str, list[str]]]:
    """Any of these maps; in a map all conditions, each with any of its values."""
    return [{test.condition.name: [value.name for value in test.values] for test in case} for case in when]


def step_facts(case: Case, planned: Planned, station: Station | None) -> StepFacts:
    """What one step moves, opens, closes and reaches, and every way out of it."""
    ways = tuple(WayOut(way.side, way.to, way.at_most) for way in planned.ways)
    step = planned.inserted
    if step is not None:
        covers = tuple(f"open:{s.condition.name}" for s in step.sets) if step.role in ("access", "close") else ()
        return StepFacts(
            ways=ways,
            sets=_state(step.sets),
            opens=covers if step.role == "access" else (),
            closes=covers if step.role == "close" else (),
            energies=step.energies,
            locks=step.locks,
            measure=step.proof.measure if step.proof else "",
            exposed=standing_exposures(case.machine, all_tightened(case.shop), None, step),
        )
    assert station is not None
    written, machine = station.step, case.machine
    limit = machine.limits.get(written.object.text) if written.action.name == "measure" else None
    close = nearness(machine, written) in ("hands", "probe")
    every = frozenset(LooseEnd(*end) for end in _all_ends(machine))
    return StepFacts(
        ways=ways,
        sets=_state(moves(machine, case.procedure, written)),
        meanwhile=_state(written.while_.sets) if written.while_ else {},
        opens=_ends(loose_ends(frozenset(), machine, written)),
        closes=_ends(every - loose_ends(every, machine, written)),
        parts=parts_of(machine, written),
        live=planned.live,
        measure=limit.measure.name if limit is not None else "",
        power=written.power,
        access=written.access,
        together=written.together == "next",
        helper=written.while_.who.name if written.while_ and written.while_.who else "",
        stays=tuple(key for key in met(machine, written) if machine.energy[key].stays_live) if close else (),
        leads="back" if current_by_leads(machine, written) else "",
        airs=any(ref.name == AIRING for ref in written.hazards),
        seconds=int(written.for_.quantity.number()) if written.for_ is not None else 0,
        exposed=standing_exposures(machine, all_tightened(case.shop), written, None),
    )


def current_by_leads(machine: Machine, step: Step) -> bool:
    """Whether a step reads a current with its leads in the meter's current sockets."""
    limit = machine.limits.get(step.object.text) if step.action.name == "measure" else None
    return limit is not None and limit.measure.name.endswith("-current") and nearness(machine, step) == "probe"


def _all_ends(machine: Machine) -> list[tuple[str, str]]:
    names = (*machine.conditions, *machine.parts, *machine.things, *machine.fasteners)
    return [(action, name) for name in names for action in ("open", "remove", "disconnect", "loosen", "drain", "place")]


def _ends(ends: frozenset[LooseEnd]) -> tuple[str, ...]:
    return tuple(sorted(f"{end.action}:{end.name}" for end in ends))
