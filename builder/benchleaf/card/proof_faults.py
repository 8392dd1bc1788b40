"""Points 5 and 8 where circuits and meters come in: leads left in current sockets, and faults that bridge a break."""

from collections.abc import Iterator

from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import Sheet, Step, words
from benchleaf.card.proof_walk import explore, path_to

BRIDGED = frozenset({"short", "closed"})


def lead_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Probes on voltage, or on anything but current, while the leads may still be in the meter's current sockets."""
    if not any(_current(step) for step in sheet.steps):
        return

    def onward(index: int, shorting: bool) -> Iterator[tuple[str, int, bool]]:
        if index < len(sheet.steps):
            step = sheet.steps[index]
            after = (shorting or _current(step)) and not step.leads
            for way in step.ways:
                yield way.side, way.target, after

    seen = explore(sheet.total, [False], onward)
    for step in sheet.steps:
        if True in seen[step.at] and step.nearness == "probe" and step.measure and not _current(step):
            sentence = "The leads may still be in the current sockets of the meter."
            yield at_step(sheet, 5, step.at, sentence, path_to(seen, step.at, True))


def _current(step: Step) -> bool:
    return step.nearness == "probe" and step.measure.endswith("-current")


def fault_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Listed faults with which an energy stays alive behind an open break: they bridge all its switches."""
    for fault, changes in sheet.faults.items():
        bridged = {element for element, state in changes.items() if state in BRIDGED}
        for key, energy in sheet.energies.items():
            for name, value in energy.isolate:
                switches = {
                    element
                    for element, cases in sheet.switches.items()
                    if cases and all(any(by == name and value not in values for by, values in case) for case in cases)
                }
                if switches and switches <= bridged:
                    sentence = f"With the fault {words(fault)} the {energy.name} stays alive behind the {words(name)}."
                    yield Doubt(8, "", 0, key, sentence)
