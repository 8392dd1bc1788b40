"""Batteries, wires and stored energy, for the calculations from `ventilation` to `battery-state`."""

from benchleaf.edge.calc.complaint import Misfit
from benchleaf.edge.calc.given import Answer, Given, Values
from benchleaf.model.amounts import GasCurrent
from benchleaf.trade import stored
from benchleaf.trade.batteries import battery_state, chemistries, ventilation_opening
from benchleaf.trade.discharge import discharge_time
from benchleaf.trade.wire import (
    circle_area,
    circle_diameter,
    conductor_resistance,
    gauge_diameter,
    standard_resistance,
)

_PHYSICS = "textbook physics"


def ventilation(given: Given) -> Answer:
    """Air and openings for a battery on charge."""
    current = given.value("current", GasCurrent)
    flow = stored.hydrogen_ventilation(
        given.value("cells", int), float(current.per_100_ah), given.number("capacity", "A·h")
    )
    return Answer(
        {"flow": flow, "opening": ventilation_opening(flow)},
        "Q = 0.05 n I C/100, I in A per 100 A·h; A = 28 Q",
        "IEC 62485-3 (EN 50272-3), traction batteries; public reproduction",
    )


def short_circuit(given: Given) -> Answer:
    """Current of a short circuit."""
    current = stored.short_circuit_current(given.number("voltage", "V"), given.number("resistance", "ohm"))
    return Answer({"current": current}, "I = V/R", "Ohm's law")


def stored_energy(given: Given) -> Answer:
    """Energy by what holds it."""
    kind = given.word("kind")
    source = _PHYSICS
    if kind == "battery":
        energy, formula = stored.battery_energy(given.number("voltage", "V"), given.number("capacity", "C")), "E = V Q"
    elif kind == "capacitor":
        energy = stored.capacitor_energy(given.number("capacitance", "F"), given.number("voltage", "V"))
        formula = "E = C V²/2"
    elif kind == "spring":
        energy = stored.spring_energy(given.number("rate", "N/m"), given.number("travel", "m"))
        formula = "E = k x²/2"
    elif kind == "height":
        energy = stored.height_energy(given.number("mass", "kg"), given.number("height", "m"))
        formula, source = "E = m g h, g = 9.80665 m/s²", f"{_PHYSICS}; g by the 3rd CGPM"
    else:
        pressure, ambient = given.number("pressure", "Pa"), given.number("ambient", "Pa(a)")
        energy = stored.gas_energy(pressure, given.number("volume", "m³"), ambient)
        formula = "E = p V ln(p/p0), p = gauge pressure + p0"
        source = f"{_PHYSICS}: expansion at constant temperature, the most that the gas can give"
    return Answer({"energy": energy}, formula, source)


def discharge(given: Given) -> Answer:
    """Time until a capacitor has bled down."""
    time = discharge_time(
        given.number("capacitance", "F"),
        given.number("resistance", "ohm"),
        given.number("from", "V"),
        given.number("to", "V"),
    )
    return Answer({"time": time}, "t = R C ln(V0/V)", f"{_PHYSICS}: exponential discharge")


def wire_drop(given: Given) -> Answer:
    """Resistance of a wire, and what is lost in it."""
    if given.has("gauge"):
        diameter = gauge_diameter(given.value("gauge", int))
        area = circle_area(diameter)
    else:
        area = given.number("area", "mm²")
        diameter = circle_diameter(area)
    by_table = given.has("area") and standard_resistance(area) is not None
    resistance = conductor_resistance(area, given.number("length", "m"), given.number("temperature", "°C"), by_table)
    values: Values = {"resistance": resistance}
    if given.has("current"):
        drop = values["drop"] = abs(given.number("current", "A")) * resistance
        if given.has("voltage"):
            values["share"] = drop / given.number("voltage", "V")
    values["diameter"] = diameter
    per_metre = "R20 by table" if by_table else "R20 = L/(58 A)"
    size = "d = 0.127 mm · 92^((36 - n)/39)" if given.has("gauge") else "d = √(4 A/π)"
    source = "IEC 60228 class 5, most at 20 °C" if by_table else "IEC 60028 (1/58 Ω mm²/m at 20 °C)"
    source = f"ASTM B258; {source}" if given.has("gauge") else source
    formula = f"{size}; {per_metre}; R = R20 (1 + 0.00393 (T - 20 °C)); drop = I R"
    return Answer(values, formula, f"{source}; IEC 60028 (0.00393 per kelvin)")


def battery(given: Given) -> Answer:
    """Charge by the voltage at rest."""
    name, cells, voltage = given.word("chemistry"), given.value("cells", int), given.number("voltage", "V")
    temperature = given.number("temperature", "°C") if given.has("temperature") else None
    try:
        state = battery_state(name, cells, voltage, temperature)
    except ValueError as error:
        raise Misfit("voltage", f"{error}.") from error
    values: Values = {} if state.charge is None else {"charge": state.charge}
    values |= {"full-voltage": state.full, "empty-voltage": state.empty}
    chemistry = chemistries()[name]
    formula = "linear between the rows of the table of voltages at rest"
    return Answer(values, formula, f"{chemistry.source}. {chemistry.caveat}")
