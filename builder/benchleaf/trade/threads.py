"""Screw threads by their designation: `M10x1.5`, `M10` (coarse), `9/16-18 UNF`; diameters and stress area.

Geometry in mm and mm². The basic profile is the same in ISO 68-1 and ASME B1.1: a triangle of height H = P √3/2.
"""

import json
import math
import re
from difflib import get_close_matches
from functools import cache
from typing import Any, NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.trade.unread import Unread, proposed

INCH = 25.4
_FRACTIONS = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}


class Thread(NamedTuple):
    """A thread: `diameter` (nominal, major) and `pitch` in mm; `series` is coarse, fine, UNC, UNF or 8UN.

    `size` is the nominal size in the unit of its system: 10 for M10, 0.5 for 1/2 in. 8UN is written `1 1/8-8 UN`.
    """

    designation: str
    size: float
    diameter: float
    pitch: float
    series: str
    inch: bool

    @property
    def height(self) -> float:
        """Height of the fundamental triangle H, mm."""
        return self.pitch * math.sqrt(3) / 2

    @property
    def pitch_diameter(self) -> float:
        """d2 = d - 3/4 H = d - 0.649519 P, mm (ISO 724, ASME B1.1)."""
        return self.diameter - 0.75 * self.height

    @property
    def minor_diameter(self) -> float:
        """D1 = d - 5/4 H = d - 1.082532 P, mm, of the internal thread (ISO 724, ASME B1.1)."""
        return self.diameter - 1.25 * self.height

    @property
    def root_diameter(self) -> float:
        """d3 = d - 17/12 H = d - 1.226869 P, mm, of the external thread (ISO 898-1)."""
        return self.diameter - 17 * self.height / 12

    @property
    def stress_area(self) -> float:
        """Nominal stress area in mm².

        Metric (ISO 898-1): As = π/4 ((d2 + d3)/2)² = π/4 (d - 0.938194 P)²; inch (ASME B1.1): 0.7854 (D - 0.9743/n)².
        """
        if self.inch:
            return float(0.7854 * (self.diameter - 0.9743 * self.pitch) ** 2)
        return float(math.pi / 4 * ((self.pitch_diameter + self.root_diameter) / 2) ** 2)

    @property
    def area_formula(self) -> str:
        """The formula of the stress area, as printed."""
        return "A = 0.7854 (D - 0.9743/n)²" if self.inch else "A = π/4 (d - 0.938194 P)²"


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("trade", "threads.json"))
    return table


def thread_source(thread: Thread) -> str:
    """Where the pitches of the thread's system come from."""
    return str(_table()["inch" if thread.inch else "metric"]["source"])


@cache
def threads() -> dict[str, Thread]:
    """All threads of the tables by designation: `M10x1.5` and `1/2-13 UNC`."""
    found = {}
    for size, coarse, fine in _table()["metric"]["sizes"]:
        for pitch in ([coarse] if coarse else []) + fine:
            series = "coarse" if pitch == coarse else "fine"
            thread = Thread(f"M{size}x{pitch}", float(size), float(size), float(pitch), series, False)
            found[thread.designation] = thread
    for size, diameter, series_of in _table()["inch"]["sizes"]:
        for series, count in series_of.items():
            inches = float(diameter)
            name = f"{size}-{count:g} {series.removeprefix('8')}"
            found[name] = Thread(name, inches, inches * INCH, INCH / count, series, True)
    return found


def parse_thread(text: str) -> Thread | Unread:
    """Read a designation, or say why not, with the nearest that is right.

    A metric pitch may be left out where the coarse one is meant. A class of fit (`-6g`, `-2A`) and `LH` may follow.
    """
    plain = " ".join(text.split())
    if not plain:
        return Unread("No thread stands here.", "Write its designation, as in `M10x1.5` or `1/2-13 UNC`.")
    bare = re.sub(r"(?<=[0-9A-Z])( ?- ?[1-8][a-hABGH]{1,2})?( ?-? ?LH)?$", "", plain)
    metric = re.fullmatch(r"M ?([0-9]+(?:\.[0-9]+)?)(?: ?[x×] ?([0-9]+(?:\.[0-9]+)?))?", bare)
    if metric:
        return _metric(text, _digits(metric[1]), _digits(metric[2] or ""))
    inch = re.fullmatch(r'#?([0-9 /-]+?)"? ?- ?([0-9.]+)(?: ?(UNC|UNF|8UN|UN))?', bare)
    if inch:
        return _inch(text, inch[1], inch[2], inch[3] or "")
    return _neither(text, bare)


def is_pipe_thread(text: str) -> bool:
    """Whether the designation is that of a pipe thread: `G1/4`, `R1/2`, `1/4 NPT`."""
    return re.match(r"(?i)\s*(G|R[pc]?|NPT|BSP) ?[0-9]|.*\b(NPT|NPTF|BSP[PT]?)\b", text) is not None


def _digits(number: str) -> str:
    return number.rstrip("0").rstrip(".") if "." in number else number


