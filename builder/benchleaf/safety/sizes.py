"""How big each energy is: in words for the card, and in joules or amperes where its sizes allow."""

from collections.abc import Callable, Mapping
from decimal import Decimal

from benchleaf.base.said import capital, number, row
from benchleaf.model.basics import Amount, Words
from benchleaf.model.energy import Energy
from benchleaf.model.quantity import Quantity
from benchleaf.safety.sentences import say
from benchleaf.trade.stored import (
    ATMOSPHERE,
    battery_energy,
    capacitor_energy,
    gas_energy,
    height_energy,
    hydrogen_ventilation,
    short_circuit_current,
    spring_energy,
)

Print = Callable[[Quantity], str]

# The sizes without which nobody can say how dangerous an energy of that kind is; one of each inner tuple is enough.
NEEDED: Mapping[str, tuple[tuple[str, ...], ...]] = {
    "battery": (("highest",), ("capacity",), ("blocks",)),
    "mains": (("voltage",),),
    "dc": (("highest",),),
    "capacitor": (("capacitance",), ("highest",)),
    "spring": (("rate",), ("travel",)),
    "height": (("mass",),),
    "hydraulic": (("pressure",),),
    "pneumatic": (("pressure",),),
    "motion": (),
    "heat": (("temperature",),),
    "chemical": (("agent",),),
}


def missing_sizes(energy: Energy) -> tuple[str, ...]:
    """The fields that the energy's kind needs and that are not written."""
    return tuple(
        " or ".join(choice)
        for choice in NEEDED.get(energy.kind.name, ())
        if not any(getattr(energy, name) for name in choice)
    )


def highest_voltage(energy: Energy) -> float:
    """The highest voltage in V, 0 where the energy is not electrical."""
    return max(_number(energy.highest), _number(energy.voltage))


def size_in(energy: Energy, dimension: str) -> float | None:
    """How big an energy is in the dimension of a limit, in its base unit; None where the machine file does not say.

    Of a battery the mass of one block counts, since nobody lifts the bank.
    """
    block = energy.blocks.mass if energy.blocks is not None else None
    found = {
        "voltage": highest_voltage(energy) or None,
        "temperature": _number(energy.temperature) if energy.temperature else None,
        "pressure": _gauge(energy.pressure) if energy.pressure else None,
        "mass": _number(block or energy.mass) if block or energy.mass else None,
    }
    return found.get(dimension)


def joules(energy: Energy) -> float | None:
    """The largest energy that it can hold, in J; None where its sizes do not say."""
    kind = energy.kind.name
    worst = 1.0 + _number(energy.tolerance)
    if kind == "capacitor" and energy.capacitance and energy.highest:
        return capacitor_energy(_number(energy.capacitance) * worst, _number(energy.highest))
    if kind == "spring" and energy.rate and energy.travel:
        return spring_energy(_number(energy.rate) * worst, _number(energy.travel))
    if kind == "height" and energy.mass and energy.height:
        return height_energy(_number(energy.mass), _number(energy.height))
    if kind == "battery" and energy.highest and energy.capacity:
        return battery_energy(_number(energy.highest), _number(energy.capacity))
    if kind == "pneumatic" and energy.pressure and energy.volume:
        return gas_energy(_gauge(energy.pressure), _number(energy.volume))
    return None


def bank_current(energy: Energy) -> float | None:
    """The short-circuit current of the whole string in A; None where the blocks' resistance is not given."""
    blocks = energy.blocks
    if blocks is None or blocks.resistance is None or not energy.highest:
        return None
    return short_circuit_current(_number(energy.highest), _number(blocks.resistance) * blocks.count)


def ventilation(energy: Energy) -> float | None:
    """Fresh air while charging in m³/h; None where cells, capacity or gassing current are not given."""
    charging, blocks = energy.charging, energy.blocks
    if blocks is None or charging is None or charging.gas is None or not energy.capacity:
        return None
    hours = _number(energy.capacity) / 3600.0
    return hydrogen_ventilation(int(blocks.count) * blocks.cells, float(charging.gas.current.per_100_ah), hours)


def size_text(energy: Energy, print_quantity: Print) -> str:
    """The sizes as the head of a card names them."""
    found = [
        print_quantity(amount.quantity)
        for name in ("voltage", "highest", "capacity", "capacitance", "pressure", "mass", "height", "temperature")
        if isinstance(amount := getattr(energy, name), Amount)
    ]
    stored = joules(energy)
    if stored is not None and energy.kind.name != "battery":
        found.append(joules_text(stored))
    if energy.agent:
        found.append(energy.agent)
    return row(found, ", ")


def joules_text(value: float) -> str:
    """An energy to two figures, as J, kJ or MJ."""
    for unit, size in (("MJ", 1e6), ("kJ", 1e3), ("J", 1.0)):
        if value >= size or unit == "J":
            return number(f"{_two_figures(value / size)}\u202f{unit}")
    return ""


def blanks(energy: Energy, name: str, print_quantity: Print) -> dict[str, str]:
    """What the blanks of a warning's text stand for, for this energy."""
    current, flow = bank_current(energy), ventilation(energy)
    voltage = energy.highest or energy.voltage
    block = energy.blocks
    mass = block.mass if block is not None and block.mass is not None else energy.mass
    return {
        "energy": name,
        "Energy": capital(name),
        "voltage": print_quantity(voltage.quantity) if voltage else say("unknown-voltage"),
        "current": number(f"{_two_figures(current)}\u202fA") if current else say("unknown-current"),
        "charging": _charging(energy, print_quantity),
        "flow": number(f"{_two_figures(flow)}\u202fm³/h") if flow else say("unknown-flow"),
        "mass": print_quantity(mass.quantity) if mass else say("unknown-mass"),
        "temperature": print_quantity(energy.temperature.quantity)
        if energy.temperature
        else say("unknown-temperature"),
        "pressure": print_quantity(energy.pressure.quantity) if energy.pressure else say("unknown-pressure"),
        "size": size_text(energy, print_quantity) or say("unknown-size"),
        "Agent": capital(energy.agent or name),
    }


def _charging(energy: Energy, print_quantity: Print) -> str:
    """The temperatures between which the battery may be charged, as a sentence; empty where none are given."""
    limits = energy.charging
    if limits is None or limits.from_ is None or limits.to is None:
        return ""
    low, high = print_quantity(limits.from_.quantity), print_quantity(limits.to.quantity)
    return say("charge-between", low=low, high=high)


def _two_figures(value: float) -> str:
    """Rounded up to two figures: a hazard is never printed smaller than it is."""
    if value <= 0:
        return "0"
    exponent = Decimal(repr(value)).adjusted() - 1
    step = Decimal(1).scaleb(exponent)
    rounded = (Decimal(repr(value)) / step).to_integral_value(rounding="ROUND_CEILING") * step
    return f"{rounded:f}" if exponent < 0 else f"{int(rounded)}"


def _number(amount: Amount | Words | None) -> float:
    return amount.quantity.number() if isinstance(amount, Amount) else 0.0


def _gauge(amount: Amount) -> float:
    pressure = amount.quantity.number()
    return pressure - ATMOSPHERE if amount.quantity.dimension == "absolute-pressure" else pressure
