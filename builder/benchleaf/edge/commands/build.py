"""`benchleaf build`: bench cards and checklists of all that nothing stops."""

import os
from argparse import ArgumentParser, ArgumentTypeError, Namespace
from pathlib import Path

from benchleaf.build.pipeline import Made
from benchleaf.build.request import Making, Request
from benchleaf.build.wordings import languages
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, FAULTY, NOT_DONE, Console, UsedWrongly
from benchleaf.edge.home import home
from benchleaf.edge.progress import Progress

_EXAMPLE = """A procedure with errors keeps the documents of its last build, and the index says so.

examples:
  benchleaf build
  benchleaf build procedures/rc-48 --only html
  benchleaf build --together --out /srv/cards
  benchleaf build --released
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    work.path_option(parser)
    parser.add_argument("--together", action="store_true", help="build all or, if anything has errors, nothing")
    parser.add_argument(
        "--released",
        action="store_true",
        help="make what is released, from signed cards alone, into out/released; the working files are not looked at",
    )
    parser.add_argument("--only", choices=("pdf", "html"), help="make bench cards (pdf) or checklists (html) only")
    parser.add_argument("--out", metavar="DIR", help="where documents go (default: out in the workspace)")
    parser.add_argument(
        "--paper",
        choices=("A4", "Letter", "pocket"),
        help="paper of the cards; pocket is A6 (default: the shop's)",
    )
    parser.add_argument("--type-size", choices=("normal", "large"), help="how large the type is (default: the shop's)")
    parser.add_argument(
        "--margins",
        choices=("single", "two-sided", "punched"),
        help="room for printing on both sides, or for holes (default: the shop's)",
    )
    parser.add_argument("--theme", metavar="NAME", default="daylight", help="how documents look (default: daylight)")
    parser.add_argument(
        "--language",
        metavar="TAG",
        help="language of fixed words, warnings and numbers, such as de (default: the procedure's, else the shop's)",
    )
    parser.add_argument(
        "--jobs", metavar="N", type=_jobs, default=0, help="processes to draw with (default: one each processor)"
    )
    parser.add_argument("--verbose", action="store_true", help="tell of each procedure, with times")
    work.format_option(parser)


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    root, paths = work.workspace(asked.paths)
    if asked.released and (paths or asked.together):
        raise UsedWrongly("`--released` makes all that is released; it takes no paths and no `--together`")
    usual = root / "out" / "released" if asked.released else root / "out"
    out = Path(os.path.abspath(asked.out)) if asked.out else usual
    if _holds_sources(out, root):
        raise UsedWrongly(f"{out} holds sources; documents need a folder of their own.")
    kinds = (asked.only,) if asked.only else ("pdf", "html")
    making = Making(
        out,
        kinds,
        asked.together,
        asked.paper or "",
        asked.type_size or "",
        asked.margins or "",
        asked.theme,
        asked.jobs,
        home(os.environ),
        _language(asked.language),
    )
    request, progress = Request(root, work.today(), paths, making), Progress(console, verbose=asked.verbose)
    made = work.release(request, progress) if asked.released else work.perform(request, progress)
    work.tell(made.verdict, console, asked.format)
    console.out.flush()
    _say(made, making, console, loud=asked.verbose or console.live)
    return FAULTY if made.verdict.failed() else NOT_DONE if made.lacking else CLEAN


def _language(asked: str | None) -> str:
    if asked is not None and asked not in languages():
        raise UsedWrongly(f"there is no wording in `{asked}`; there is one in {', '.join(languages())}.")
    return asked or ""


def _jobs(text: str) -> int:
    if not text.isdecimal() or not 1 <= int(text) <= 64:
        raise ArgumentTypeError(f"`{text}` is no number of processes from 1 to 64")
    return int(text)


def _holds_sources(out: Path, root: Path) -> bool:
    real, home = Path(os.path.realpath(out)), Path(os.path.realpath(root))
    return home.is_relative_to(real) or real.is_relative_to(home / "procedures")


def _say(made: Made, making: Making, console: Console, *, loud: bool) -> None:
    for folder in made.orphans:
        console.say(f"{making.out / folder} belongs to no procedure any more; delete it lest somebody works by it.")
    if made.lacking:
        what = "nothing was built" if making.together else "checklists were built, bench cards were not"
        console.say(f"{what}: {made.lacking}")
    if making.together and made.verdict.failed():
        console.say("nothing was built, since --together builds all or nothing.")
    elif loud and made.built:
        count = len(made.built)
        console.say(f"{count} procedure{'' if count == 1 else 's'} built; see {making.out / 'index.html'}")
