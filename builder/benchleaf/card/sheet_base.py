"""What the sheets around the cards share: the head, the figure of the machine with its numbers, who a thing is for."""

from collections.abc import Mapping
from typing import NamedTuple

from benchleaf import __version__
from benchleaf.base.said import ENGLISH, either, listed, row
from benchleaf.card.classes import machine_class
from benchleaf.card.model import MachineHead
from benchleaf.card.wording import word
from benchleaf.model.applies import Applies, Serials
from benchleaf.model.basics import EMPTY, When
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.machine import Machine
from benchleaf.model.shop import Shop
from benchleaf.model.variant import EVERY, Variant, options_text, serials_text
from benchleaf.safety.naming import condition_name, part_name, spoken
from benchleaf.safety.presence import isolation
from benchleaf.trade.numbers import printed


class SheetHead(NamedTuple):
    """Whose sheet it is and for which machine; `shop` is who prints it, `owner` who answers for the machine file."""

    tool: str
    language: str
    paper: str
    shop: str
    owner: str
    machine: MachineHead


class Shown(NamedTuple):
    """A number in the figure and what it points at; `isolates` tells the isolators from all else."""

    number: str
    text: str
    isolates: bool


class MachineFigure(NamedTuple):
    """The machine as a whole: path from the machine's folder, digest of the bytes, alternative text, numbers."""

    file: str
    digest: str
    alt: str
    callouts: tuple[Shown, ...]


def sheet_head(machine: Machine, shop: Shop, variant: Variant = EVERY) -> SheetHead:
    """The head of every sheet of one machine, or of one class of its machines."""
    mass = printed(machine.mass.quantity, shop.units) if machine.mass else ""
    return SheetHead(
        tool=__version__,
        language=ENGLISH.language,
        paper=shop.paper,
        shop=shop.name.text,
        owner=machine.owner.text if machine.owner else "",
        machine=MachineHead(
            machine.id.name,
            machine.name.text,
            machine.maker.text,
            serials_text(variant, machine),
            mass,
            options_text(variant),
            machine_class(variant, machine),
        ),
    )


def machine_figure(machine: Machine, digests: Mapping[str, str] = EMPTY) -> MachineFigure | None:
    """The figure of the machine; `digests` are those of the pictures by the name under which they are shown."""
    figure = machine.figure
    if figure is None:
        return None
    isolating = isolating_names(machine)
    shown = tuple(
        Shown(number, _called(machine, words.text), words.text in isolating)
        for number, words in sorted(figure.callouts.items(), key=lambda pair: int(pair[0]))
    )
    return MachineFigure(figure.file.name, digests.get(figure.file.name, ""), figure.alt.text, shown)


def isolating_names(machine: Machine) -> frozenset[str]:
    """The conditions and things by which some energy of the machine is isolated."""
    return frozenset(setting.condition.name for key in machine.energy for setting in isolation(machine, key))


def figure_numbers(machine: Machine) -> dict[str, str]:
    """The number in the figure of each condition, thing, part and indicator that has one."""
    return {words.text: number for number, words in machine.figure.callouts.items()} if machine.figure else {}


def only_for(applies: Applies | None, machine: Machine) -> str:
    """For which serial numbers and options of a machine something holds, in words; empty where it holds for all."""
    if applies is None:
        return ""
    ranges = either([_range(each, machine.serials.prefix) for each in applies.serials])
    options = when_words(applies.options)
    return row((word("sheet", "serials", ranges=ranges) if ranges else "", options), ", ")


def when_words(when: When, name: Mapping[str, str] = EMPTY) -> str:
    """Any of the cases, each with all its tests, as `platform: raised`; `name` gives better names of conditions."""
    cases = []
    for case in when:
        tests = [
            row(
                (
                    name.get(test.condition.name) or spoken(test.condition.name),
                    either([spoken(value.name) for value in test.values]),
                ),
                ": ",
            )
            for test in case
        ]
        cases.append(listed(tests))
    return either(cases)


def _range(each: Serials, usual: str) -> str:
    prefix = each.prefix or usual
    first = f"{prefix}{each.from_}" if each.from_ is not None else ""
    last = f"{prefix}{each.to}" if each.to is not None else ""
    form = "serials-both" if first and last else "serials-from" if first else "serials-to" if last else "serials-all"
    return word("sheet", form, first=first, last=last, prefix=prefix)


def _called(machine: Machine, text: str) -> str:
    if text in machine.conditions or text in machine.things:
        return condition_name(machine, text)
    if text in machine.parts:
        return part_name(machine, text)
    if text in machine.indicators:
        indicator = machine.indicators[text]
        return indicator.name.text if indicator.name else spoken(text)
    # A name that is none is that of something which other machines of the file have.
    return word("sheet", "not-there") if "-" in text and is_identifier(text) else text
