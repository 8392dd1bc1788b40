"""The family that documents are set in, and cuts of it that are small enough to travel inside a page.

A cut holds what people type as well as what pages say: the letters of Latin-1 and Latin Extended-A, units, arrows and
marks. Only a page with other characters gets a cut of its own.
"""

import io
from base64 import b64encode
from functools import cache, lru_cache
from itertools import chain
from pathlib import Path

import fontpkg_fira_sans
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont

FAMILY = "Fira Sans"
FONTS = Path(fontpkg_fira_sans.ROOT) / "files"
# Weights as style sheets know them; a browser takes the bold face for those between and above.
_WEIGHTS = {400: "FiraSans-Regular.ttf", 700: "FiraSans-Bold.ttf"}
# Latin with its accents, punctuation, raised and lowered figures, currencies, letterlike signs, arrows, mathematics.
_BLOCKS = (
    (0x20, 0x7E), (0xA0, 0x17F), (0x2000, 0x206F), (0x2070, 0x209F), (0x20A0, 0x20BF), (0x2100, 0x214F),
    (0x2190, 0x21FF), (0x2200, 0x22FF),
)  # fmt: skip
_COMMON = frozenset(chain(*(range(first, last + 1) for first, last in _BLOCKS), map(ord, "ΔΩμπφ")))


def faces(family: str, page: str) -> str:
    """Style rules that carry the family inside the page, with all characters of `page` that the family has.

    Empty for a family that does not travel with the package.
    """
    names = [name.strip(" \"'") for name in family.split(",")]
    if names[0] != FAMILY:
        return ""
    own = frozenset(map(ord, frozenset(page))) & _known() - _COMMON
    return "".join(_rule(weight, own) for weight in _WEIGHTS)


@lru_cache(maxsize=32)
def _rule(weight: int, own: frozenset[int]) -> str:
    content = b64encode(_cut(_WEIGHTS[weight], _COMMON | own)).decode()
    source = f"url(data:font/woff2;base64,{content}) format('woff2')"
    return f"@font-face{{font-family:'{FAMILY}';font-weight:{weight};src:{source}}}\n"


@cache
def _known() -> frozenset[int]:
    with TTFont(FONTS / _WEIGHTS[400], lazy=True) as font:
        return frozenset(font.getBestCmap())


def _cut(face: str, characters: frozenset[int]) -> bytes:
    """The face with these characters alone, as WOFF2 (W3C, Web Open Font Format 2.0); same input, same bytes."""
    options = Options(hinting=False, name_IDs=[1, 2], layout_features=[], recalc_timestamp=False)
    # Reading these tables takes longer than all the rest, and a screen shows little of them.
    options.drop_tables += ["GDEF", "GPOS", "GSUB"]
    with TTFont(FONTS / face, lazy=True, recalcTimestamp=False) as font:
        cutter = Subsetter(options)
        cutter.populate(unicodes=characters)
        cutter.subset(font)
        font.flavor = "woff2"
        content = io.BytesIO()
        font.save(content)
    return content.getvalue()
