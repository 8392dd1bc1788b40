"""The command line's front door: finds the command named first, loads it alone, and turns every end into an exit code.

Exit codes: 0 clean, 1 errors found (with --strict warnings too), 2 used wrongly, 3 something could not be read or
written, 70 a fault of benchleaf itself, 130 interrupted, 141 nobody reads the output any more.
"""

import atexit
import gc
import os
import sys
from argparse import ArgumentParser, Namespace, RawDescriptionHelpFormatter
from collections.abc import Sequence
from difflib import get_close_matches
from importlib import import_module
from typing import NoReturn, Protocol, cast

from benchleaf import __version__
from benchleaf.edge import console as streams
from benchleaf.edge.console import Console, NotDone, UsedWrongly

COMMANDS = (
    ("begin", "lay out a new workspace: a shop, a machine and a first procedure"),
    ("check", "hold procedures against their machines and say what is wrong, where, and what mends it"),
    ("explain", "say why a kind of finding matters, with a bad and a good example"),
    ("build", "check, then make the bench cards (PDF), checklists (HTML) and the sheets around them"),
    ("picking", "list what to take along for one job or several: tools, parts, supplies, locks"),
    ("preview", "show cards, checklists and findings in a browser, anew with every save"),
    ("uses", "list everything that a name touches: steps, limits, fasteners, procedures; before it is changed"),
    ("compare", "say what changed in meaning between two revisions or files, what touches safety first"),
    ("sign", "sign a card as ready, reviewed, approved, returned or withdrawn; make keys, sign the list of people"),
    ("verify", "say whether a card, checklist, signature, record or short code is current, superseded or altered"),
    ("calc", "reckon torque, preload, units, guard bands, ventilation, wire, lifting … as the checks do"),
)

_HELP = """usage: benchleaf COMMAND [OPTIONS] …

Compiles repair procedures into bench cards and checklists, and holds them against the machine.

commands:
{commands}

options:
  -h, --help   print this, or after a command all about that command
  --version    print the version
  --debug      show where in the program a fault of benchleaf itself arose
  --no-input   never ask anything; what is not said on the command line is then refused

exit codes:
  0 clean   1 errors found   2 used wrongly   3 something could not be read or written
  70 a fault of benchleaf itself   130 interrupted   141 the reader of the output has gone

example:
  benchleaf begin workshop && cd workshop && benchleaf build
"""


class Command(Protocol):
    """What a module of `edge/commands` offers; it may also offer `manual(parser, rest)`, a help of its own."""

    def options(self, parser: ArgumentParser) -> None:
        """Declare the command's own arguments; `parser.epilog` holds its example."""

    def run(self, asked: Namespace, console: Console) -> int:
        """Do the work; the exit code. Raises NotDone or UsedWrongly with a sentence for the user."""


class _Parser(ArgumentParser):
    def error(self, message: str) -> NoReturn:
        raise UsedWrongly(f"{message} (`{self.prog} --help` says what it takes)")


def main(arguments: Sequence[str] | None = None) -> int:
    """Run a command line (without the program's name) and return the exit code; never raises."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    console = streams.console(os.environ)._replace(asks="--no-input" not in given)
    collecting = gc.isenabled()
    # A run is short and makes next to no circles: looking for them costs a tenth of its time, and as much again at
    # the end of the process, where nothing is left to gain by it.
    gc.disable()
    atexit.register(gc.freeze)
    try:
        try:
            return _run(given, console)
        finally:
            console.out.flush()
            if collecting:
                gc.enable()
    except UsedWrongly as error:
        return _told(console, str(error), streams.USED_WRONGLY)
    except NotDone as error:
        return _told(console, str(error), streams.NOT_DONE)
    except KeyboardInterrupt:
        return streams.INTERRUPTED
    except BrokenPipeError:
        _let_go(console)
        return streams.NOBODY_READS
    except OSError as error:
        # Files are told by the rooms that touch them: what is left is the output itself, on a full disk for instance.
        _let_go(console)
        name = f" ({os.fsdecode(error.filename)})" if error.filename else ""
        return _told(console, f"the system refused: {(error.strerror or str(error)).lower()}{name}.", streams.NOT_DONE)
    # The last resort: whatever a user does must end in a sentence, and only our own slips come this far.
    except Exception as error:  # noqa: BLE001
        return _own_fault(error, console, debug="--debug" in given)


def _run(given: list[str], console: Console) -> int:
    words = [word for word in given if word not in ("--debug", "--no-input")]
    if not words:
        console.err.write(_help())
        return streams.USED_WRONGLY
    name, rest = words[0], words[1:]
    if name in ("-h", "--help"):
        console.put(_help())
        return streams.CLEAN
    if name == "--version":
        console.put(f"benchleaf {__version__}\n")
        return streams.CLEAN
    helps = dict(COMMANDS)
    if name not in helps:
        raise UsedWrongly(_unknown(name, list(helps)))
    command = cast(Command, import_module(f"benchleaf.edge.commands.{name}"))
    parser = _Parser(
        prog=f"benchleaf {name}",
        description=f"{helps[name][0].upper()}{helps[name][1:]}.",
        formatter_class=RawDescriptionHelpFormatter,
        allow_abbrev=False,
        add_help=False,
    )
    parser.add_argument("-h", "--help", action="store_true", help="print this")
    command.options(parser)
    if "-h" in rest or "--help" in rest:
        manual = getattr(command, "manual", None)
        console.put(manual(parser, rest) if manual else parser.format_help())
        return streams.CLEAN
    # Options may stand between the other arguments.
    return command.run(parser.parse_intermixed_args(rest), console)


def _help() -> str:
    return _HELP.format(commands="\n".join(f"  {name:<9}{line}" for name, line in COMMANDS))


def _unknown(name: str, known: list[str]) -> str:
    if name.startswith("-"):
        return f"there is no option `{name}` before the command (`benchleaf --help` lists all)"
    near = get_close_matches(name, known, 1)
    hint = f"; did you mean `{near[0]}`?" if near else f"; the commands are {', '.join(known)}."
    return f"there is no command `{name}`{hint}"


def _told(console: Console, sentence: str, code: int) -> int:
    try:
        console.say(sentence)
    except OSError:
        # Nobody listens; the exit code still says it.
        return code
    return code


def _let_go(console: Console) -> None:
    """Point standard output at nothing, or the interpreter would complain at its end that it cannot be flushed."""
    if console.out is sys.stdout and console.out is sys.__stdout__:
        os.dup2(os.open(os.devnull, os.O_WRONLY), console.out.fileno())


def _own_fault(error: Exception, console: Console, *, debug: bool) -> int:
    if debug:
        sys.__excepthook__(type(error), error, error.__traceback__)
    where = "".join(f", {note}" for note in getattr(error, "__notes__", ()))
    sentence = (
        f"a fault of benchleaf itself stopped it ({type(error).__name__}{where}); files already in place are whole. "
        "Please report it with what the same command prints when `--debug` is added."
    )
    return _told(console, sentence, streams.OWN_FAULT)
