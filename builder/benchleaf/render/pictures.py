"""Pictures computed from a card, as SVG with a title: gauges of limits and tightening patterns.

Few nodes each, because the PDF renderer pays for every node; drawn in the colour of the text around, and with all
looks in attributes, because style sheets do not reach into pictures on paper.
"""

from decimal import Decimal
from html import escape
from math import cos, pi, sin

from benchleaf.card.records import Band, Tightening, Value

# The limits of a two-sided band always stand at the same places, so that the eye learns them.
_WIDTH, _LEFT, _RIGHT = 300, 75, 225
_TOP, _BASE = 17, 33
# Type sizes with the longest label that fits in each.
_SIZES = ((14, 19), (12, 22), (10, 26), (8, 33))
_SVG = 'xmlns="http://www.w3.org/2000/svg" font-family="Fira Sans, sans-serif"'


def gauge(band: Band) -> str:
    """The limit as a scale with room for a pencil mark; empty text where the limit has no value to draw."""
    low, high = band.low, band.high
    if low is None and high is None:
        return ""
    start = _LEFT if low else 0
    end = _RIGHT if high else _WIDTH
    parts = [
        f'<svg class="gauge" {_SVG} viewBox="0 0 {_WIDTH} 52" font-size="{_size(band)}">',
        f"<title>{_gauge_title(band)}</title>",
        f'<path fill="none" stroke="currentColor" stroke-opacity=".5" d="{_hatch(0, start)}{_hatch(end, _WIDTH)}"/>',
        f'<path fill="none" stroke="currentColor" stroke-width="2.6" d="{_outline(start, end, low, high)}"/>',
        f'<path fill="none" stroke="currentColor" stroke-width=".9" d="{_ticks(start, end)}"/>',
    ]
    if low:
        parts.append(_label(_LEFT, low, 49))
    if high:
        parts.append(_label(_RIGHT, high, 49))
    if band.nominal and low and high:
        x = _nominal_at(low, band.nominal, high)
        parts.append(
            f'<path fill="currentColor" stroke="currentColor" d="M{x} {_TOP}V{_BASE}M{x - 4} {_TOP - 2}h8l-4 6z"/>'
        )
        parts.append(_label(x, band.nominal, 12))
    return "".join((*parts, "</svg>"))


def _size(band: Band) -> int:
    """Type as large as lets the labels of both limits stand side by side."""
    longest = max(len(value.printed) for value in (band.low, band.nominal, band.high) if value)
    return next((size for size, most in _SIZES if longest <= most), _SIZES[-1][0])


def _gauge_title(band: Band) -> str:
    return escape(f"Limit: {band.sentence}" if band.sentence else f"Limit: {band.name}")


def _hatch(start: int, end: int) -> str:
    """Slanted strokes over the part of the scale that is out of limits."""
    return "".join(f"M{x} {_BASE}l8-{_BASE - _TOP}" for x in range(start + 2, end - 8, 8))


def _outline(start: int, end: int, low: Value | None, high: Value | None) -> str:
    """The part of the scale within limits: a box, open at a side that has no limit."""
    path = f"M{start} {_TOP}H{end}M{start} {_BASE}H{end}"
    if low:
        path += f"M{start} {_TOP - 4}V{_BASE + 4}"
    if high:
        path += f"M{end} {_TOP - 4}V{_BASE + 4}"
    return path


def _ticks(start: int, end: int) -> str:
    step = (end - start) / 10
    return "".join(f"M{start + step * i:g} {_BASE}v{-6 if i == 5 else -4}" for i in range(1, 10))


def _nominal_at(low: Value, nominal: Value, high: Value) -> int:
    bottom, middle, top = (Decimal(value.value) for value in (low, nominal, high))
    share = (middle - bottom) / (top - bottom) if top > bottom else Decimal("0.5")
    return _LEFT + round(share * (_RIGHT - _LEFT))


def _label(x: int, value: Value, y: int) -> str:
    return f'<text x="{x}" y="{y}" fill="currentColor" text-anchor="middle">{escape(value.printed)}</text>'


def pattern(tightening: Tightening) -> str:
    """The bolts with their turn to be tightened, round a circle or in a row; empty text where there is no order.

    `order` names bolts, counted clockwise from the top or from the left, in the order of tightening; the picture
    shows at each bolt when its turn comes.
    """
    count = len(tightening.order)
    if count < 2:
        return ""
    turns = [tightening.order.index(bolt) + 1 for bolt in range(1, count + 1)]
    in_row = count == 2 or tightening.pattern in ("row", "line")
    places = _in_row(count) if in_row else _round_circle(count)
    height = 44 if in_row else 120
    radius = 11 if count <= 8 else 9
    title = f"Order of tightening, {'from the left' if in_row else 'clockwise from the top'}: " + ", ".join(
        map(str, turns)
    )
    heads = "".join(
        f"M{x - radius:.4g} {y:.4g}a{radius} {radius} 0 1 0 {2 * radius} 0a{radius} {radius} 0 1 0-{2 * radius} 0"
        for x, y in places
    )
    base = f"M4 {height / 2:g}H116" if in_row else "M60 16a44 44 0 1 0 .1 0z"
    numbers = "".join(
        f'<text x="{x:.4g}" y="{y + 4.5:.4g}" fill="#000" text-anchor="middle" font-weight="700">{number}</text>'
        for (x, y), number in zip(places, turns, strict=True)
    )
    return (
        f'<svg class="pattern" {_SVG} viewBox="0 0 120 {height}" font-size="13"><title>{title}</title>'
        f'<path fill="none" stroke="currentColor" stroke-opacity=".5" d="{base}"/>'
        f'<path fill="#fff" stroke="currentColor" stroke-width="1.8" d="{heads}"/>{numbers}</svg>'
    )


def _round_circle(count: int) -> list[tuple[float, float]]:
    return [(60 + 44 * sin(2 * pi * i / count), 60 - 44 * cos(2 * pi * i / count)) for i in range(count)]


def _in_row(count: int) -> list[tuple[float, float]]:
    return [(15 + 90 * i / (count - 1), 22.0) for i in range(count)]
