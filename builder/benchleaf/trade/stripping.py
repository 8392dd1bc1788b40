"""When a thread in soft material strips before the bolt gives way: shear areas, loads, depth of engagement."""

import json
import math
from functools import cache
from typing import NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.trade.threads import Thread

# Shear strength as a share of the tensile strength: 1/√3, by the energy of distortion. Most metals bear more
# (VDI 2230 has 0.6 to 0.9), so it errs to the safe side.
SHEAR_SHARE = 1 / math.sqrt(3)


class NutMaterial(NamedTuple):
    """What a thread goes into: least tensile strength in MPa, and the depth by rule of thumb in diameters."""

    name: str
    tensile: float
    depth: float
    source: str


@cache
def _rows() -> tuple[tuple[tuple[str, ...], NutMaterial], ...]:
    rows = json.loads(table_text("trade", "nut_materials.json"))["materials"]
    return tuple(
        (tuple(row["words"]), NutMaterial(row["material"], row["tensile"], row["depth"], row["source"])) for row in rows
    )


def nut_material(text: str) -> NutMaterial | None:
    """The material that words such as `cast aluminium, EN AC-44200` name, by the longest match; None for no match."""
    said = f" {' '.join(text.casefold().replace(',', ' ').split())} "
    found = [(len(word), material) for words, material in _rows() for word in words if f" {word} " in said]
    return max(found, key=lambda each: each[0])[1] if found else None


def nut_materials() -> tuple[str, ...]:
    """Names of all materials of the table."""
    return tuple(material.name for _, material in _rows())


def nut_shear_area(thread: Thread, engagement: float) -> float:
    """Area in mm² along which the internal thread shears off: π d Le (1/2 + (d - d2)/(P √3)) = 0.875 π d Le.

    At basic dimensions, from the whole threads in mesh (mm). Source: FED-STD-H28/2, and ISO 898-2 annex A, without
    the tolerances.
    """
    flank = (thread.diameter - thread.pitch_diameter) / (thread.pitch * math.sqrt(3))
    return math.pi * thread.diameter * engagement * (0.5 + flank)


def bolt_shear_area(thread: Thread, engagement: float) -> float:
    """Area in mm² along which the bolt's own thread shears off: π D1 Le (1/2 + (d2 - D1)/(P √3)) = 0.75 π D1 Le."""
    flank = (thread.pitch_diameter - thread.minor_diameter) / (thread.pitch * math.sqrt(3))
    return math.pi * thread.minor_diameter * engagement * (0.5 + flank)


def stripping_load(thread: Thread, engagement: float, nut_tensile: float, bolt_tensile: float | None = None) -> float:
    """Pull in N at which the weaker of the two threads strips, from tensile strengths in MPa."""
    nut = SHEAR_SHARE * nut_tensile * nut_shear_area(thread, engagement)
    if bolt_tensile is None:
        return nut
    return min(nut, SHEAR_SHARE * bolt_tensile * bolt_shear_area(thread, engagement))


def engagement_for(thread: Thread, load: float, nut_tensile: float) -> float:
    """Whole threads in mesh, in mm, that the nut's thread needs to bear a load (N) without stripping."""
    return load / stripping_load(thread, 1.0, nut_tensile)
