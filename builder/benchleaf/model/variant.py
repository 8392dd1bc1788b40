"""A class of machines of one file: which serial numbers and options belong to it, and whether something is for it."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, product
from typing import NamedTuple

from benchleaf.base.said import either, fill, row
from benchleaf.model.applies import Applies, Serials
from benchleaf.model.machine import Machine

# First and last number; None goes on upwards.
Range = tuple[int, int | None]


class Variant(NamedTuple):
    """A class of machines.

    `serials` are ranges in rising order; `options` those of which not every value belongs to the class, with the values
    that do. `text` tells people the class (empty: all machines of the file), `key` names its files (empty: there is no
    other class). Without `serials` nothing was cut, and everything holds.
    """

    serials: tuple[Range, ...] = ()
    options: tuple[tuple[str, tuple[str, ...]], ...] = ()
    text: str = ""
    key: str = ""


EVERY = Variant()


def fits(applies: Applies | None, number: int, options: Mapping[str, str], machine: Machine) -> bool:
    """Whether something is for the machine with this serial number and these options.

    What is told as a mistake decides nothing: ranges that run backwards, options and values that nobody declares.
    """
    if applies is None:
        return True
    forwards = not all(map(_backwards, applies.serials))
    if forwards and not any(within(number, each) for each in ranges_of(applies, machine)):
        return False
    return not applies.options or any(
        all(
            options.get(test.condition.name) in [value.name for value in test.values]
            for test in case
            if _known(test.condition.name, [value.name for value in test.values], machine)
        )
        for case in applies.options
    )


def holds(applies: Applies | None, variant: Variant, machine: Machine) -> bool:
    """Whether something that the class was cut by is for its machines: one of them answers for all."""
    if applies is None or not variant.serials:
        return True
    return fits(applies, variant.serials[0][0], _first_options(variant, machine), machine)


def holds_for_all(applies: Applies | None, variant: Variant, machine: Machine) -> bool:
    """Whether something is for every machine of a class, whatever the class was cut by."""
    return applies is None or all(_answers(applies, variant, machine))


def holds_for_some(applies: Applies | None, variant: Variant, machine: Machine) -> bool:
    """Whether something is for at least one machine of a class, whatever the class was cut by."""
    return applies is None or any(_answers(applies, variant, machine))


def _answers(applies: Applies, variant: Variant, machine: Machine) -> Iterator[bool]:
    """Whether something is for them, for each sort of machines that it tells apart in the class."""
    ranges = variant.serials or (line(machine),)
    numbers = {low for low, _ in ranges}
    for low, high in ranges_of(applies, machine):
        edges = (low, low if high is None else high + 1)
        numbers.update(edge for edge in edges if any(within(edge, each) for each in ranges))
    named, allowed = options_named((applies,), machine), dict(variant.options)
    values = [allowed.get(name) or option_values(machine, name) for name in named]
    return (
        fits(applies, number, dict(zip(named, chosen, strict=True)), machine)
        for number in sorted(numbers)
        for chosen in product(*values)
    )


def line(machine: Machine) -> Range:
    """All serial numbers that the machine file is for."""
    return (machine.serials.from_ or 0, machine.serials.to)


def ranges_of(applies: Applies, machine: Machine) -> Iterator[Range]:
    """The ranges that may hold machines of this file."""
    for each in applies.serials:
        if each.prefix in ("", machine.serials.prefix) and not _backwards(each):
            yield each.from_ or 0, each.to


def within(number: int, each: Range) -> bool:
    """Whether the number lies in the range."""
    return each[0] <= number and (each[1] is None or number <= each[1])


def options_named(marks: Iterable[Applies], machine: Machine) -> tuple[str, ...]:
    """The options of the machine that are named, in the machine file's order."""
    cases = chain.from_iterable(mark.options for mark in marks)
    named = {test.condition.name for case in cases for test in case}
    return tuple(name for name in machine.options if name in named)


def option_values(machine: Machine, name: str) -> tuple[str, ...]:
    """The values of an option in the machine file's order."""
    return tuple(value.name for value in machine.options[name])


def serials_text(variant: Variant, machine: Machine) -> str:
    """The serial numbers of a class for people: `RC48-400 to RC48-699`, `RC48-700 and up`."""
    return either(_range_text(each, machine) for each in variant.serials or (line(machine),))


def options_text(variant: Variant) -> str:
    """The options of a class for people: `heater built-in`; empty where any will do."""
    return row((row((name.replace("-", " "), either(values))) for name, values in variant.options), ", ")


def class_text(variant: Variant, machine: Machine) -> str:
    """What sets a class apart, for people: `RC48-400 to RC48-699, heater built-in`; empty where nothing does."""
    numbers = "" if variant.serials == (line(machine),) else serials_text(variant, machine)
    return row((numbers, options_text(variant)), ", ")


def named_classes(some: Sequence[Variant], most: int = 3) -> str:
    """Several classes for people, as many as `most` by their text."""
    told = [each.text for each in some[:most]]
    if len(some) > most:
        told.append(f"{len(some) - most} more")
    return ", and for ".join(told)


def _backwards(each: Serials) -> bool:
    return each.to is not None and (each.from_ or 0) > each.to


def _known(option: str, values: Iterable[str], machine: Machine) -> bool:
    return option in machine.options and set(values) <= set(option_values(machine, option))


def _first_options(variant: Variant, machine: Machine) -> dict[str, str]:
    limited = dict(variant.options)
    return {name: limited.get(name, option_values(machine, name))[0] for name in machine.options}


def _range_text(each: Range, machine: Machine) -> str:
    prefix, (low, high) = machine.serials.prefix, each
    open_below = machine.serials.from_ is None and low == 0
    if high is None:
        return fill("{first} and up", first=f"{prefix}…" if open_below else f"{prefix}{low}")
    if open_below:
        return fill("{first} to {last}", first=f"{prefix}…", last=f"{prefix}{high}")
    if low == high:
        return f"{prefix}{low}"
    return fill("{first} to {last}", first=f"{prefix}{low}", last=f"{prefix}{high}")
