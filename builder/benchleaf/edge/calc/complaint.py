"""What is wrong with the arguments of a calculation, as values and as text for standard error."""

from collections.abc import Sequence
from typing import NamedTuple

from benchleaf.edge.console import visible
from benchleaf.model.quantity import Fault
from benchleaf.model.quantity_rules import rule_of
from benchleaf.trade.unread import Unread


class Complaint(NamedTuple):
    """One thing that is wrong: a sentence, its cure, and the argument with the part of it to point at."""

    sentence: str
    mend: str = ""
    argument: str = ""
    offset: int = 0
    length: int = 0
    slug: str = ""


class Misfit(Exception):
    """Values that are each read but do not go together; `key` says at which to point."""

    def __init__(self, key: str, sentence: str, mend: str = "") -> None:
        """With the key, a sentence and its cure."""
        super().__init__(sentence)
        self.key = key
        self.mend = mend


def of_fault(fault: Fault, key: str, text: str) -> Complaint:
    """A quantity's fault, told of the argument `key=text`."""
    argument = f"{key}={text}"
    return Complaint(
        fault.sentence, fault.mend, argument, len(key) + 1 + fault.offset, fault.length, rule_of(fault.code).slug
    )


def of_unread(unread: Unread, key: str, text: str) -> Complaint:
    """A designation that no table holds."""
    return of_value(unread.sentence, key, text, unread.mend)


def of_value(sentence: str, key: str, text: str, mend: str = "") -> Complaint:
    """Something wrong with a whole value."""
    return Complaint(sentence, mend, f"{key}={text}", len(key) + 1, len(text))


def of_key(sentence: str, key: str, text: str, mend: str = "") -> Complaint:
    """Something wrong with a key."""
    return Complaint(sentence, mend, f"{key}={text}", 0, len(key))


def told(complaints: Sequence[Complaint]) -> str:
    """All complaints as text, each with its argument, carets below the part that is meant, and the cure."""
    return "".join(_told(complaint) for complaint in complaints)


def _told(complaint: Complaint) -> str:
    slug = f" [{complaint.slug}]" if complaint.slug else ""
    lines = [f"benchleaf: {visible(complaint.sentence)}{slug}"]
    if complaint.argument:
        start, end = complaint.offset, complaint.offset + complaint.length
        gap = " " * len(visible(complaint.argument[:start]))
        carets = "^" * max(1, len(visible(complaint.argument[start:end])))
        lines += [f"    {visible(complaint.argument)}", f"    {gap}{carets}"]
    if complaint.mend:
        lines.append(f"  mend: {visible(complaint.mend)}")
    return "\n".join(lines) + "\n"
