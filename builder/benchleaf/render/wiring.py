"""The wiring around a reading as a sketch: a loop of elements, voltages at its nodes, leads to a meter in the middle.

Few nodes of SVG, black on white, nothing said by colour; legible at a width of 80 mm.
"""

from collections.abc import Callable, Iterable
from html import escape
from typing import NamedTuple

from benchleaf.base.said import ENGLISH, Wording, fill, row
from benchleaf.card.wired import Wiring, WiringPiece
from benchleaf.render.wiring_layout import DOWN, LEFT, LINE, RADIUS, RIGHT, UP, Laid, Layout, Lead, Spot, lay
from benchleaf.render.wiring_symbols import Place, symbol

# Millimetres for a unit where there is room: type of 9 units is 6.9 points.
_SCALE = 0.27
# So many units wide at most is a sketch that finds room beside a gauge.
_SLIM = 160
_LETTERS = {"voltage": "V", "current": "A", "resistance": "Ω", "capacitance": "F"}
_SVG = 'xmlns="http://www.w3.org/2000/svg" font-family="Fira Sans, sans-serif"'
_MOVE = Callable[[Place], Place]


class _Tag(NamedTuple):
    """Which lead it is: the word in its box."""

    text: str
    filled: bool

    @property
    def width(self) -> float:
        """Width of the box."""
        return 5.0 + 4.4 * len(self.text)


class _Pen:
    """What is drawn so far, each kind of line in one path."""

    def __init__(self) -> None:
        self.lines: list[str] = []
        self.solids: list[str] = []
        self.leads: list[str] = []
        self.texts: list[str] = []

    def line(self, *points: Place) -> None:
        self.lines.append(_path(points))

    def dot(self, at: Place, radius: float = 2.2) -> None:
        self.solids.append(_circle(at, radius))

    def text(self, at: Place, words: str, anchor: str = "", weight: str = "", after: str = "") -> None:
        """Words, and lighter ones after them."""
        more = (f' text-anchor="{anchor}"' if anchor else "") + (f' font-weight="{weight}"' if weight else "")
        light = f'<tspan font-weight="400"> {escape(after)}</tspan>' if after else ""
        self.texts.append(f'<text x="{at[0]:.1f}" y="{at[1]:.1f}"{more}>{escape(words)}{light}</text>')


def wiring_sketch(wiring: Wiring, wording: Wording = ENGLISH, zoom: float = 1.0) -> str:
    """The sketch as SVG with a title that says the same in words, `zoom` times as large as on a card."""
    layout = lay(wiring)
    pen = _Pen()
    for each in layout.pieces:
        _draw_piece(pen, each)
    _draw_sides(pen, layout)
    leads = ((False, wiring.red, layout.red), (True, wiring.black, layout.black))
    volts = {node.key: node.volts for node in wiring.nodes}
    more = {node.key for node in wiring.nodes if node.more}
    probed = {key for _, key, _ in leads}
    for key, spot in layout.spots.items():
        pen.dot(spot.at, 2.6 if key in probed else 1.8)
        outside = bool(wiring.red_tail or wiring.black_tail) and spot.row in (LEFT, RIGHT)
        _name(pen, spot, key, volts[key], outside=outside)
        if key in more:
            _stub(pen, spot)
    for black, key, lead in leads:
        tag = _Tag(wording.say("Black" if black else "Red"), black)
        _draw_lead(pen, lead, layout.meter, tag, (key, volts[key]))
    x, y = layout.meter
    pen.lines.append(_circle(layout.meter, RADIUS))
    pen.text((x, y + 3.6), _LETTERS[wiring.measure], "middle", "700")
    if wiring.shows:
        pen.text((x, y + RADIUS + LINE), wiring.shows, "middle", "700")
    return _svg(layout, pen, words(wiring, wording), _SCALE * zoom)


def words(wiring: Wiring, wording: Wording = ENGLISH) -> str:
    """The wiring in words, for who does not see the sketch."""
    volts = {node.key: node.volts for node in wiring.nodes}
    way = row((fill("{piece} to {node}", piece=_said(each), node=each.end) for each in wiring.ring if each.name), ", ")
    told = [fill("Wiring: from {node} through {way}", node=wiring.ring[0].start, way=way)]
    for pattern, key, tail in (
        ("red lead on {node}", wiring.red, wiring.red_tail),
        ("black lead on {node}", wiring.black, wiring.black_tail),
    ):
        behind = fill("behind {pieces}", pieces=row(map(_said, tail), ", ")) if tail else ""
        told.append(fill(pattern, node=row((key, volts[key], behind))))
    if wiring.shows:
        told.append(fill("expected {value}", value=wiring.shows))
    return wording.speak(row(told, "; "))


