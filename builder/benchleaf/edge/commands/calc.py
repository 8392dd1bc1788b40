"""`benchleaf calc`: the numbers that the checks reckon with, one at a time."""

from argparse import ArgumentParser, Namespace
from collections.abc import Sequence

from benchleaf.edge.calc import complaint, show
from benchleaf.edge.calc.answers import answer
from benchleaf.edge.calc.catalogue import Calculation, calculations
from benchleaf.edge.calc.complaint import Complaint, Misfit
from benchleaf.edge.calc.reading import read
from benchleaf.edge.console import CLEAN, USED_WRONGLY, Console, UsedWrongly
from benchleaf.model.nearest import nearest

_EXAMPLE = """examples:
  benchleaf calc
  benchleaf calc torque --help
  benchleaf calc torque thread=M10x1.5 class=8.8 friction=0.16
  benchleaf calc convert value=36 ft to=m
  benchleaf calc wire-drop gauge=14 AWG length=12 m current=10 A unit.resistance=mohm --format json
"""


def options(parser: ArgumentParser) -> None:
    """See `edge.cli.Command`."""
    parser.epilog = _EXAMPLE
    parser.add_argument("name", nargs="?", metavar="NAME", help="what to calculate; without: list all")
    parser.add_argument("words", nargs="*", metavar="KEY=VALUE", help="values with their units")
    parser.add_argument("--format", choices=("text", "json"), default="text", help="how results are written")


def manual(parser: ArgumentParser, words: Sequence[str]) -> str:
    """See `edge.cli.Command`: the help of the calculation that is named."""
    named = next((word for word in words if not word.startswith("-")), None)
    return parser.format_help() if named is None else show.manual(_named(named))


def run(asked: Namespace, console: Console) -> int:
    """See `edge.cli.Command`."""
    if asked.name is None:
        console.put(show.listing())
        return CLEAN
    calculation = _named(asked.name)
    found = read(calculation, asked.words)
    complaints = found.complaints
    if not complaints:
        try:
            done = answer(calculation, found.given, found.units)
        except Misfit as misfit:
            texts = {**found.given.texts, **{f"unit.{key}": text for key, text in found.units.items()}}
            complaints = (_at(misfit, texts),)
        else:
            console.put(show.as_json(done) if asked.format == "json" else show.as_text(done))
            return CLEAN
    console.err.write(complaint.told(complaints))
    return USED_WRONGLY


def _at(misfit: Misfit, texts: dict[str, str]) -> Complaint:
    if misfit.key in texts:
        return complaint.of_value(str(misfit), misfit.key, texts[misfit.key], misfit.mend)
    return Complaint(str(misfit), misfit.mend)


def _named(name: str) -> Calculation:
    if name in calculations():
        return calculations()[name]
    near = nearest(name, calculations()).names
    hint = f"did you mean `{near[0]}`?" if near else f"there are {', '.join(calculations())}."
    raise UsedWrongly(f"no calculation is called `{name}`; {hint}")
