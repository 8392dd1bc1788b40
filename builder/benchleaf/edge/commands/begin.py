"""`benchleaf begin`: a new workspace with one machine and one procedure that builds."""

import os
from argparse import ArgumentParser, Namespace
from pathlib import Path

from benchleaf.edge.console import CLEAN, NOT_DONE, Console, NotDone

_EXAMPLE = """Nothing that exists is overwritten: files that stand in the way are listed, and nothing is written.

example:
  benchleaf begin workshop
"""

# What is written, and the template that it is made from.
_FILES = (
    ("procedures/shop.yaml", "shop.yaml"),
    ("procedures/common/README.md", "common.md"),
    ("procedures/df-1/machine.yaml", "machine.yaml"),
    ("procedures/df-1/filter-clean.yaml", "filter-clean.yaml"),
    ("out/.gitignore", "gitignore"),
)


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument("dir", metavar="DIR", help="the folder of the workspace; it is made if it does not exist")


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    from benchleaf.build.faults import Unwritable
    from benchleaf.build.write import exchange

    root = Path(os.path.abspath(asked.dir))
    files = _contents()
    clashes = [name for name in files if os.path.lexists(root / name)]
    if clashes:
        console.say(f"nothing was written, since these exist in {asked.dir} already:")
        console.err.write("".join(f"  {name}\n" for name in clashes))
        return NOT_DONE
    try:
        with exchange(root) as waiting:
            for name, text in files.items():
                waiting.put(name, text.encode())
    except Unwritable as error:
        raise NotDone(f"{error}.") from error
    console.put("".join(f"{name}\n" for name in files))
    console.say(f"a workspace stands in {asked.dir}; go there and try `benchleaf check`, then `benchleaf build`.")
    return CLEAN


def _contents() -> dict[str, str]:
    from benchleaf.base.resources import schema_names, schema_text, table_text

    files = {name: table_text("edge/templates", template) for name, template in _FILES}
    # Beside the workspace rather than on a server, so that an editor explains fields without a network.
    files |= {f".benchleaf/schema/{name}.schema.json": schema_text(name) for name in schema_names()}
    return files