def _said(piece: WiringPiece) -> str:
    stands = {"open": fill("(open)"), "closed": fill("(closed)")}.get(piece.stands, "")
    return row((piece.name, piece.size if piece.kind != "more" else "", stands))


def _svg(layout: Layout, pen: _Pen, title: str, scale: float) -> str:
    width, height = layout.width, layout.height
    return "".join(
        (
            f'<svg class="wiring{" slim" if width <= _SLIM else ""}" {_SVG} width="{width * scale:.1f}mm" ',
            f'viewBox="0 0 {width:g} {height:g}" font-size="9" fill="currentColor"><title>{escape(title)}</title>',
            f'<path fill="none" stroke="currentColor" stroke-width="1.2" d="{"".join(pen.lines)}"/>',
            '<path fill="none" stroke="currentColor" stroke-width="1.6" stroke-dasharray="4 2" ',
            f'd="{"".join(pen.leads)}"/>',
            f'<path d="{"".join(pen.solids)}"/>',
            *pen.texts,
            "</svg>",
        )
    )


def _draw_piece(pen: _Pen, laid: Laid) -> None:
    x, y = laid.at
    if laid.piece.kind == "gap":
        return
    _draw_symbol(pen, laid, lambda at: (x + at[0], y + at[1]), turned=laid.piece.turned != (laid.row == DOWN))
    clear = 4 if laid.piece.kind == "potentiometer" else 0
    first = y - 9.5 - clear - LINE * (len(laid.label) - 1) if laid.row == UP else y + 16 + clear
    for number, line in enumerate(laid.label):
        pen.text((x, first + LINE * number), line, "middle")


def _draw_symbol(pen: _Pen, laid: Laid, move: _MOVE, *, turned: bool) -> None:
    """The symbol with the wires that lead up to it, moved to its place."""
    drawn = symbol(laid.piece.kind, laid.piece.stands, turned)
    half, inner = laid.half, drawn.width / 2
    for start, end in ((-half, -inner), (inner, half)):
        pen.line(move((start, 0)), move((end, 0)))
    pen.lines += [_path([move(point) for point in stroke]) for stroke in drawn.lines]
    pen.solids += [_path([move(point) for point in stroke]) + "z" for stroke in drawn.solids]
    pen.lines += [_circle(move((x, y)), radius) for x, y, radius in drawn.circles]
    for each in drawn.dots:
        pen.dot(move(each), 1.1)
    if drawn.letter:
        x, y = move((0, 0))
        pen.text((x, y + 3.3), drawn.letter, "middle", "600")


def _draw_sides(pen: _Pen, layout: Layout) -> None:
    """The wires at both sides, as far as something leads on above and below."""
    above = [each for each in layout.pieces if each.row == UP]
    below = [each for each in layout.pieces if each.row == DOWN]
    for node, upper, lower in (
        (above[0].piece.start, above[0], below[-1]),
        (below[0].piece.start, above[-1], below[0]),
    ):
        x, y = layout.spots[node].at
        for each, end in ((upper, layout.upper), (lower, layout.lower)):
            if each.piece.kind != "gap":
                pen.line((x, y), (x, end))


def _name(pen: _Pen, spot: Spot, key: str, volts: str, *, outside: bool) -> None:
    """The name of a node and its voltage, inside of the loop; of a node at a side, above its lead or outside."""
    x, y = spot.at
    if outside:
        beside, anchor = (x - 4, "end") if spot.row == LEFT else (x + 4, "")
        pen.text((beside, y + 12), key, anchor, "700")
        pen.text((beside, y + 12 + LINE), volts, anchor)
        return
    if spot.row in (LEFT, RIGHT):
        at, anchor = ((x + 4, y - 6), "") if spot.row == LEFT else ((x - 4, y - 6), "end")
        pen.text(at, key, anchor, "700", volts)
        return
    first = y + 15 if spot.row == UP else y - 9 - (LINE if volts else 0)
    pen.text((x + 4, first), key, weight="700")
    if volts:
        pen.text((x + 4, first + LINE), volts)


