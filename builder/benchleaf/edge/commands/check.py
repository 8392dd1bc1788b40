"""`benchleaf check`: hold procedures against their machines."""

import json
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
  benchleaf check --matrix procedures/rc-48/no-drive.yaml
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
        "--matrix", action="store_true", help="show what each question answers under each fault, and what asking costs"
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
    if asked.matrix and (asked.format == "sarif" or asked.summary or asked.trace):
        raise UsedWrongly("--matrix goes with text or json, and not with --summary or --trace.")
    root, paths = work.workspace(asked.paths)
    if asked.matrix:
        return _matrix(Request(root, work.today(), paths), console, asked.format)
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


def _matrix(request: Request, console: Console, form: str) -> int:
    from benchleaf.build.matrices import matrices
    from benchleaf.edge import report_matrix

    progress = Progress(console)
    found = work.guarded(lambda: matrices(request, progress), progress)
    if form == "json":
        told = [report_matrix.data(file, matrix) for file, matrix in found]
        console.put(json.dumps({"format": "benchleaf/matrix/1", "matrices": told}, ensure_ascii=False, indent=2) + "\n")
    elif not found:
        console.put("No procedure here looks for two faults or more.\n")
    for file, matrix in found if form == "text" else ():
        console.put("\n".join(visible(line) for line in report_matrix.text(file, matrix).split("\n")) + "\n")
    return CLEAN
