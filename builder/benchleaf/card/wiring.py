"""The wiring around each reading that the circuit foretells: what lies between the probes, and what feeds it."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from math import isinf, isnan, nan

from benchleaf.base.said import number
from benchleaf.card.model import CardStep, Section
from benchleaf.card.wired import Wiring, WiringNode, WiringPiece
from benchleaf.card.wording import word
from benchleaf.model.circuit import Element
from benchleaf.model.expected import Expected, Foreseen
from benchleaf.model.limit import Limit
from benchleaf.model.machine import Machine
from benchleaf.model.plan import Plan
from benchleaf.model.quantity import make
from benchleaf.model.units import unit
from benchleaf.passes.base import Case
from benchleaf.passes.circuits_points import CAPACITANCE, KINDS, RESISTANCE, VOLTAGE
from benchleaf.safety.naming import condition_name, spoken
from benchleaf.trade.network_loop import Link, Loop, Passed, loop, unfed
from benchleaf.trade.numbers import printed, with_unit

# Pieces of a loop that still can be read on a narrow card, and of one on which a probe hangs by an element; of a
# longer one some are left out.
MOST_PIECES, MOST_WITH_TAILS = 10, 8
SWITCHING = frozenset({"switch", "contact", "fuse", "diode"})
# Volts under which a node counts as being at the reference, for the eye.
_NEAR_ZERO = 0.05
_FIGURES = 3
# A share of the largest current under which an element counts as idle.
_SMALL = 0.01


def wirings(case: Case, expected: Expected | None, sections: Sequence[Section], plan: Plan) -> tuple[Wiring, ...]:
    """The wiring of each written reading between two nodes; steps that read the same in the same state share theirs."""
    stations = {planned.key: planned.station for section in plan.sections for planned in section.steps}
    made: dict[Wiring, list[int]] = {}
    for step in (step for section in sections for step in section.steps):
        foreseen = expected.readings.get(stations[step.key]) if expected is not None else None
        if expected is not None and foreseen is not None and step.inserted is None and step.reading is not None:
            drawn = _wiring(case.machine, expected, foreseen, step)
            if drawn is not None:
                made.setdefault(drawn, []).append(step.number)
    return tuple(each._replace(steps=tuple(numbers)) for each, numbers in made.items())


def _wiring(machine: Machine, expected: Expected, foreseen: Foreseen, step: CardStep) -> Wiring | None:
    reading, circuit = step.reading, machine.circuit
    if reading is None or circuit is None or len(reading.pairs) != 1:
        return None
    red, black = (point.key for point in reading.pairs[0])
    kind = KINDS[reading.measure]
    links = tuple(_links(machine, expected.currents[foreseen.station], kind))
    volts = expected.volts.get(foreseen.station, {}) if kind not in (RESISTANCE, CAPACITANCE) else {}
    around = loop(links, red, black) if volts else unfed(links, red, black)
    if around is not None and kind == CAPACITANCE:
        around = around._replace(beside=())
    if around is None:
        return None
    ac = reading.measure.startswith("ac-")
    ring = _ring(machine, around, ac)
    tails = {end: tuple(_piece(machine, each, ac) for each in around.tails.get(end, ())) for end in (red, black)}
    nodes = dict.fromkeys(node for each in (*ring, *tails[red], *tails[black]) for node in (each.start, each.end))
    drawn = {each.key for each in (*ring, *tails[red], *tails[black])} | _left_out(around, ring)
    busy = _busy(links, {red, black}, drawn)
    return Wiring(
        (),
        kind,
        red,
        black,
        _shows(machine.limits[foreseen.limit], foreseen, volts, red, black),
        circuit.ground.name if volts else "",
        ring,
        tails[red],
        tails[black],
        tuple(WiringNode(node, _volts(volts[node]) if node in volts else "", node in busy) for node in nodes),
    )


def _links(machine: Machine, currents: Mapping[str, float], kind: str) -> Iterator[Link]:
    """The elements as links; a capacitor leads on only for who reads capacitances."""
    elements = machine.circuit.elements if machine.circuit is not None else {}
    most = max((abs(current) for current in currents.values() if not isnan(current)), default=0.0)
    for name, each in elements.items():
        nodes = tuple(node.name for node in each.nodes)
        if each.type.name == "capacitor" and kind != CAPACITANCE:
            continue
        conducts = name in currents or each.type.name == "capacitor"
        idle = abs(currents.get(name, nan)) < most * _SMALL
        source = each.type.name == "battery" and kind not in (RESISTANCE, CAPACITANCE)
        for one, other in pairwise(nodes):
            yield Link(name, one, other, conducts, source, idle)
    for name, thing in machine.things.items():
        joins = tuple(ref.name for ref in thing.joins)
        if name in currents:
            yield from (Link(name, joins[0], node, True) for node in joins[1:])


def _ring(machine: Machine, around: Loop, ac: bool) -> tuple[WiringPiece, ...]:
    """The loop as pieces, shortened where it has too many of them."""
    before, between, after, beside = (
        [_piece(machine, each, ac) for each in way]
        for way in (around.before, around.between, around.after, around.beside)
    )
    source = [_piece(machine, around.source, ac)] if around.source is not None else []
    if not between or (not source and not beside):
        between.append(_gap(around))
    most = MOST_WITH_TAILS if any(around.tails.values()) else MOST_PIECES
    while len(source) + len(before) + len(between) + len(after) + len(beside) > most:
        longest = max((before, between, after, beside), key=len)
        if len(longest) < 3:
            break
        _shorten(longest)
    return (*source, *before, *between, *after, *beside)


def _gap(around: Loop) -> WiringPiece:
    if around.source is None:
        return WiringPiece("", "gap", "", "", around.between[-1].end, around.between[0].start)
    meets = around.before[-1].end if around.before else around.source.end
    leaves = around.after[0].start if around.after else around.source.start
    return WiringPiece("", "gap", "", "", meets, leaves)


def _shorten(way: list[WiringPiece]) -> None:
    """Two pieces in the middle become one that says how many it stands for."""
    middle = next((at for at, piece in enumerate(way) if piece.kind == "more"), (len(way) - 1) // 2)
    at = min(middle, len(way) - 2)
    pair = way[at : at + 2]
    count = sum(int(piece.size) if piece.kind == "more" else 1 for piece in pair)
    stands = "open" if any(piece.stands == "open" for piece in pair) else "closed"
    keys = "+".join(piece.key for piece in pair)
    name = word("plain", "wiring-more", count=count)
    way[at : at + 2] = [WiringPiece(keys, "more", name, str(count), pair[0].start, pair[1].end, stands)]


def _left_out(around: Loop, ring: tuple[WiringPiece, ...]) -> set[str]:
    """The elements that pieces of the kind `more` stand for."""
    keys = {key for piece in ring if piece.kind == "more" for key in piece.key.split("+")}
    every = (*around.before, *around.between, *around.after, *around.beside)
    return {each.link.name for each in every if each.link.name in keys}


def _piece(machine: Machine, passed: Passed, ac: bool) -> WiringPiece:
    link, elements = passed.link, machine.circuit.elements if machine.circuit is not None else {}
    element = elements.get(link.name)
    if element is None:
        return WiringPiece(link.name, "jumper", condition_name(machine, link.name), "", passed.start, passed.end)
    kind = element.type.name
    stands = ("closed" if link.conducts else "open") if kind in SWITCHING else ""
    turned = passed.start != link.first
    shown = "ac" if ac and kind == "battery" else kind
    size = _size(element, (link.first, link.last))
    return WiringPiece(link.name, shown, spoken(link.name), size, passed.start, passed.end, stands, turned)


def _size(element: Element, ends: tuple[str, str]) -> str:
    """The size that people know an element by; of a potentiometer that of the half between two of its ends."""
    kind = element.type.name
    amount = {"battery": element.voltage, "fuse": element.rating, "capacitor": element.capacitance}.get(
        kind, None if kind in ("switch", "contact", "diode") else element.resistance
    )
    if amount is None:
        return ""
    quantity = amount.quantity
    if kind == "potentiometer":
        share = element.position.quantity.to("1") if element.position is not None else Decimal("0.5")
        if ends[0] != element.nodes[0].name:
            share = 1 - share
        quantity = make((quantity.value * share).normalize(), quantity.unit)
    return printed(quantity, {})


def _busy(links: Sequence[Link], points: set[str], drawn: set[str]) -> frozenset[str]:
    """The nodes from which a current can go on through elements that are not drawn; dead ends don't count."""
    left = [link for link in links if link.conducts]
    while True:
        ends = [node for link in left for node in (link.first, link.last)]
        kept = [link for link in left if ends.count(link.first) > 1 and ends.count(link.last) > 1]
        if len(kept) == len(left):
            break
        left = kept
    return frozenset(node for link in left if link.name not in drawn for node in (link.first, link.last)) - points


def _shows(limit: Limit, foreseen: Foreseen, volts: Mapping[str, float], red: str, black: str) -> str:
    """The expected reading; of one that is compared with an earlier one, what the meter itself shows."""
    if limit.drop is None and limit.within is None and limit.share is None:
        if isinf(foreseen.nominal):
            return word("plain", "wiring-open")
        return number(with_unit(_rounded(foreseen.nominal), unit(foreseen.unit)))
    if KINDS[limit.measure.name] == VOLTAGE and red in volts and black in volts:
        return _volts(volts[red] - volts[black])
    return ""


def _volts(value: float) -> str:
    return number(with_unit(_rounded(value) if abs(value) >= _NEAR_ZERO else Decimal(0), unit("V")))


def _rounded(value: float) -> Decimal:
    short = Decimal(f"{value:.{_FIGURES}g}")
    return Decimal(f"{short:f}") + 0
