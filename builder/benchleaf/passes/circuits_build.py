"""From a machine file to the circuit that the solver takes: elements in the state of a step, sound or at fault."""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from math import inf

from benchleaf.base.finding import Finding
from benchleaf.model.basics import EMPTY, Amount
from benchleaf.model.circuit import Circuit, ElementChange
from benchleaf.model.circuit import Element as Drawn
from benchleaf.model.machine import Machine
from benchleaf.passes import circuits_rules as rules
from benchleaf.safety.valuation import IN_PLACE, OUT, Cases, Holds, Values, any_holds, cases, closed
from benchleaf.trade.network_parts import Element, Network
from benchleaf.trade.network_usual import usual

# A tolerance of everything is told elsewhere; here it must leave something.
WIDEST = 0.99
# What a fuse without any resistance has, in ohms: too little for a meter to show.
_LEAST = 1e-4
TERMINALS = {"potentiometer": 3}


# What a fault can change of an element of each type, besides opening or shorting it.
_CHANGES = {
    "battery": {"voltage", "resistance"},
    "coil": {"resistance", "pulls_in", "drops_out"},
    "potentiometer": {"resistance", "position"},
    "motor": {"resistance", "back_emf"},
    "capacitor": {"capacitance"},
}
_SIZES = ("voltage", "resistance", "position", "pulls_in", "drops_out", "back_emf", "capacitance")


def wrong(machine: Machine) -> Iterator[Finding]:
    """Elements that no circuit can hold, as drawn and as faults change them."""
    if machine.circuit is not None:
        yield from _wrong_elements(machine.circuit)
        for fault in machine.faults.values():
            for name, change in fault.circuit.items():
                if name in machine.circuit.elements:
                    yield from _wrong_change(name, machine.circuit.elements[name], change)


def _wrong_change(name: str, drawn: Drawn, change: ElementChange) -> Iterator[Finding]:
    possible = _CHANGES.get(drawn.type.name, {"resistance"})
    for size in _SIZES:
        amount: Amount | None = getattr(change, size)
        if amount is None:
            continue
        if size not in possible:
            called = size.replace("_", "-")
            yield rules.IMPOSSIBLE_ELEMENT.at(amount.span, f"`{name}` is a {drawn.type} and has no {called} to change.")
        elif amount.quantity.value < 0 and size != "voltage":
            yield rules.IMPOSSIBLE_ELEMENT.at(amount.span, f"`{amount}` of `{name}` does not exist.")
        elif size == "position" and amount.quantity.number() > 1:
            sentence = f"The wiper of `{name}` stands at `{amount}`, beyond its end."
            yield rules.IMPOSSIBLE_ELEMENT.at(amount.span, sentence)
    after = _changed(drawn, change)
    if (change.pulls_in or change.drops_out) and _slack(after):
        sentence = f"With this fault `{name}` lets go at {after.drops_out}, above the {after.pulls_in} of pulling in."
        yield rules.IMPOSSIBLE_ELEMENT.at(change.span, sentence)


def _slack(each: Drawn) -> bool:
    """Whether a coil lets go at more than it pulls in at."""
    return each.pulls_in is not None and each.drops_out is not None and each.drops_out.quantity > each.pulls_in.quantity


def _wrong_elements(circuit: Circuit) -> Iterator[Finding]:
    for name, each in circuit.elements.items():
        count = TERMINALS.get(each.type.name, 2)
        if len(each.nodes) != count:
            sentence = f"A {each.type} lies between {count} nodes, and `{name}` names {len(each.nodes)}."
            yield rules.IMPOSSIBLE_ELEMENT.at(each.span, sentence)
        elif len({node.name for node in each.nodes}) < count:
            yield rules.IMPOSSIBLE_ELEMENT.at(each.span, f"Two ends of `{name}` lie on the same node.")
        below = next((size for size in _sizes(each) if size.quantity.value < 0), None)
        if below is not None:
            yield rules.IMPOSSIBLE_ELEMENT.at(below.span, f"`{below}` of `{name}` does not exist.")
        if each.rating is not None and each.rating.quantity.value == 0:
            yield rules.IMPOSSIBLE_ELEMENT.at(each.rating.span, f"A fuse of {each.rating} lets no current pass at all.")
        if each.position is not None and each.position.quantity.number() > 1:
            sentence = f"The wiper of `{name}` stands at `{each.position}`, beyond its end."
            yield rules.IMPOSSIBLE_ELEMENT.at(each.position.span, sentence)
        mover = circuit.elements.get(each.of.name) if each.of is not None else None
        if each.of is not None and mover is not None and mover.type.name != "coil":
            yield rules.IMPOSSIBLE_ELEMENT.at(each.of.span, f"`{each.of}` is no coil, so it moves no contact.")
        if each.drops_out is not None and _slack(each):
            sentence = f"`{name}` lets go at {each.drops_out}, above the {each.pulls_in} at which it pulls in."
            yield rules.IMPOSSIBLE_ELEMENT.at(each.drops_out.span, sentence)


