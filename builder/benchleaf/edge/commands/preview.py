"""`benchleaf preview`: see cards, checklists and findings change with every save."""

from argparse import ArgumentParser, ArgumentTypeError, Namespace
from pathlib import Path

from benchleaf.edge.commands import work
from benchleaf.edge.console import CLEAN, Console, NotDone, UsedWrongly
from benchleaf.render.fault import RenderFault

_EXAMPLE = """Only this machine can see the preview, unless --host names another of its addresses.

examples:
  benchleaf preview
  benchleaf preview procedures/rc-48/no-drive.yaml
  benchleaf preview --port 0
"""
_PORT = 8321
_EVERYWHERE = ("0.0.0.0", "::", "")


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument("path", nargs="?", metavar="PATH", help="a procedure to begin with (default: the list of all)")
    parser.add_argument(
        "--port", type=_port, default=_PORT, help=f"where to listen (default: {_PORT}; 0: any free one)"
    )
    parser.add_argument("--host", metavar="ADDRESS", default="127.0.0.1", help="the address to listen at")
    parser.add_argument("--theme", metavar="NAME", default="daylight", help="how documents look (default: daylight)")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    if asked.host in _EVERYWHERE:
        raise UsedWrongly("--host needs one address of this machine, under which others may name it.")
    root, paths = work.workspace([asked.path] if asked.path else [])
    page = _page(root, paths[0]) if paths else ""

    from benchleaf.edge.preview.serve import listen, serve

    try:
        bound = listen(asked.host, asked.port)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise NotDone(f"port {asked.port} of {asked.host} can't be had ({reason}); --port takes another.") from error
    host = f"[{asked.host}]" if ":" in asked.host else asked.host
    console.put(f"http://{host}:{bound.getsockname()[1]}/{page}\n")
    console.out.flush()
    console.say("open this address in a browser; Ctrl+C ends the preview.")
    try:
        serve(root, bound, asked.theme, work.today)
    except RenderFault as fault:
        raise NotDone(f"{fault}.") from fault
    except KeyboardInterrupt:
        # The way to end it.
        return CLEAN
    return CLEAN


def _page(root: Path, path: Path) -> str:
    parts = path.relative_to(root).parts
    if len(parts) != 3 or parts[0] != "procedures" or path.suffix != ".yaml" or path.stem == "machine":
        raise UsedWrongly(f"{path} is no procedure; without a path the preview begins with the list of all.")
    return f"{parts[1]}/{path.stem}"


def _port(text: str) -> int:
    if not text.isdecimal() or int(text) > 65535:
        raise ArgumentTypeError(f"`{text}` is no port from 0 to 65535")
    return int(text)
