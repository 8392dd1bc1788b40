"""What a bolt bears: proof, yield and tensile strength by class and size (`bolt_classes.json`, stresses in MPa)."""

import json
import re
from difflib import get_close_matches
from functools import cache
from typing import Any, NamedTuple

from benchleaf.base.resources import table_text
from benchleaf.model.units import unit
from benchleaf.trade.threads import Thread
from benchleaf.trade.unread import Unread, proposed


class Strength(NamedTuple):
    """Stresses in MPa of a class at one size.

    `proof` is the stress that the load must not pass; `proof_is` says whether the standard calls it so, or whether
    the 0.2 % proof strength stands for it. `known` says how the values are known.
    """

    name: str
    standard: str
    proof: float
    yielding: float
    tensile: float
    proof_is: str
    source: str
    known: str

    def proof_load(self, area: float) -> float:
        """Proof load in N for a stress area in mm²."""
        return self.proof * area

    def tensile_load(self, area: float) -> float:
        """Least breaking load in N for a stress area in mm²."""
        return self.tensile * area


@cache
def _table() -> dict[str, Any]:
    table: dict[str, Any] = json.loads(table_text("trade", "bolt_classes.json"))
    return table


@cache
def _standards() -> dict[str, dict[str, str]]:
    return {row["standard"]: row for row in _table()["standards"]}


def class_names(*, inch: bool | None = None) -> tuple[str, ...]:
    """All classes, or those for inch or metric threads."""
    system = {True: "inch", False: "metric"}
    return tuple(
        row["class"]
        for row in _table()["classes"]
        if inch is None or _standards()[row["standard"]]["threads"] == system[inch]
    )


def parse_class(text: str) -> str | Unread:
    """The class that a text names, as it stands in the table: `8.8`, `grade 5`, `A2-70`, `CU2`."""
    plain = " ".join(text.split())
    name = _table()["also"].get(plain, plain)
    if name in class_names():
        return str(name)
    if not plain:
        return Unread("No class stands here.", "Write it as on the bolt's head, as in `8.8` or `A2-70`.")
    grade = re.fullmatch(r"(?i)(?:sae|gr\.?|grade|j429)?[ -]*(?:gr\.?|grade)?[ -]*([1258])(\.0)?", plain)
    steel = re.fullmatch(r"(?i)(a[1-5])[ /-]*([578]0)?", plain)
    if grade:
        near: tuple[str, ...] = (f"grade {grade[1]}",)
    elif steel:
        near = tuple(f"{steel[1].upper()}-{each}" for each in ([steel[2]] if steel[2] else ["50", "70", "80"]))
    elif plain.replace(",", ".") in class_names():
        near = (plain.replace(",", "."),)
    else:
        near = tuple(get_close_matches(plain.casefold(), class_names(), n=3, cutoff=0.5))
    if not near:
        return Unread(f"`{text}` is not a strength class.", "Write it as on the bolt's head, as in `8.8` or `A2-70`.")
    return proposed(f"`{text}` is not a strength class.", near)


def strength(name: str, thread: Thread) -> Strength | Unread:
    """What a class bears at the thread's size; refused for the other system of threads and beyond the standard."""
    read = parse_class(name)
    if isinstance(read, Unread):
        return read
    row = next(row for row in _table()["classes"] if row["class"] == read)
    standard = _standards()[row["standard"]]
    if (standard["threads"] == "inch") != thread.inch:
        other = "inch" if thread.inch else "metric"
        sentence = f"`{name}` is a class for {standard['threads']} threads; {thread.designation} is {other}."
        return Unread(sentence, f"Write a class for {other} threads, as in `{'grade 5' if thread.inch else '8.8'}`.")
    scale = unit(standard["stress"], "stress").factor / unit("MPa", "stress").factor
    for over, to, proof, yielding, tensile in row["bands"]:
        if (over < thread.size or (over == thread.size and over == row["bands"][0][0])) and thread.size <= to:
            stresses = (float(proof * scale), float(yielding * scale), float(tensile * scale))
            return Strength(
                read, row["standard"], *stresses, standard["proof_is"], standard["source"], standard["known"]
            )
    least, most = row["bands"][0][0], row["bands"][-1][1]
    ends = f"from {least:g} in to {most:g} in" if thread.inch else f"up to M{most:g}"
    sentence = f"{row['standard']} gives class {read} {ends}; {thread.designation} is outside."
    return Unread(sentence, "Write another class, or take the joint's limit from its drawing.")


class Bearing(NamedTuple):
    """Outer diameter of the bearing face under the head, and the hole in it, mm."""

    head: float
    hole: float


def hexagon_bearing(thread: Thread) -> Bearing | None:
    """Bearing face of a hexagon head on a medium clearance hole (ISO 4014, ISO 273); None where the table has none."""
    rows = json.loads(table_text("trade", "heads.json"))["rows"]
    if thread.inch:
        return None
    return next((Bearing(head, hole) for size, head, hole in rows if size == thread.size), None)