def _sizes(each: Drawn) -> Iterator[Amount]:
    sizes = (each.voltage, each.resistance, each.tolerance, each.position, each.pulls_in, each.drops_out)
    more = (each.forward_voltage, each.rating, each.capacitance, each.back_emf)
    return (size for size in (*sizes, *more) if size is not None)


def definite(machine: Machine, values: Values) -> dict[str, frozenset[str]]:
    """One value for each condition: the only one, else where it springs back to, its `initial`, or its first."""
    made: dict[str, frozenset[str]] = {}
    for name, possible in values.items():
        condition = machine.conditions.get(name)
        if len(possible) == 1:
            made[name] = possible
        elif condition is None:
            made[name] = frozenset((OUT if OUT in possible else IN_PLACE,))
        else:
            wanted = (condition.springs_back, condition.initial, *condition.values)
            made[name] = frozenset((next(ref.name for ref in wanted if ref is not None and ref.name in possible),))
    return closed(machine, made)


def network(machine: Machine, values: Values, changes: Mapping[str, ElementChange] = EMPTY) -> Network:
    """The circuit in a state (one value for each condition), with what a fault changes.

    The machine must have a circuit in which `wrong` finds nothing.
    """
    circuit = machine.circuit
    if circuit is None:
        raise ValueError(f"{machine.id} has no circuit")
    made = []
    for name, drawn in circuit.elements.items():
        stands = _closed(machine, name, drawn, values)
        change = changes.get(name)
        made.append(_element(name, drawn, stands, change) if change else _sound(machine, name, stands))
    for name, thing in machine.things.items():
        joins = tuple(ref.name for ref in thing.joins)
        if len(joins) > 1 and values.get(name) == frozenset((IN_PLACE,)):
            made.extend(Element(name, "switch", (joins[0], node), closed=True) for node in joins[1:])
    return Network(circuit.ground.name, tuple(made))


@lru_cache(maxsize=4096)
def _sound(machine: Machine, name: str, stands: bool) -> Element:
    return _element(name, _elements(machine)[name], stands, None)


def _elements(machine: Machine) -> Mapping[str, Drawn]:
    return machine.circuit.elements if machine.circuit is not None else EMPTY


def _element(name: str, drawn: Drawn, stands: bool, change: ElementChange | None) -> Element:
    kind = drawn.type.name
    given = drawn if change is None else _changed(drawn, change)
    voltage = {"diode": given.forward_voltage, "motor": given.back_emf}.get(kind, given.voltage)
    missing = usual().forward_voltage if kind == "diode" else 0.0
    return Element(
        name,
        kind,
        tuple(node.name for node in drawn.nodes),
        _number(voltage, missing) if kind in ("battery", "diode", "motor") else 0.0,
        _resistance(given),
        min(_number(drawn.tolerance, usual().tolerance.get(kind, 0.0)), WIDEST),
        drawn.tolerance is not None,
        stands,
        drawn.of.name if drawn.of is not None else "",
        _number(given.pulls_in, 0.0),
        _number(given.drops_out, 0.0),
        _number(given.position, 0.5),
        _number(drawn.rating, inf),
        _number(given.capacitance, 0.0),
        change.state.name if change is not None and change.state is not None else "",
    )


def _changed(drawn: Drawn, change: ElementChange) -> Drawn:
    return drawn._replace(**{size: getattr(change, size) for size in _SIZES if getattr(change, size) is not None})


def _closed(machine: Machine, name: str, drawn: Drawn, values: Values) -> bool:
    if drawn.type.name == "contact":
        return drawn.contact == "normally-closed"
    return bool(drawn.closed_when) and any_holds(_asked(machine, name), values) is Holds.YES


@lru_cache(maxsize=4096)
def _asked(machine: Machine, name: str) -> Cases:
    return cases(_elements(machine)[name].closed_when)


def _resistance(drawn: Drawn) -> float:
    """The resistance in ohms; a fuse has some in any case, so that its current is known."""
    stated = _number(drawn.resistance, _usual_resistance(drawn))
    return _LEAST if drawn.type.name == "fuse" and stated == 0 else stated


def _usual_resistance(drawn: Drawn) -> float:
    if drawn.type.name == "diode":
        return usual().diode_resistance
    if drawn.type.name == "fuse" and drawn.rating is not None and drawn.rating.quantity.value > 0:
        return usual().fuse_drop / drawn.rating.quantity.number()
    return 0.0


def _number(amount: Amount | None, missing: float) -> float:
    return missing if amount is None else amount.quantity.number()
