"""`benchleaf uses`: what a name touches, before it is changed."""

import json
import os
from argparse import ArgumentParser, Namespace
from math import isfinite
from pathlib import Path
from typing import TYPE_CHECKING, Any

from benchleaf.build.request import Request
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, FAULTY, Console, UsedWrongly, visible
from benchleaf.edge.home import home
from benchleaf.edge.progress import Progress
from benchleaf.source.workspace import SIGNED, SOURCES

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from benchleaf.base.span import Span
    from benchleaf.build.impact import Impact, Touch
    from benchleaf.model.expected import Foreseen

    Readings = Mapping[tuple[str, Span], tuple[Foreseen, ...]]

FORMAT = "benchleaf/uses/1"
# What a reading of a circuit may hang on.
_READ = frozenset({"limit", "point", "meter", "step", "outcome"})
_EXAMPLE = """NAME is that of a part, test point, condition, energy, limit, fastener, fault, block, procedure, step or
outcome, or of a meter, wrench, tool or supply of the shop. `rc-48/contactor` looks at one machine alone.

examples:
  benchleaf uses pack-at-rest
  benchleaf uses rc-48/contactor
  benchleaf uses meter-1 --format json
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument("name", metavar="NAME", help="what is to be changed")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="how the list is written")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    from benchleaf.build.foretold import foretold
    from benchleaf.build.impact import book

    root, _ = work.workspace(())
    progress = Progress(console)
    request = Request(root, work.today())
    names = work.guarded(lambda: book(request), progress)
    found = names.search(asked.name)
    for file in names.unread:
        console.say(f"{file} has errors and was not searched; `benchleaf check` says which.")
    if not found:
        near = ", ".join(f"`{name}`" for name in names.near(asked.name))
        hint = f"; the nearest: {near}." if near else "."
        raise UsedWrongly(f"nothing in this workspace is called `{asked.name}`{hint}")
    procedures = {name for impact in found if impact.target.kind in _READ for name in impact.procedures}
    readings = work.guarded(lambda: foretold(request, procedures, progress), progress)
    signed = work.guarded(lambda: _released(root), progress)
    if asked.format == "json":
        data = [{**_data(impact, readings), "releases": _unsigned(impact, signed)} for impact in found]
        told = {"format": FORMAT, "name": asked.name, "found": data}
        console.put(json.dumps(told, ensure_ascii=False, indent=2) + "\n")
    else:
        console.put("\n".join(_text(impact, readings) + _warned(_unsigned(impact, signed)) for impact in found))
    return FAULTY if names.unread else CLEAN


def _released(root: Path) -> dict[str, str]:
    """The current releases; the library for signatures is loaded only where there are any."""
    if not any(root.glob(f"{SOURCES}/*/{SIGNED}")):
        return {}
    from benchleaf.build.released import shop_name
    from benchleaf.build.standing import released

    return released(root, shop_name(root), work.today(), home(os.environ))


def _unsigned(impact: "Impact", signed: dict[str, str]) -> list[dict[str, str]]:
    """The releases that a change may unsign: of what it touches, and of the procedure that it stands in."""
    target = impact.target
    own = (f"{target.machine}/{target.procedure}",) if target.procedure else ()
    names = sorted({*impact.procedures, *own} & set(signed))
    return [{"procedure": name, "revision": signed[name]} for name in names]


def _warned(releases: list[dict[str, str]]) -> str:
    if not releases:
        return ""
    listed = ", ".join(f"{each['procedure']} revision {each['revision']}" for each in releases)
    return f"  released, and to be signed anew where its card changes: {listed}\n"


def _text(impact: "Impact", readings: "Readings") -> str:
    target = impact.target
    owner = f"{target.machine}/{target.procedure}" if target.procedure else target.machine
    whose = f" of {owner}" if owner and target.kind != "procedure" else ""
    lines = [f"{target.label}{whose}, {_place(target.span)}"]
    if not impact.touches:
        lines.append("  Nothing uses it.")
    # A line that mentions the name more than once, or by several ways, is told once, by the shortest.
    told: dict[tuple[str, str], Touch] = {}
    for touch in sorted(impact.touches, key=lambda each: len(each.via)):
        told.setdefault((_place(touch.span), f"{touch.owner.label} {touch.owner.procedure}"), touch)
    for touch in impact.touches:
        if touch in told.values():
            lines.append(f"  {_place(touch.span)}: {_said(touch)}")
            lines += (f"    {line}" for line in _reads(touch, readings))
    if impact.procedures:
        count = len(impact.procedures)
        lines.append(f"  {count} procedure{'s' * (count != 1)}: {', '.join(impact.procedures)}")
    return "".join(f"{visible(line)}\n" for line in lines)


def _said(touch: "Touch") -> str:
    owner = touch.owner
    inside = owner.procedure and owner.kind != "procedure"
    told = f"{owner.label}, procedure {owner.machine}/{owner.procedure}" if inside else owner.label
    return f"{told}, by way of {', '.join(touch.via)}" if touch.via else told


def _reads(touch: "Touch", readings: "Readings") -> "Iterator[str]":
    """What the meter of a step shows by the circuit; told where the step itself mentions the name."""
    from benchleaf.trade.reckoned import span_of

    if touch.owner.kind == "step" and not touch.via:
        for each in readings.get((touch.owner.procedure, touch.owner.span), ()):
            band = span_of(each.low, each.high, each.unit)
            yield f"by the circuit, good machines show {band}" + (f" (with the {each.state})" if each.state else "")


def _place(span: "Span") -> str:
    return f"{span.file}:{span.line}"


def _data(impact: "Impact", readings: "Readings") -> dict[str, Any]:
    target = impact.target
    return {
        "kind": target.kind,
        "name": target.name,
        "machine": target.machine,
        "procedure": target.procedure,
        **_where(target.span),
        "uses": [
            {
                "kind": touch.owner.kind,
                "name": touch.owner.name,
                "label": touch.owner.label,
                "machine": touch.owner.machine,
                "procedure": touch.owner.procedure,
                **_where(touch.span),
                "via": list(touch.via),
                "readings": [_reading(each) for each in readings.get((touch.owner.procedure, touch.owner.span), ())],
            }
            for touch in impact.touches
        ],
        "procedures": list(impact.procedures),
    }


def _reading(each: "Foreseen") -> dict[str, Any]:
    """A foretold reading; None stands for an open circuit."""
    shown = {"low": each.low, "nominal": each.nominal, "high": each.high}
    faults = {name: {"shows": _finite(value), "side": each.sides[name]} for name, value in each.faults.items()}
    return {"unit": each.unit, **{key: _finite(value) for key, value in shown.items()}, "state": each.state,
            "faults": faults}  # fmt: skip


def _finite(value: float) -> float | None:
    return value if isfinite(value) else None


def _where(span: "Span") -> dict[str, Any]:
    return {"file": span.file, "line": span.line, "column": span.column}
