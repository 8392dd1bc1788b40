"""Where the pieces, nodes, leads and meter of a wiring sketch lie: a loop in two rows with the meter inside.

The ring runs along the upper row from left to right and back along the lower one. Each node between two pieces lies
in a row, or in the middle of the left or right side; leads run from the probed nodes down or up to the height of the
meter, and along it to the meter. So nothing crosses anything.
"""

from textwrap import wrap
from typing import NamedTuple

from benchleaf.card.wired import Wiring, WiringPiece
from benchleaf.render.wiring_symbols import Place

# Units of the drawing; type of 9 units has lines of 10.
CELL, SIDE, LINE, RADIUS = 56.0, 14.0, 10.0, 10.0
# Beside a loop with tails the nodes at the sides are told outside of it.
_OUTSIDE = 39.0
# What a loop with voltages is wide at least.
_ROOM = 150.0
_LETTERS = 11
# The width of a letter of a node's name, and what stands beside it.
_LETTER, _BESIDE = 5.6, 10.0
_HARD = "\N{NO-BREAK SPACE}"
_SYMBOL = 9.0
_TAIL = 28.0
# Cells side by side on a narrow card where something is told beside the loop.
_CELLS = 4
_APART = 4.0
UP, DOWN, LEFT, RIGHT = "up", "down", "left", "right"


class Spot(NamedTuple):
    """A node: where it lies, and in which row (`up`, `down`) or at which side (`left`, `right`)."""

    at: Place
    row: str


class Laid(NamedTuple):
    """A piece about `at`, half as long as `half`; `down` is drawn in the lower row, against the reading direction."""

    piece: WiringPiece
    at: Place
    half: float
    row: str
    label: tuple[str, ...]


class Lead(NamedTuple):
    """A lead: the node of the ring that it starts from, the tail on it, where the probe sits, and its bend.

    `end` is the probed node; the lead goes from there to the meter at the same height.
    """

    spot: Spot
    tail: tuple[Laid, ...]
    end: Place


class Layout(NamedTuple):
    """All of it, in units from the upper left corner."""

    width: float
    height: float
    upper: float
    lower: float
    pieces: tuple[Laid, ...]
    spots: dict[str, Spot]
    red: Lead
    black: Lead
    meter: Place


def lay(wiring: Wiring) -> Layout:
    """Places for everything in a wiring: the source first in the upper row, unless that brings tails too close."""
    ring = wiring.ring
    half = (len(ring) + 1) // 2
    widest = max(half, _CELLS)
    fits = range(1, widest + 1)
    counts = [count for count in (half, half - 1, half + 1) if count in fits and len(ring) - count in fits]
    tried = (_placed(wiring, ring[turn:] + ring[:turn], count) for turn in range(len(ring)) for count in counts)
    first = next(tried)
    return first if _roomy(first) else next(filter(_roomy, tried), first)


def _roomy(layout: Layout) -> bool:
    """Whether the meter stands between the probes, or nothing hangs in its way."""
    leads = (layout.red, layout.black)
    between = min(lead.end[0] for lead in leads) < layout.meter[0] < max(lead.end[0] for lead in leads)
    return between or not any(lead.tail for lead in leads)


def _placed(wiring: Wiring, ring: tuple[WiringPiece, ...], count: int) -> Layout:
    above, below = ring[:count], ring[count:]
    row_of = {each.start: UP for each in above[1:]} | {each.start: DOWN for each in below[1:]}
    row_of |= {below[0].start: RIGHT, above[0].start: LEFT}
    tails = [row_of[tail[0].start] for tail in (wiring.red_tail, wiring.black_tail) if tail]
    wide = 4 if {LEFT, RIGHT} & set(tails) else 3 if tails else 2
    cell = max(CELL, _LETTER * max(len(node.key) for node in wiring.nodes) + _BESIDE)
    across = max(cell * max(len(above), len(below), wide), _ROOM if wiring.against else 0.0)
    beside = max(len(above[0].start), len(below[0].start))
    margin = max(_OUTSIDE, _LETTER * beside + _BESIDE) if tails else SIDE
    left, right = margin, margin + across
    upper = 2 + LINE * _tallest(above) + _SYMBOL
    roots = {
        wiring.red: wiring.red_tail[0].start if wiring.red_tail else wiring.red,
        wiring.black: wiring.black_tail[0].start if wiring.black_tail else wiring.black,
    }
    depth = {UP: 0.0, DOWN: 0.0}
    for point, tail in ((wiring.red, wiring.red_tail), (wiring.black, wiring.black_tail)):
        row = row_of[roots[point]]
        if row in depth:
            depth[row] = max(depth[row], _long(tail) * len(tail))
    words = LINE * (2 if wiring.against else 1) + 6
    level = upper + (words if UP in row_of.values() else 3) + depth[UP] + RADIUS + (9 if wiring.against else 5)
    if set(tails) - {UP}:
        level += LINE + (12 if {LEFT, RIGHT} & set(tails) else 4)
    told = RADIUS + 4 + (LINE if wiring.shows else 0) + (8 if UP in tails else 0) + depth[DOWN]
    if {LEFT, RIGHT} & set(tails):
        told = max(told, 24 + LINE * (_tallest((*wiring.red_tail, *wiring.black_tail)) - 1))
    lower = level + told
    bare = all(each.kind == "gap" for each in below)
    lower += 2 if bare else words if DOWN in row_of.values() else 6
    height = lower if bare else lower + _SYMBOL + LINE * _tallest(below) + 4
    spots = _spots(above, UP, left, across, upper) | _spots(below, DOWN, right, -across, lower)
    for number, point in enumerate((wiring.red, wiring.black)):
        spots = _at_side(spots, roots[point], row_of, left, right, level + (2 * number - 1) * _APART)
    for node, row in row_of.items():
        if node not in spots:
            spots[node] = Spot((left if row == LEFT else right, level), row)
    red = _lead(spots[roots[wiring.red]], wiring.red_tail, level - _APART)
    black = _lead(spots[roots[wiring.black]], wiring.black_tail, level + _APART)
    pieces = (*_row(above, UP, left, across, upper), *_row(below, DOWN, right, -across, lower))
    meter = (_between(red, black, left, right), level)
    return Layout(across + 2 * margin, height, upper, lower, pieces, spots, red, black, meter)


