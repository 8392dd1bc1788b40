"""The class of machines that a card is for, as plain data, and what it rests on that the class does not have."""

from benchleaf.card.model import MachineClass, OptionValues, SerialRange
from benchleaf.model.machine import Machine
from benchleaf.model.variant import Variant, line
from benchleaf.passes.base import Case
from benchleaf.safety.naming import energy_name, listed
from benchleaf.safety.sentences import say


def machine_class(variant: Variant, machine: Machine) -> MachineClass:
    """The class as a card carries it."""
    own = machine.serials
    ranges = tuple(
        SerialRange(
            own.prefix,
            "" if low == 0 and own.from_ is None else str(low),
            "" if high is None else str(high),
        )
        for low, high in variant.serials or (line(machine),)
    )
    return MachineClass(variant.key, variant.text, ranges, tuple(OptionValues(*each) for each in variant.options))


def lacking(case: Case) -> tuple[str, ...]:
    """That these machines do not have the energies which the machine file gives to others alone."""
    if case.written is None:
        return ()
    others = case.written.machine
    names = [energy_name(others, key) for key in others.energy if key not in case.machine.energy]
    return (say("rests-lacks", names=listed(names)),) if names else ()
