"""`benchleaf check`: hold procedures against their machines."""

from argparse import ArgumentParser, Namespace

from benchleaf.build.request import Request
from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, FAULTY, Console, UsedWrongly, visible
from benchleaf.edge.progress import Progress

_EXAMPLE = """examples:
  benchleaf check
  benchleaf check procedures/rc-48/no-drive.yaml
  benchleaf check --summary --strict
  benchleaf check --trace procedures/rc-48/no-drive.yaml
  benchleaf check --format sarif > findings.sarif
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    work.path_option(parser)
    parser.add_argument("--strict", action="store_true", help="exit with 1 for warnings as well")
    parser.add_argument(
        "--summary", action="store_true", help="group findings by cause, and say what stops which procedure"
    )
    parser.add_argument(
        "--trace", action="store_true", help="tell step by step what is locked, what is gone and what may be there"
    )
    parser.add_argument(
        "--no-cache", action="store_true", help="judge anew even where nothing has changed, and keep no findings"
    )
    work.format_option(parser)


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    if asked.summary and asked.format != "text":
        raise UsedWrongly(f"--summary goes with text only; {asked.format} holds the same facts without it.")
    if asked.trace and (asked.format != "text" or asked.summary):
        raise UsedWrongly("--trace goes with text only, and not with --summary.")
    root, paths = work.workspace(asked.paths)
    if asked.trace:
        return _trace(Request(root, work.today(), paths), console)
    verdict = work.check(Request(root, work.today(), paths, remember=not asked.no_cache), Progress(console))
    work.tell(verdict, console, asked.format, summary=asked.summary)
    return FAULTY if verdict.failed(strict=asked.strict) else CLEAN


def _trace(request: Request, console: Console) -> int:
    from benchleaf.build.tracing import traces

    progress = Progress(console)
    outcome = CLEAN
    for file, lines in work.guarded(lambda: traces(request, progress), progress):
        if not lines:
            outcome = FAULTY
        told = lines or ("     Nothing to trace: mend what `check` finds first.",)
        console.put("\n".join((file, *map(visible, told), "")))
    return outcome
