"""The review packet of `compare --packet`: a page and a PDF in a folder."""

from pathlib import Path

from benchleaf.build.packet import packet
from benchleaf.build.sides import Side
from benchleaf.build.write import exchange, output
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, NOT_DONE, Console
from benchleaf.edge.progress import Progress
from benchleaf.render import pdf
from benchleaf.render.packet import page
from benchleaf.review.difference import Change

PAGE, PDF = "packet.html", "packet.pdf"


def make(
    root: Path, folder: Path, old: Side, new: Side, changes: tuple[Change, ...], console: Console, progress: Progress
) -> int:
    """Make the packet; the exit code. Raises NotDone."""
    made = work.guarded(lambda: packet(root, work.today(), old, new, changes, progress), progress)
    text = page(made)
    files = {PAGE: text.encode()}
    lacking = pdf.pango_missing()
    if not lacking:
        title = f"Review packet: {made['procedure']}, revision {made['revision']}"
        files[PDF] = work.guarded(lambda: pdf.write_pdf(text, {}, title=title, language="en"), progress)
    work.guarded(lambda: _put(folder, files), progress)
    for name in files:
        console.put(f"{folder / name}\n")
    if lacking:
        console.say(f"the packet was made as a page, not as a PDF: {lacking}")
    return NOT_DONE if lacking else CLEAN


def _put(folder: Path, files: dict[str, bytes]) -> None:
    with output(folder), exchange(folder) as waiting:
        for name, content in files.items():
            waiting.put(name, content)
