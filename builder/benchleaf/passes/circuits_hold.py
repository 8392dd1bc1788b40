"""A procedure held against its machine's circuit: what each reading shows, and what that says of limits and faults."""

from collections.abc import Iterator, Mapping
from math import isinf
from types import MappingProxyType

from benchleaf.base.finding import Finding, Related, Severity
from benchleaf.model.expected import Expected, Foreseen
from benchleaf.model.flow import Flow, Station, Way, outcome_of
from benchleaf.model.machine import Machine
from benchleaf.passes import circuits_rules as rules
from benchleaf.passes.base import Case
from benchleaf.passes.circuits_computed import computed
from benchleaf.passes.circuits_cures import cured
from benchleaf.passes.circuits_foresee import foresee, probe
from benchleaf.passes.circuits_limits import INSIDE, Bounds, bounds, in_unit
from benchleaf.passes.circuits_points import KINDS, computable, leads
from benchleaf.passes.circuits_state import Bench, State, reading_of
from benchleaf.passes.circuits_unknown import unknown
from benchleaf.safety.planning import Planning
from benchleaf.trade.network import Settled, Trouble
from benchleaf.trade.network_read import inner_resistance
from benchleaf.trade.reckoned import OPEN, amount, band, span_of


def hold(case: Case, flow: Flow, planning: Planning) -> tuple[Expected, tuple[Finding, ...]]:
    """What the circuit foretells for the steps of a procedure, and what is wrong with them."""
    bench = Bench(case.machine, case.procedure, planning)
    stations = {station.key: station for station in flow.stations}
    readings: dict[str, Foreseen] = {}
    volts: dict[str, Mapping[str, float]] = {}
    currents: dict[str, Mapping[str, float]] = {}
    behind: dict[str, float] = {}
    found: list[Finding] = []
    told: set[tuple[str, ...]] = set()
    given = computed(case.machine, case.shop, bench, flow.stations)
    # What the circuit gives is a limit like any other when it comes to faults.
    case = case._replace(machine=case.machine._replace(limits=MappingProxyType({**case.machine.limits, **given})))
    gone = cured(case.machine, flow)
    for station in flow.stations:
        state = bench.state(station)
        if state is None:
            continue
        settled = bench.at(state).settled
        found.extend(_at_rest(case.machine, station, settled, bench.words(state), told))
        if isinstance(settled, Trouble):
            continue
        volts[station.key] = _volts(settled)
        if settled.blown or not computable(case.machine, station.step):
            continue
        limit = case.machine.limits[station.step.object.text]
        inner = inner_resistance(settled, reading_of(case.machine, case.shop, station.step))
        if inner is not None:
            behind[station.key] = inner
        held = bounds(limit)
        asked = probe(case, bench, stations, station, held) if held is not None else None
        known = foresee(case, bench, asked, gone[station.key]) if asked is not None else None
        if held is None or known is None:
            continue
        foreseen, shown = known
        readings[station.key] = foreseen
        currents[station.key] = bench.currents(state, KINDS[limit.measure.name])
        if shown.floating:
            found.append(_floating(case.machine, station, foreseen))
            continue
        found.extend(_condemned(case.machine, station, held, foreseen))
        found.extend(_unseen(case, station, held, foreseen))
        found.extend(_unsolved(case, station, bench, state, told))
    return Expected(readings, volts, currents, behind, given), (*found, *unknown(case.machine, flow.stations, given))


def _volts(settled: Settled) -> dict[str, float]:
    """The voltage of each node that something joins to the ground."""
    solution, ground = settled.solution, settled.network.ground
    return {node: solution.between(node, ground) for node in solution.place if solution.joined(node, ground)}


def _at_rest(
    machine: Machine, station: Station, settled: Settled | Trouble, state: str, told: set[tuple[str, ...]]
) -> Iterator[Finding]:
    """What keeps the sound circuit from standing in this state; told once for all steps."""
    elements = machine.circuit.elements if machine.circuit else {}
    here = (Related(station.step.action.span, f"The step stands here, with the {state}."),)
    if isinstance(settled, Trouble):
        names = [name for name in settled.names if name in elements]
        key = (settled.kind, *names)
        if key in told or machine.circuit is None:
            return
        told.add(key)
        span = elements[names[0]].span if names else machine.circuit.span
        called = " and ".join(f"`{name}`" for name in names) or "The circuit"
        if settled.kind == "shorted":
            yield rules.SHORTED_SOURCE.at(span, f"{called} closes a loop of voltages without resistance.", related=here)
        else:
            verb = "pull in and let go" if len(names) > 1 else "pulls in and lets go"
            yield rules.NEVER_SETTLES.at(span, f"{called} {verb} for ever.", related=here)
        return
    for name, current in settled.blown:
        if ("blown", name) not in told and name in elements:
            told.add(("blown", name))
            sentence = f"`{name}` carries {amount(current, 'A')} here, and is rated for {elements[name].rating}."
            yield rules.FUSE_BLOWS.at(elements[name].span, sentence, related=here)


