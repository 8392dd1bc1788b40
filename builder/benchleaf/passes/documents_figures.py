"""Pictures: the file is there and readable, its words say what it shows, its numbers have no gap."""

from collections.abc import Iterator, Mapping
from posixpath import basename, normpath, splitext

from benchleaf.base.finding import Finding
from benchleaf.model.machine import Machine
from benchleaf.model.nearest import nearest
from benchleaf.model.procedure import FigureUse
from benchleaf.passes import documents_rules as rules
from benchleaf.passes.base import Asset

FEWEST_WORDS = 3


def of_figure(figure: FigureUse, assets: Mapping[str, Asset], folder: str) -> Iterator[Finding]:
    """Everything that is wrong with one picture; `folder` is the machine's, from the root of the workspace."""
    path = path_in(folder, figure.file.name)
    asset = assets.get(path)
    if asset is None:
        near = nearest(path, assets)
        sentence = f"The machine's folder has no picture `{path}`{near.clause}."
        yield rules.FIGURE_MISSING.at(figure.file.span, sentence, change=near.meant)
    elif asset.fault:
        yield rules.FIGURE_UNREADABLE.at(figure.file.span, f"The picture `{path}` {asset.fault}.")
    yield from _alt(figure)
    yield from _callouts(figure)


def of_machine(machine: Machine, assets: Mapping[str, Asset]) -> Iterator[Finding]:
    """Everything that is wrong with the figure of a machine; one without call-outs shows no isolator on purpose."""
    figure = machine.figure
    if figure is None:
        return
    yield from of_figure(figure, assets, machine.span.file.rpartition("/")[0])
    shown = {words.text for words in figure.callouts.values()}
    needed = dict.fromkeys(s.condition.name for energy in machine.energy.values() for s in energy.isolate)
    missing = [name for name in needed if name not in shown]
    if shown and missing:
        names = ", ".join(f"`{name}`" for name in missing)
        sentence = f"The figure of the machine has no number at {names}, by which its energies are isolated."
        yield rules.ISOLATOR_NOT_SHOWN.at(figure.file.span, sentence)


def path_in(folder: str, file: str) -> str:
    """A picture's path from the machine's folder; one that leads out of it and back in is made straight."""
    straight = normpath(f"{folder}/{file}")
    return straight.removeprefix(f"{folder}/")


def _alt(figure: FigureUse) -> Iterator[Finding]:
    alt = figure.alt.text.strip()
    stem, ending = splitext(basename(figure.file.name))
    if alt.lower().endswith(ending.lower()) or _letters(alt) == _letters(stem):
        yield rules.ALT_SAYS_NOTHING.at(figure.alt.span, "The words for the picture are only the name of its file.")
    elif len(alt.split()) < FEWEST_WORDS:
        yield rules.ALT_SAYS_NOTHING.at(figure.alt.span, f"`{alt}` does not say what the picture shows.")


def _letters(text: str) -> str:
    return "".join(letter for letter in text.lower() if letter.isalnum())


def _callouts(figure: FigureUse) -> Iterator[Finding]:
    numbers = [int(key) for key in figure.callouts]
    missing = [number for number in range(1, max(numbers, default=0) + 1) if number not in numbers]
    if missing:
        last = tuple(figure.callouts.values())[-1]
        several = len(missing) > 1
        listed = ", ".join(str(number) for number in missing)
        sentence = f"The call-out{'s' if several else ''} {listed} {'are' if several else 'is'} missing."
        yield rules.CALLOUTS_WITH_GAP.at(last.span, sentence)
