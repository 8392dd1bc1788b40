"""A fault: why a text is not read as a quantity, as a value that knows which part of the text to point at."""

from typing import NamedTuple

LONGEST = 80
MOST_DIGITS = 15
FAULT_CODES = (
    "empty",  # nothing stands there
    "too-long",  # more than any quantity has
    "bare-number",  # no unit
    "no-number",  # words, or a unit alone
    "number-form",  # digits written in a way that is not read: 05, .5, 0x1F, two signs, other digits
    "decimal-comma",  # 10,5 V
    "thousands",  # 1,500,000 V, 1 500 V, 1'500 V
    "exponent",  # 4.2e3 V
    "not-finite",  # nan V, inf V
    "fraction",  # 1/2 in
    "thread",  # 1/2-13 UNC, M10x1.5
    "wire-gauge",  # 14 AWG
    "range",  # 1..8 V, 5 V to 10 V
    "tolerance",  # 5 V ± 0.1 V, < 5 V
    "several",  # 5 ft 6 in
    "unknown-unit",  # 24 v, 5 Kohm, 3 smoots
    "wrong-dimension",  # 5 V where a resistance is due
    "no-space",  # 24V: advice, it is read
    "accuracy",  # not of the form 0.5 % + 2 digits
    "gas-current",  # not of the form 7 A per 100 Ah
)


class Fault(NamedTuple):
    """Why a text is not read: one of `FAULT_CODES`, the sentence, the cure, and the part of `text` to point at.

    `change` is the replacement of exactly that part; None where there is no right one or more than one.
    """

    code: str
    sentence: str
    mend: str
    text: str
    offset: int
    length: int
    change: str | None = None


def pointed(
    code: str, sentence: str, text: str, start: int, end: int, change: str | None = None, mend: str = ""
) -> Fault:
    """A fault that points at text[start:end]; the mend says what the text becomes where there is a `change`."""
    if change is not None:
        mend = f"Write `{text[:start]}{change}{text[end:]}`."
    return Fault(code, sentence, mend, text, start, end - start, change)


def within(fault: Fault, text: str, start: int) -> Fault:
    """A fault found in a part of a text that begins at `start`, told of the whole text."""
    first = start + fault.offset
    return pointed(fault.code, fault.sentence, text, first, first + fault.length, fault.change, fault.mend)
