"""Point 7: the steps of the writer are all there, word for word, in order, and what goes together is not parted."""

from collections.abc import Iterator, Sequence

from benchleaf.card.proof_doubts import Doubt, at_step
from benchleaf.card.proof_facts import Sheet


def text_doubts(sheet: Sheet, written: Sequence[tuple[str, str]]) -> Iterator[Doubt]:
    """Written steps (key, command) that are missing, moved or changed, and others that nobody wrote."""
    found = {step.key: step for step in sheet.steps if not step.role}
    commands = dict(written)
    for key, command in written:
        if key not in found:
            yield Doubt(7, key, 0, "", f"The written step `{key}` is not on the card.")
        elif found[key].command != command:
            yield at_step(sheet, 7, found[key].at, "The step does not say what the writer wrote.")
    for key, step in found.items():
        if key not in commands:
            yield at_step(sheet, 7, step.at, "Nobody wrote this step.")
    order = [key for key, _ in written if key in found]
    printed = [key for key in found if key in commands]
    for meant, stands in zip(order, printed, strict=False):
        if meant != stands:
            yield at_step(sheet, 7, found[stands].at, f"The step stands where the writer put `{meant}`.")
            break


def together_doubts(sheet: Sheet) -> Iterator[Doubt]:
    """Steps that must be followed at once by the next written one, and are not."""
    for step in sheet.steps:
        if step.together and not step.role:
            after = sheet.steps[step.at + 1] if step.at + 1 < len(sheet.steps) else None
            if after is None or after.role or not any(way.target == after.at for way in step.ways):
                yield at_step(
                    sheet, 7, step.at, "Something stands between this step and the one it goes together with."
                )