def _stub(pen: _Pen, spot: Spot) -> None:
    """A short stroke outwards: more is connected there."""
    x, y = spot.at
    across, down = {UP: (0, -7), DOWN: (0, 7), LEFT: (-8, 0), RIGHT: (8, 0)}[spot.row]
    pen.line((x, y), (x + across, y + down))


def _draw_lead(pen: _Pen, lead: Lead, meter: Place, tag: _Tag, node: tuple[str, str]) -> None:
    """The lead from a probed node to the meter, what hangs between loop and node, and which lead it is."""
    (x, y), (end_x, end_y) = lead.spot.at, lead.end
    row = lead.spot.row
    side = 1 if meter[0] > end_x else -1
    if lead.tail:
        _draw_tail(pen, lead, side)
        pen.dot(lead.end, 2.6)
        # What is told of the probed node stands away from the meter, and from the way on which it hangs.
        below = row == UP
        away = (end_x - 5, "end") if side > 0 else (end_x + 5, "start")
        if row in (LEFT, RIGHT):
            away, below = (end_x + 5, "end") if side > 0 else (end_x - 5, "start"), False
        top = -4 if below else -13 if row == DOWN else -20
        pen.text((away[0], end_y + (15 if below else top - 3)), node[0], away[1], "700", node[1])
        _draw_tag(pen, tag, away[0] - (tag.width if away[1] == "end" else 0), end_y + top)
    elif row in (LEFT, RIGHT):
        _draw_tag(pen, tag, x + 4 if row == LEFT else x - 4 - tag.width, y + 4)
    else:
        # Beside the short line of the node before, which is its name.
        _draw_tag(pen, tag, x - 3 - tag.width, y + 7 if row == UP else y - 27)
    touch = (meter[0] - side * (RADIUS**2 - (end_y - meter[1]) ** 2) ** 0.5, end_y)
    pen.leads.append(_path([lead.end, touch] if lead.tail else [(x, y), lead.end, touch]))


def _draw_tail(pen: _Pen, lead: Lead, side: int) -> None:
    """The elements on the way from the loop to a probe, with their labels beside them, or above them."""
    upright = lead.spot.row in (UP, DOWN)
    turned = lead.spot.row in (DOWN, RIGHT)
    way = -1 if turned else 1
    first = lead.tail[0]
    (x, y), back = first.at, way * first.half
    pen.line(lead.spot.at, (x, y - back) if upright else (x - back, y))
    for each in lead.tail:
        x, y = each.at
        if upright:
            _draw_symbol(pen, each, lambda at, x=x, y=y: (x - at[1], y + at[0]), turned=turned)  # type: ignore[misc]
            at, anchor, lift = (
                (x - side * 9, y + (7 if turned else -1)),
                "end" if side > 0 else "",
                (len(each.label) - 1) / 2,
            )
        else:
            _draw_symbol(pen, each, lambda at, x=x, y=y: (x + at[0], y + at[1]), turned=turned)  # type: ignore[misc]
            at, anchor, lift = (x, y + 15), "middle", 0
        for number, line in enumerate(each.label):
            pen.text((at[0], at[1] + LINE * (number - lift)), line, anchor)


def _draw_tag(pen: _Pen, tag: _Tag, x: float, y: float) -> None:
    """The colour of a lead in a box, as the text of the step has it: outlined for red, filled for black."""
    (pen.solids if tag.filled else pen.lines).append(f"M{x:.1f} {y:.1f}h{tag.width:g}v10h{-tag.width:g}z")
    # On a dark screen a style sheet gives the word on the filled box the colour of the paper.
    fill_ = ' class="on" fill="#fff"' if tag.filled else ""
    pen.texts.append(
        f'<text x="{x + tag.width / 2:.1f}" y="{y + 7.8:.1f}" text-anchor="middle" font-size="8" font-weight="600"'
        f"{fill_}>{escape(tag.text)}</text>"
    )


def _path(points: Iterable[Place]) -> str:
    return "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in points)


def _circle(at: Place, radius: float) -> str:
    turn = f"a{radius:.3g} {radius:.3g} 0 1 0 "
    return f"M{at[0] - radius:.1f} {at[1]:.1f}{turn}{2 * radius:.3g} 0{turn}{-2 * radius:.3g} 0z"
