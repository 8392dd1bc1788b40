"""`benchleaf picking`: what to take along for the jobs at hand."""

import os
from argparse import ArgumentParser, Namespace
from collections.abc import Iterator
from pathlib import Path

from benchleaf.build.request import Request
from benchleaf.card.sheet_picking import PickingList, PickLine
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, FAULTY, Console, NotDone, visible
from benchleaf.edge.progress import Progress

_EXAMPLE = """Tools are counted once, since they go from job to job; parts and supplies add up.

examples:
  benchleaf picking procedures/rc-48/motor-replace.yaml procedures/ht-600/relief-adjust.yaml
  benchleaf picking procedures/rc-48 --pdf picking-list.pdf
"""
_HEADS = {
    "wear": "To wear",
    "lock": "Locks and tags",
    "tool": "Tools, meters and aids",
    "part": "Parts",
    "single-use": "Single-use items, new each time",
    "supply": "Supplies",
}


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    work.path_option(parser)
    parser.add_argument("--pdf", metavar="FILE", help="write the list for paper instead of printing it here")
    parser.add_argument("--paper", choices=("A4", "Letter"), help="paper of the list (default: the shop's)")
    parser.add_argument("--theme", metavar="NAME", default="daylight", help="how the list looks (default: daylight)")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    from benchleaf.build.picking import picking

    root, paths = work.workspace(asked.paths)
    progress = Progress(console)
    found = work.guarded(lambda: picking(Request(root, work.today(), paths), progress, asked.paper or ""), progress)
    if found is None or not found.jobs:
        raise NotDone("there is no procedure without errors to count; `benchleaf check` says what is wrong.")
    if asked.pdf:
        _write(Path(os.path.abspath(asked.pdf)), found, root, asked.theme, progress)
    else:
        console.put("".join(f"{visible(line)}\n" for line in _lines(found)))
        console.out.flush()
    for name in found.without:
        console.say(f"{name} is not counted, since its source has errors.")
    return FAULTY if found.without else CLEAN


def _write(file: Path, found: PickingList, root: Path, theme: str, progress: Progress) -> None:
    from benchleaf.build.delivery import replace
    from benchleaf.build.sheets import pdf_of
    from benchleaf.render.theme import THEMES, find, load

    def draw() -> None:
        replace(file.parent, file.name, pdf_of(found, {}, load(find(theme, root / THEMES))))

    work.guarded(draw, progress)


def _lines(found: PickingList) -> Iterator[str]:
    """The list as text: jobs with their letters, then each thing with its amount and the jobs that want it."""
    yield "Jobs"
    for job in found.jobs:
        only = f", {job.only}" if job.only else ""
        yield f"  {job.letter}  {job.card}, revision {job.revision} ({job.state}): {job.title}; {job.machine}{only}"
    for group in found.groups:
        yield ""
        yield _HEADS[group.kind]
        for line in group.lines:
            yield f"  {_line(line, several=len(found.jobs) > 1)}"


def _line(line: PickLine, *, several: bool) -> str:
    amount = ", ".join(part for part in (line.amount, "if needed" if line.when == "needed" else "") if part)
    text = ", ".join(part for part in (line.name, line.detail) if part)
    jobs = ", ".join(f"{job.letter} {job.amount}".rstrip() for job in line.jobs)
    return f"{amount + ': ' if amount else ''}{text}{f'  [{jobs}]' if several else ''}"
