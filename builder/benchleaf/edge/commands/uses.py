"""`benchleaf uses`: what a name touches, before it is changed."""

import json
from argparse import ArgumentParser, Namespace
from typing import TYPE_CHECKING, Any

from benchleaf.build.request import Request
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, FAULTY, Console, UsedWrongly, visible
from benchleaf.edge.progress import Progress

if TYPE_CHECKING:
    from benchleaf.base.span import Span
    from benchleaf.build.impact import Impact, Touch

FORMAT = "benchleaf/uses/1"
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
    from benchleaf.build.impact import book

    root, _ = work.workspace(())
    progress = Progress(console)
    names = work.guarded(lambda: book(Request(root, work.today())), progress)
    found = names.search(asked.name)
    for file in names.unread:
        console.say(f"{file} has errors and was not searched; `benchleaf check` says which.")
    if not found:
        near = ", ".join(f"`{name}`" for name in names.near(asked.name))
        hint = f"; the nearest: {near}." if near else "."
        raise UsedWrongly(f"nothing in this workspace is called `{asked.name}`{hint}")
    if asked.format == "json":
        told = {"format": FORMAT, "name": asked.name, "found": [_data(impact) for impact in found]}
        console.put(json.dumps(told, ensure_ascii=False, indent=2) + "\n")
    else:
        console.put("\n".join(_text(impact) for impact in found))
    return FAULTY if names.unread else CLEAN


def _text(impact: "Impact") -> str:
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
    lines += (f"  {_place(touch.span)}: {_said(touch)}" for touch in impact.touches if touch in told.values())
    if impact.procedures:
        count = len(impact.procedures)
        lines.append(f"  {count} procedure{'s' * (count != 1)}: {', '.join(impact.procedures)}")
    return "".join(f"{visible(line)}\n" for line in lines)


def _said(touch: "Touch") -> str:
    owner = touch.owner
    inside = owner.procedure and owner.kind != "procedure"
    told = f"{owner.label}, procedure {owner.machine}/{owner.procedure}" if inside else owner.label
    return f"{told}, by way of {', '.join(touch.via)}" if touch.via else told


def _place(span: "Span") -> str:
    return f"{span.file}:{span.line}"


def _data(impact: "Impact") -> dict[str, Any]:
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
            }
            for touch in impact.touches
        ],
        "procedures": list(impact.procedures),
    }


def _where(span: "Span") -> dict[str, Any]:
    return {"file": span.file, "line": span.line, "column": span.column}