def _long(tail: tuple[WiringPiece, ...]) -> float:
    """How long each piece of a tail is, so that its label has room beside it."""
    return max(_TAIL, LINE * _tallest(tail) + 8)


def _tallest(pieces: tuple[WiringPiece, ...]) -> int:
    return max((len(_label(each)) for each in pieces), default=0)


def _label(piece: WiringPiece) -> tuple[str, ...]:
    """The name with the size, which stays in one piece, in lines as wide as a cell."""
    size = "" if piece.kind == "more" else piece.size.replace(" ", _HARD)
    text = f"{piece.name} {size}".strip()
    return tuple(wrap(text, _LETTERS, break_on_hyphens=False))


def _row(pieces: tuple[WiringPiece, ...], row: str, start: float, across: float, y: float) -> list[Laid]:
    step = across / len(pieces)
    half = abs(step) / 2
    return [
        Laid(piece, (start + step * (number + 0.5), y), half, row, _label(piece)) for number, piece in enumerate(pieces)
    ]


def _spots(pieces: tuple[WiringPiece, ...], row: str, start: float, across: float, y: float) -> dict[str, Spot]:
    """The nodes between the pieces of a row."""
    step = across / len(pieces)
    return {piece.start: Spot((start + step * number, y), row) for number, piece in enumerate(pieces) if number}


def _at_side(
    spots: dict[str, Spot], node: str, rows: dict[str, str], left: float, right: float, y: float
) -> dict[str, Spot]:
    """A probed node at a side lies at the height of its lead."""
    if rows[node] not in (LEFT, RIGHT) or node in spots:
        return spots
    return {**spots, node: Spot((left if rows[node] == LEFT else right, y), rows[node])}


def _lead(spot: Spot, tail: tuple[WiringPiece, ...], level: float) -> Lead:
    x, y = spot.at
    laid = []
    if spot.row in (UP, DOWN):
        way, step = 1 if spot.row == UP else -1, _long(tail) if tail else 0.0
        first = level - way * (step * len(tail))
        laid = [
            Laid(piece, (x, first + way * step * (number + 0.5)), step / 2, spot.row, _label(piece))
            for number, piece in enumerate(tail)
        ]
        return Lead(spot, tuple(laid), (x, level))
    way = 1 if spot.row == LEFT else -1
    first = x + way * 34
    laid = [
        Laid(piece, (first + way * _TAIL * (number + 0.5), y), _TAIL / 2, spot.row, _label(piece))
        for number, piece in enumerate(tail)
    ]
    return Lead(spot, tuple(laid), (first + way * _TAIL * len(tail), y) if tail else spot.at)


def _between(red: Lead, black: Lead, left: float, right: float) -> float:
    """The middle of the meter: between the probes where there is room, else beside both."""
    one, other = red.end[0], black.end[0]
    aside = {lead.spot.row for lead in (red, black) if not lead.tail} & {LEFT, RIGHT}
    room = 52.0 if len(aside) != 1 else 88.0
    if abs(one - other) >= room:
        return (one + other) / 2
    further, nearer = max(one, other), min(one, other)
    if LEFT in aside or (RIGHT not in aside and further + 44 <= right - RADIUS - 4):
        return further + 44
    return nearer - 44
