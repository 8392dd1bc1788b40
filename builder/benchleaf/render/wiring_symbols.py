"""Symbols of circuit elements as strokes about the middle of a cell, from a library for circuit drawings."""

from functools import cache
from typing import Any, NamedTuple

Place = tuple[float, float]
Stroke = tuple[Place, ...]
# Units of the drawing for a unit of the library.
_SCALE = 20.0
_DRAWN = {
    "battery": "BatteryCell",
    "resistor": "ResistorIEC",
    "potentiometer": "ResistorVarIEC",
    "fuse": "Fuse",
    "switch": "Switch",
    "contact": "Switch",
    "diode": "Diode",
    "capacitor": "Capacitor",
}
_LETTERS = {"motor": "M", "ac": "~"}
_LETTER_RADIUS = 7.5
_DOTS = ((-5.0, 0.0), (0.0, 0.0), (5.0, 0.0))


class Symbol(NamedTuple):
    """Lines, filled shapes, circles (middle and radius) and filled dots; `width` is what it takes up along its wire."""

    lines: tuple[Stroke, ...] = ()
    solids: tuple[Stroke, ...] = ()
    circles: tuple[tuple[float, float, float], ...] = ()
    dots: tuple[Place, ...] = ()
    letter: str = ""
    width: float = 0.0


@cache
def symbol(kind: str, stands: str = "", turned: bool = False) -> Symbol:
    """The symbol of a kind of element, its first end at the left, or at the right if `turned`.

    A kind that has no symbol is a plain wire, which takes up nothing.
    """
    if kind == "more":
        return Symbol(dots=_DOTS, width=20.0)
    if kind == "coil":
        return Symbol((((-5, -7), (5, -7), (5, 7), (-5, 7), (-5, -7)),), width=10.0)
    if kind in _LETTERS:
        return Symbol(circles=((0, 0, _LETTER_RADIUS),), letter=_LETTERS[kind], width=2 * _LETTER_RADIUS)
    found = _from_library(_DRAWN[kind], turned) if kind in _DRAWN else Symbol()
    if stands == "closed" and kind in ("switch", "contact"):
        # The library draws no closed one: the blade lies on the second contact.
        return found._replace(lines=(((-6.0, -2.0), (8.0, -3.0)),))
    return found


def _from_library(name: str, turned: bool) -> Symbol:
    import schemdraw.elements as drawn

    segments = getattr(drawn, name)().segments
    ends = [point[0] for each in segments for point in getattr(each, "path", ()) if point[0] == point[0]]
    middle = max(ends) * _SCALE / 2

    def place(point: Any) -> Place:
        x = point[0] * _SCALE - middle
        return (-x if turned else x, -point[1] * _SCALE)

    lines: list[Stroke] = []
    solids: list[Stroke] = []
    circles: list[tuple[float, float, float]] = []
    for each in segments:
        kind = type(each).__name__
        if kind == "Segment":
            lines += _strokes(each.path, place)
        elif kind == "SegmentPoly":
            solids += _strokes(each.verts, place)
        elif kind == "SegmentCircle":
            circles.append((*place(each.center), each.radius * _SCALE))
    return Symbol(tuple(lines), tuple(solids), tuple(circles), width=2 * middle)


def _strokes(points: Any, place: Any) -> list[Stroke]:
    """Strokes through points; a point that is no number lifts the pen, and one point alone is no stroke."""
    found: list[list[Place]] = [[]]
    for point in points:
        if point[0] != point[0]:
            found.append([])
        else:
            found[-1].append(place(point))
    return [tuple(stroke) for stroke in found if len(stroke) > 1]
