"""The form of a printed card: paper, size of type, margins, and what follows from them for the page."""

from typing import NamedTuple

# Width and height in millimetres (ISO 216; ANSI/ASME Y14.1 for Letter). A pocket card is an A5 sheet folded to A6.
_SIZES = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4), "pocket": (105.0, 148.0)}
_POCKET, _LARGE = 0.85, 1.3
# Inner and outer margin in millimetres. Holes of ring binders stand 12 mm from the edge, 6 mm wide (ISO 838).
_SIDES = {"single": (15.0, 12.0), "two-sided": (17.0, 11.0), "punched": (23.0, 10.0)}
_POCKET_SIDES = {"single": (6.0, 6.0), "two-sided": (7.0, 5.0), "punched": (7.0, 5.0)}
# Top and bottom margin; the head of the page takes three lines at most.
_ENDS, _LARGE_ENDS, _POCKET_ENDS = (16.0, 12.5), (20.0, 16.0), (17.0, 10.5)
# What a heading with its lead-in takes.
_HEADING = 24.0
# Millimetres for one module of the code on the printed card; readers need 0.4.
MODULE = 0.5


class Form(NamedTuple):
    """`paper`: A4 | Letter | pocket; `type_size`: normal | large; `margins`: single | two-sided | punched.

    A pocket card has one size of type, and no holes: it is folded, not filed.
    """

    paper: str = "A4"
    type_size: str = "normal"
    margins: str = "single"

    @property
    def narrow(self) -> bool:
        """Whether things that stand side by side on a wide page stand below each other."""
        return self.paper == "pocket"

    @property
    def large(self) -> bool:
        """Whether the type is large."""
        return self.type_size == "large" and not self.narrow

    @property
    def zoom(self) -> float:
        """By how much the laid-out page is magnified when it is written."""
        return _POCKET if self.narrow else _LARGE if self.large else 1.0

    @property
    def module(self) -> float:
        """Millimetres for one module of the code on the page before it is magnified."""
        return MODULE / min(self.zoom, 1.0)

    @property
    def room(self) -> tuple[float, float]:
        """Width and height in millimetres for a drawing with a heading above it, before magnifying."""
        width, height = _SIZES[self.paper]
        inner, outer, top, bottom = self._edges
        return (width - inner - outer) / self.zoom - 2, (height - top - bottom) / self.zoom - _HEADING

    @property
    def _edges(self) -> tuple[float, float, float, float]:
        """Inner and outer, top and bottom margin on the printed page."""
        sides = (_POCKET_SIDES if self.narrow else _SIDES)[self.margins]
        return *sides, *(_POCKET_ENDS if self.narrow else _LARGE_ENDS if self.large else _ENDS)

    def page_rules(self, extra: str = "") -> str:
        """The `@page` rules: size and margins before magnifying, mirrored where sheets are turned over."""
        width, height = _SIZES[self.paper]
        inner, outer, top, bottom = self._edges
        rules = f"@page{{size:{self._mm(width)} {self._mm(height)};{extra}"
        rules += f"margin:{self._mm(top)} {self._mm(outer)} {self._mm(bottom)} {self._mm(inner)}}}"
        if self.margins == "single":
            return rules
        return rules + f"@page:left{{margin-left:{self._mm(outer)};margin-right:{self._mm(inner)}}}"

    def _mm(self, length: float) -> str:
        return f"{length / self.zoom:.3f}mm"
