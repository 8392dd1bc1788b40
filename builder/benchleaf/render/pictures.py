"""Pictures computed from a card, as SVG with a title: gauges of limits and tightening patterns.

Few nodes each, because the PDF renderer pays for every node; drawn in the colour of the text around, and with all
looks in attributes, because style sheets do not reach into pictures on paper.
"""

from decimal import Decimal
from html import escape

from benchleaf.base.said import ENGLISH, Wording, fill
from benchleaf.card.records import Band, BoltPlace, Tightening, Value

# The limits of a two-sided band always stand at the same places, so that the eye learns them.
_WIDTH, _LEFT, _RIGHT = 300, 75, 225
_TOP, _BASE = 17, 33
# Type sizes with the longest label that fits in each.
_SIZES = ((14, 19), (12, 22), (10, 26), (8, 33))
# A stretch too close to tell is never drawn too thin to be seen.
_THIN = Decimal("2.5")
_SVG = 'xmlns="http://www.w3.org/2000/svg" font-family="Fira Sans, sans-serif"'


def gauge(band: Band, wording: Wording = ENGLISH) -> str:
    """The limit as a scale with room for a pencil mark; empty text where the limit has no value to draw.

    Grey is where the named meter can't tell: to both sides of a limit, or inside of it where the decision is guarded.
    """
    low, high = band.low, band.high
    if low is None and high is None:
        return ""
    start = _LEFT if low else 0
    end = _RIGHT if high else _WIDTH
    parts = [
        f'<svg class="gauge" {_SVG} viewBox="0 0 {_WIDTH} 52" font-size="{_size(band)}">',
        f"<title>{_gauge_title(band, wording)}</title>",
        f'<path fill="none" stroke="currentColor" stroke-opacity=".5" d="{_hatch(0, start)}{_hatch(end, _WIDTH)}"/>',
        _grey(band),
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


def _gauge_title(band: Band, wording: Wording) -> str:
    said = [fill("Limit: {limit}", limit=band.sentence or band.name)]
    if band.meter and band.grey:
        said.append(fill("with the {meter}: {says}", meter=band.meter, says=band.doubt or band.accept))
    return escape("; ".join(map(wording.speak, said)))


def _hatch(start: int, end: int) -> str:
    """Slanted strokes over the part of the scale that is out of limits."""
    return "".join(f"M{x} {_BASE}l8-{_BASE - _TOP}" for x in range(start + 2, end - 8, 8))


def _grey(band: Band) -> str:
    """The stretches in which the meter can't tell, on white where they lie over the hatching; often none."""
    path = ""
    for zone in band.grey:
        ends = [_place(band, Decimal(end.value)) for end in (zone.low, zone.high)]
        if None in ends:
            return ""
        start, end = (min(max(each, Decimal(0)), Decimal(_WIDTH)) for each in ends if each is not None)
        lacking = max(_THIN - (end - start), Decimal(0))
        # What is added lies on the side of the limit that is in doubt.
        inside = band.low is not None and Decimal(zone.low.value) >= Decimal(band.low.value)
        start, end = (start, end + lacking) if inside else (start - lacking, end)
        path += f"M{start:.4g} {_TOP}H{end:.4g}V{_BASE}H{start:.4g}z"
    if not path:
        return ""
    return f'<path fill="#fff" d="{path}"/><path fill="currentColor" fill-opacity=".4" d="{path}"/>'


def _place(band: Band, size: Decimal) -> Decimal | None:
    """Where a reading stands on the scale; a limit alone is drawn from zero, and None is said where it is zero."""
    low, high = (Decimal(value.value) if value else None for value in (band.low, band.high))
    if low is not None and high is not None:
        return _LEFT + (size - low) / (high - low) * (_RIGHT - _LEFT) if high > low else None
    only, at = (low, _LEFT) if low is not None else (high, _RIGHT)
    return size / only * at if only is not None and only > 0 else None


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


# Half the width that the bolts take up, and what a bolt's head takes up at most.
_HALF, _HEAD = 44, 11
_MIDDLE = 60
# So many heads find room in a row; more are drawn as dots with their numbers above and below.
_HEADS_IN_ROW = 5
_ROW_HALF, _ROOMY_ROW = 52, 12


def pattern(tightening: Tightening, wording: Wording = ENGLISH) -> str:
    """The bolts with their turn to be tightened, where they lie; empty text where there is no order.

    `order` names bolts, counted clockwise from the top or from the left, in the order of tightening; the picture
    shows at each bolt when its turn comes.
    """
    count = len(tightening.order)
    if count < 2 or len(tightening.places) != count:
        return ""
    turns = [tightening.order.index(bolt) + 1 for bolt in range(1, count + 1)]
    in_row = tightening.pattern == "row" or count == 2
    if in_row:
        drawn = _row(turns)
        height = 44
    else:
        drawn = _around(tightening.places, turns, tightening.pattern)
        height = 120
    begins = {"row": fill("from the left"), "rectangle": fill("clockwise from the upper left corner")}
    where = begins["row"] if in_row else begins.get(tightening.pattern, fill("clockwise from the top"))
    order = ", ".join(map(str, turns))
    title = escape(wording.say("Order of tightening, {where}: {order}", where=where, order=order))
    return f'<svg class="pattern" {_SVG} viewBox="0 0 120 {height}"><title>{title}</title>{drawn}</svg>'


def _around(places: tuple[BoltPlace, ...], turns: list[int], kind: str) -> str:
    """Bolts round a circle or along a rectangle."""
    spots = [(_MIDDLE + place.x * _HALF / 1000, _MIDDLE - place.y * _HALF / 1000) for place in places]
    apart = min(
        ((x - u) ** 2 + (y - v) ** 2) ** 0.5 for number, (x, y) in enumerate(spots) for u, v in spots[number + 1 :]
    )
    radius = min(_HEAD, apart * 0.47)
    base = "M60 16a44 44 0 1 0 .1 0z"
    if kind == "rectangle":
        top, bottom = min(y for _, y in spots), max(y for _, y in spots)
        base = f"M16 {top:.4g}H104V{bottom:.4g}H16z"
    return (
        f'<path fill="none" stroke="currentColor" stroke-opacity=".5" d="{base}"/>'
        f'<path fill="#fff" stroke="currentColor" stroke-width="1.6" d="{_heads(spots, radius)}"/>'
        + _numbers([(x, y + radius * 0.41) for x, y in spots], turns, radius * 1.18)
    )


def _row(turns: list[int]) -> str:
    """Bolts in a row: heads with their numbers in them, or dots with the numbers above and below in turn."""
    count = len(turns)
    half = _ROW_HALF - 7 if count <= _HEADS_IN_ROW else _ROW_HALF
    spots = [(_MIDDLE - half + 2 * half * number / (count - 1), 22.0) for number in range(count)]
    line = '<path fill="none" stroke="currentColor" stroke-opacity=".5" d="M4 22H116"/>'
    if count <= _HEADS_IN_ROW:
        heads = f'<path fill="#fff" stroke="currentColor" stroke-width="1.6" d="{_heads(spots, 10)}"/>'
        return line + heads + _numbers([(x, y + 4.2) for x, y in spots], turns, 12)
    dots = f'<path fill="currentColor" d="{_heads(spots, 2.5)}"/>'
    beside = [(x, 14.0 if number % 2 == 0 else 37.0) for number, (x, _) in enumerate(spots)]
    return line + dots + _numbers(beside, turns, 10 if count <= _ROOMY_ROW else 8)


def _heads(spots: list[tuple[float, float]], radius: float) -> str:
    return "".join(
        f"M{x - radius:.4g} {y:.4g}a{radius:.4g} {radius:.4g} 0 1 0 {2 * radius:.4g} 0"
        f"a{radius:.4g} {radius:.4g} 0 1 0-{2 * radius:.4g} 0"
        for x, y in spots
    )


def _numbers(spots: list[tuple[float, float]], turns: list[int], size: float) -> str:
    texts = "".join(f'<text x="{x:.4g}" y="{y:.4g}">{turn}</text>' for (x, y), turn in zip(spots, turns, strict=True))
    return f'<g fill="#000" text-anchor="middle" font-weight="700" font-size="{size:.3g}">{texts}</g>'
