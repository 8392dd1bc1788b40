"""What `check` and `build` share: where the workspace is, a run of the pipeline, and its report."""

import os
import time
from argparse import ArgumentParser
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

from benchleaf.build import remembered
from benchleaf.build.faults import NoSource, Unwritable
from benchleaf.build.request import Request
from benchleaf.build.verdict import Verdict
from benchleaf.edge import report
from benchleaf.edge.console import Console, NotDone, UsedWrongly
from benchleaf.edge.progress import Progress
from benchleaf.render.fault import RenderFault
from benchleaf.review.faults import Refused
from benchleaf.source.text import Unreadable
from benchleaf.source.workspace import find_root

if TYPE_CHECKING:
    from benchleaf.build.pipeline import Made

T = TypeVar("T")

FORMATS = ("text", "json", "sarif")


def path_option(parser: ArgumentParser) -> None:
    """Declare the paths."""
    parser.add_argument(
        "paths", nargs="*", metavar="PATH", help="a procedure, a machine's folder …; without: the whole workspace"
    )


def format_option(parser: ArgumentParser) -> None:
    """Declare the form of the report."""
    parser.add_argument("--format", choices=FORMATS, default="text", help="how findings are written (default: text)")


def workspace(names: Sequence[str]) -> tuple[Path, tuple[Path, ...]]:
    """The workspace that the paths lie in, or that the current folder lies in, and the paths in full.

    Raises NotDone for a path that does not exist, UsedWrongly where there is no workspace or more than one.
    """
    paths = tuple(Path(os.path.abspath(name)) for name in names)
    for name, path in zip(names, paths, strict=True):
        if not name or not os.path.lexists(path):
            raise NotDone(f"`{name}` does not exist.")
    roots = {path: find_root(path) for path in paths or (Path.cwd(),)}
    for path, root in roots.items():
        if root is None:
            raise UsedWrongly(
                f"{path} lies in no workspace: neither it nor a folder above holds procedures/shop.yaml. "
                "Go to a workspace, or lay out a new one with `benchleaf begin DIR`."
            )
    found = sorted({root for root in roots.values() if root})
    if len(found) > 1:
        raise UsedWrongly(f"these paths lie in several workspaces: {', '.join(map(str, found))}.")
    return found[0], paths


def today() -> str:
    """The day by which reviews and waivers run out; SOURCE_DATE_EPOCH sets it for builds that must repeat exactly."""
    epoch = os.environ.get("SOURCE_DATE_EPOCH", "")
    return time.strftime("%Y-%m-%d", time.gmtime(int(epoch)) if epoch.isdecimal() else time.localtime())


def check(request: Request, progress: Progress) -> Verdict:
    """The verdict, remembered or new; raises as `perform` does."""
    known = guarded(lambda: remembered.recall(request), progress) if request.remember else None
    return perform(request, progress).verdict if known is None else known


def perform(request: Request, progress: Progress) -> "Made":
    """Run the pipeline. Raises NotDone for what the system refuses, UsedWrongly for a path that is no source."""
    # All that judges is loaded only where there is something to judge.
    from benchleaf.build.pipeline import run

    return guarded(lambda: run(request, progress), progress)


def release(request: Request, progress: Progress) -> "Made":
    """Build what is released. Raises as `perform` does."""
    # Signatures take a library that nothing else needs.
    from benchleaf.build.released import run

    return guarded(lambda: run(request, progress), progress)


def guarded(work: Callable[[], T], progress: Progress) -> T:
    """Do some work of the pipeline, its refusals told as `perform` tells them."""
    try:
        return work()
    except NoSource as error:
        raise UsedWrongly(str(error)) from error
    except RenderFault as error:
        raise NotDone(f"{error}.") from error
    except (Unreadable, Unwritable, Refused) as error:
        raise NotDone(f"{error}.") from error
    finally:
        progress.end()


def tell(verdict: Verdict, console: Console, form: str, *, summary: bool = False) -> None:
    """Write the report to standard output."""
    if form == "json":
        from benchleaf.edge import report_json

        console.put(report_json.text(verdict))
    elif form == "sarif":
        from benchleaf.build.rules import all_rules
        from benchleaf.edge import report_sarif

        console.put(report_sarif.text(verdict, all_rules()))
    elif summary:
        console.put(report.summary(verdict, colour=console.colour))
    else:
        console.put(report.text(verdict, colour=console.colour))
