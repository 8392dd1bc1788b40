"""The code on a card's head: identity, revision and short digest, for a reader to scan."""

import segno
from markupsafe import Markup, escape

from benchleaf.card.model import Card

# Any of the eight would do; a fixed one makes the same card the same picture, in a sixth of the time.
_MASK = 3
_QUIET = 4
_SHORT = 12


def short_digest(digest: str) -> str:
    """The beginning of a digest in groups of four, as people read it out: `9f2a 33c1 70be`."""
    return " ".join(digest[start : start + 4] for start in range(0, _SHORT, 4))


def identity(card: Card, digest: str) -> str:
    """What the code says: `rc-48/no-drive revision C digest 9f2a33c170be`."""
    return f"{card.machine.key}/{card.id} revision {card.revision} digest {digest[:_SHORT]}"


def code(text: str, module: float, title: str) -> Markup:
    """A QR code (ISO/IEC 18004) as SVG with a title, each module `module` millimetres wide, quiet zone included."""
    symbol = segno.make(text, error="m", mask=_MASK, micro=False, boost_error=False)
    rows = [bytes(row) for row in symbol.matrix_iter(border=_QUIET)]
    side = len(rows)
    path = "".join(_row(number, row) for number, row in enumerate(rows))
    width = f"{side * module:.3f}mm"
    return Markup(
        f'<svg class="qr" xmlns="http://www.w3.org/2000/svg" width="{width}" height="{width}" '
        f'viewBox="0 0 {side} {side}"><title>{escape(title)}</title>'
        f'<path fill="#fff" d="M0 0h{side}v{side}H0z"/><path fill="#000" d="{path}"/></svg>'
    )


def _row(y: int, row: bytes) -> str:
    """The dark modules of a row, those side by side as one bar."""
    bars, start = [], None
    for x, dark in enumerate((*row, 0)):
        if dark and start is None:
            start = x
        elif not dark and start is not None:
            bars.append(f"M{start} {y}h{x - start}v1H{start}z")
            start = None
    return "".join(bars)