def _metric(text: str, size: str, pitch: str) -> Thread | Unread:
    for known, coarse, fine in _table()["metric"]["sizes"]:
        if known != size:
            continue
        if pitch in (coarse, *fine) or (not pitch and coarse):
            return threads()[f"M{size}x{pitch or coarse}"]
        names = tuple(f"M{size}x{each}" for each in (coarse, *fine) if each)
        if not pitch:
            return proposed(f"`{text}` has no coarse pitch.", names)
        near = sorted(names, key=lambda name: abs(threads()[name].pitch - float(pitch)))
        return proposed(f"`{text}` is not a thread of ISO 261: M{size} has no pitch of {pitch} mm.", tuple(near[:3]))
    sizes = sorted({thread.size for thread in threads().values() if not thread.inch})
    near_sizes = sorted(sizes, key=lambda known: abs(known - float(size)))[:2]
    nearest = tuple(_at_size(each) for each in sorted(near_sizes))
    return proposed(f"`{text}` is not a thread of ISO 261 from M{sizes[0]:g} to M{sizes[-1]:g}.", nearest)


def _at_size(size: float) -> str:
    return next(name for name, thread in threads().items() if not thread.inch and thread.size == size)


def _inch(text: str, size: str, count: str, series: str) -> Thread | Unread:
    name = " ".join(size.replace("-", " ").split())
    known = [thread for thread in threads().values() if thread.inch and _size_name(thread) in (name, f"#{name}")]
    if not known:
        return _no_inch_size(text, name)
    per_inch = float(count) if re.fullmatch(r"[0-9]+(\.[0-9]+)?", count) else 0.0
    right = [thread for thread in known if abs(INCH / thread.pitch - per_inch) < 1e-6]
    asked = "8UN" if series == "UN" else series
    for thread in right:
        if thread.series == asked:
            return thread
    if right:
        names = tuple(thread.designation for thread in right)
        sentence = f"`{text}` is not {series}." if series else f"`{text}` does not name its series."
        return proposed(sentence, names)
    near = sorted(known, key=lambda thread: abs(INCH / thread.pitch - per_inch))
    fitting = [thread for thread in near if thread.series == asked] or near
    names = tuple(thread.designation for thread in fitting[:2])
    return proposed(f"`{text}` is not a thread of ASME B1.1: {name} in has no {count} threads per inch.", names)


def _size_name(thread: Thread) -> str:
    return thread.designation.rpartition("-")[0]


def _no_inch_size(text: str, name: str) -> Unread:
    sentence = f"`{text}` is not a thread of ASME B1.1."
    if not re.fullmatch(r"[0-9]+( [0-9]+/[0-9]+)?|[0-9]+/[0-9]+", name) or "/0" in name:
        return Unread(sentence, "Write its designation, as in `1/2-13 UNC`.")
    size = sum(int(top) / int(bottom or 1) for top, _, bottom in (part.partition("/") for part in name.split()))
    inches = [thread for thread in threads().values() if thread.inch and thread.series in ("UNC", "UNF")]
    near = sorted(inches, key=lambda thread: abs(thread.size - size))[:2]
    return proposed(sentence, tuple(thread.designation for thread in near))


def _neither(text: str, bare: str) -> Unread:
    """Not of either form: a pipe thread, another way of writing, a size alone."""
    if is_pipe_thread(bare):
        sentence = f"`{text}` is a pipe thread: it is tightened until it seals, and has no strength class."
        return Unread(sentence, "Leave the class away, and give the torque of the drawing.")
    written = bare
    for sign, fraction in _FRACTIONS.items():
        written = written.replace(sign, fraction)
    written = re.sub(r"(?<=[0-9]),(?=[0-9])", ".", written).upper().replace("X", "x").replace("*", "x")
    written = re.sub(r"^(NO\.?|NR\.?) ?(?=[0-9])", "#", written).replace("''", '"')
    written = re.sub(r"^(?:ISO|METRIC) ?(?=M)| ?(?:MM|THREAD)$", "", written)
    written = re.sub(r"^(UNC|UNF) ?(.*[0-9])$", r"\2 \1", written)
    decimal = re.fullmatch(r'(0?\.[0-9]+|[0-9]+\.[0-9]+)("? ?- ?[0-9].*)', written)
    if decimal:
        sizes = {_size_name(thread): thread.size for thread in threads().values() if thread.inch}
        same = [size for size, inches in sizes.items() if abs(inches - float(decimal[1])) < 5e-4]
        written = f"{same[0]}{decimal[2]}" if same else written
    if written != bare:
        read = parse_thread(written)
        if isinstance(read, Thread):
            return proposed(f"`{text}` is not how a thread is written.", (read.designation,))
        if read.change or "one of" in read.mend:
            return read._replace(sentence=f"`{text}` is not how a thread is written.")
    alone = written.removesuffix('"').strip().replace("-", " ")
    fitting = tuple(name for name, thread in threads().items() if thread.inch and _size_name(thread) == alone)
    if fitting:
        return proposed(f"`{text}` does not say how many threads it has to the inch.", fitting)
    near = tuple(get_close_matches(written, threads(), n=3, cutoff=0.7))
    if near:
        return proposed(f"`{text}` is not a thread.", near)
    return Unread(f"`{text}` is not a thread.", "Write its designation, as in `M10x1.5` or `1/2-13 UNC`.")