def _floating(machine: Machine, station: Station, foreseen: Foreseen) -> Finding:
    one, other = leads(machine, station.step)
    sentence = f"With the {foreseen.state} nothing joins {one} to {other}, so there is nothing to read."
    return rules.FLOATING_READING.at(station.step.object.span, sentence, related=_limit(machine, foreseen))


def _limit(machine: Machine, foreseen: Foreseen) -> tuple[Related, ...]:
    return (Related(machine.limits[foreseen.limit].span, "The limit stands here."),)


def _condemned(machine: Machine, station: Station, held: Bounds, foreseen: Foreseen) -> Iterator[Finding]:
    """A limit that good machines leave: an error over stated tolerances, advice over usual ones."""
    low, high = in_unit(held.low, held.unit), in_unit(held.high, held.unit)
    slack = 1e-9 * max(1.0, *(abs(size) for size in (low, high) if not isinf(size)))
    stated = foreseen.stated_low < low - slack or foreseen.stated_high > high + slack
    usual = foreseen.low < low - slack or foreseen.high > high + slack
    if not stated and not usual:
        return
    least = foreseen.stated_low if stated else foreseen.low
    most = foreseen.stated_high if stated else foreseen.high
    kind = {"drop": "lies below the earlier reading by", "within": "lies above the earlier reading by"}
    verb = kind.get(held.compared, "is, as a share of the earlier one," if held.compared == "share" else "is")
    over = "the tolerances that the machine file states" if stated else "usual tolerances (the file states none)"
    lead = "By the circuit" if stated and least == most else f"Over {over}"
    swapped = not held.compared and most < 0 and low <= -most and -least <= high
    sentence = (
        f"{lead} the reading of a good machine {verb} {span_of(least, most, foreseen.unit)}; "
        f"the limit `{foreseen.limit}` is {band(low, high, foreseen.unit)}"
        + (", where it would lie with the leads swapped." if swapped else ".")
    )
    yield rules.CONDEMNS_GOOD_PARTS.at(
        station.step.object.span,
        sentence,
        severity=Severity.ERROR if stated else Severity.ADVICE,
        related=(*_limit(machine, foreseen), Related(station.step.action.span, f"Computed with the {foreseen.state}.")),
    )


def _unseen(case: Case, station: Station, held: Bounds, foreseen: Foreseen) -> Iterator[Finding]:
    """Faults that an answer names, and under which the reading does not lie on the side of that answer."""
    claims: dict[str, list[str]] = {}
    spans = {}
    for fault, way in _claimed(case, station):
        if fault in foreseen.sides:
            claims.setdefault(fault, []).append(way.side)
            spans[fault] = way.span
    low, high = in_unit(held.low, held.unit), in_unit(held.high, held.unit)
    for fault, answers in claims.items():
        side = foreseen.sides[fault]
        if side in answers or ("outside" in answers and side != INSIDE):
            continue
        shown = foreseen.faults[fault]
        value = OPEN if isinf(shown) else amount(shown, foreseen.unit)
        sentence = (
            f"With the fault `{fault}` this reads {value}, {side} the limit `{foreseen.limit}` "
            f"({band(low, high, foreseen.unit)}), and is answered `{answers[0]}`."
        )
        span = spans[fault] if spans[fault].file else station.step.object.span
        yield rules.FAULT_UNSEEN.at(span, sentence, related=_limit(case.machine, foreseen))


def _claimed(case: Case, station: Station) -> Iterator[tuple[str, Way]]:
    """The faults that change the circuit and that an answer of the step names, with the way of that answer."""
    for way in station.ways:
        outcome = case.procedure.outcomes.get(outcome_of(way.to))
        fault = outcome.fault.name if outcome is not None and outcome.fault is not None else ""
        if fault in case.machine.faults and case.machine.faults[fault].circuit:
            yield fault, way


def _unsolved(
    case: Case, station: Station, bench: Bench, state: State, told: set[tuple[str, ...]]
) -> Iterator[Finding]:
    """Faults that an answer names, and under which sources without resistance are shorted; each told once."""
    for fault, _ in _claimed(case, station):
        settled = bench.at(state, fault).settled
        if isinstance(settled, Trouble) and settled.kind == "shorted" and ("fault", fault) not in told:
            told.add(("fault", fault))
            sentence = f"With the fault `{fault}` a source without resistance is shorted, and nothing can be computed."
            yield rules.SHORTED_SOURCE.at(case.machine.faults[fault].span, sentence)
