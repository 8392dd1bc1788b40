"""What is wrong with a text that is no quantity, in the trade's words and with the right spelling where it is known.

Only reached when the strict grammar of `quantity` has refused a text, so nothing here needs to be quick; patterns
are compiled when they are first needed.
"""

import re
from collections.abc import Callable

from benchleaf.model import number_faults
from benchleaf.model.fault import LONGEST, MOST_DIGITS, Fault, pointed
from benchleaf.model.units import find, nearest, usual_unit


def why_not(text: str, dimension: str | None) -> Fault:
    """The first fault found in a text that the grammar refused."""
    for check in _CHECKS:
        fault = check(text, dimension)
        if fault is not None:
            return fault
    return _no_number(text)


def _no_number(text: str) -> Fault:
    sentence = f"`{text.strip()}` does not begin with a number."
    return pointed("no-number", sentence, text, 0, len(text), mend="Write digits and a unit, as in `42 N·m`.")


def _size(text: str, dimension: str | None) -> Fault | None:
    if not text.strip():
        return Fault(
            "empty", "No quantity stands here.", "Write digits and a unit, as in `42 N·m`.", text, 0, len(text)
        )
    if len(text) > LONGEST:
        sentence = f"The text of {len(text)} characters is too long for a quantity."
        return Fault("too-long", sentence, "Write digits and a unit, as in `42 N·m`.", text, 0, LONGEST)
    digits = re.search(rf"[0-9]{{{MOST_DIGITS + 1},}}", text)
    if digits:
        sentence = f"A number of {len(digits[0])} digits in a row is no measured value."
        mend = "Use a unit of a fitting size and the digits that count."
        return pointed("too-long", sentence, text, *digits.span(), mend=mend)
    return None


def _thread(text: str, dimension: str | None) -> Fault | None:
    found = re.match(
        r"\s*(M[0-9.]+(\s*[x×]\s*[0-9.]+)?|#?[0-9]+(/[0-9]+)?-[0-9]+(\s*(UN[CFSREJ]{0,2}|NPTF?|BS[WF]))?)\s*$", text
    )
    if not found or (re.fullmatch(r"\s*[0-9]+-[0-9]+\s*", text) and not re.search(r"[A-Z]", text)):
        return None
    mend = "A thread stands in a field `thread`; here a number and a unit are due."
    return pointed("thread", f"`{text.strip()}` is a thread, not a quantity.", text, 0, len(text), mend=mend)


def _wire_gauge(text: str, dimension: str | None) -> Fault | None:
    found = re.match(r"\s*[0-9]+(/0)?\s*(AWG|SWG|ga|gauge)\b", text, re.IGNORECASE)
    if not found:
        return None
    mend = "A gauge stands in a field `gauge`; an area is written as `2.5 mm²`."
    return pointed(
        "wire-gauge", f"`{found[0].strip()}` is a wire gauge, not a quantity.", text, *found.span(), mend=mend
    )


def _tolerance(text: str, dimension: str | None) -> Fault | None:
    found = re.search(r"±|\+/-|\+-|[<>≤≥=~≈]|^\s*(ca|approx|about|max|min|at least|at most)\b\.?(?=\s*[0-9])", text)
    if not found:
        return None
    mend = "Write one number; bounds stand in `low` and `high`, a tolerance in `tolerance`."
    return pointed("tolerance", f"`{found[0]}` makes this more than one number.", text, *found.span(), mend=mend)


def _range(text: str, dimension: str | None) -> Fault | None:
    found = re.search(
        r"(?<=[0-9])\s*(\.\.+|…|[–—]|-(?=\s*[0-9]))|\s(to|bis)\s|(?<=\S)\s*(\.\.\.?|…|[–—])\s*(?=[0-9])", text
    )
    if not found:
        return None
    mend = "Write one number; the two ends of a band stand in `low` and `high`."
    return pointed("range", f"`{text.strip()}` is a range, not one quantity.", text, *found.span(), mend=mend)


def _of_each(text: str, dimension: str | None) -> Fault | None:
    """`2.12 V per cell`, `36 N·m/bolt`: a unit carries nothing about the thing (SI Brochure, 9th edition, 5.4.2)."""
    found = re.match(
        r"\s*[+\-−]?[0-9.]+\s*(\S.*?)(\s*(?:/|\bper\s+)\s*(?P<of>bolt|screw|nut|stud|cell|block|battery)s?|\s+each)\s*$",
        text,
    )
    if not found or not find(found[1]):
        return None
    sentence = f"`{found[2].strip()}` is no part of a unit."
    if found["of"] in ("cell", "block", "battery"):
        one = text[: found.start(2)].strip()
        mend = (
            f"Write `{one}` where one {found['of']} is read, with `each` in the step; else the voltage of all of them."
        )
        if find(found[1], "voltage") is None:
            mend = f"Write `{one}`; the field says what it is of."
        return pointed("unknown-unit", sentence, text, *found.span(2), mend=mend)
    return pointed("unknown-unit", sentence, text, *found.span(2), change="")


def _unit(text: str, dimension: str | None) -> Fault | None:
    """The number is right: its unit is missing, or not known."""
    if find(text.strip()):
        return _no_number(text)
    found = re.match(r"\s*[+\-−]?([0-9]+(?:\.[0-9]+)?)\s*", text)
    if not found:
        return None
    start, name = found.end(), text[found.end() :].rstrip()
    if not name:
        example = usual_unit(dimension).symbol if dimension else "V"
        mend = f"Write the unit behind it, as in `{found[0].strip()} {example}`."
        return pointed("bare-number", f"The number `{found[0].strip()}` has no unit.", text, *found.span(1), mend=mend)
    if find(name):
        sentence = "What stands between the number and the unit is no space."
        return pointed("number-form", sentence, text, found.end(1), start, change=" ")
    second = re.search(r"(?<=[\s\W])[0-9]+(?:\.[0-9]+)?\s*\S+$", name)
    if second and find(name[: second.start()].strip()):
        sentence = f"`{text.strip()}` is more than one quantity."
        return pointed(
            "several", sentence, text, start + second.start(), start + len(name), mend="Write it in one unit."
        )
    return _unknown(text, start, name, dimension)


def _unknown(text: str, start: int, name: str, dimension: str | None) -> Fault:
    bare = name.rstrip(".,;:")
    near = (bare,) if find(bare) else nearest(name, dimension) or nearest(name)
    sentence = f"`{name}` is not a unit that is read here"
    if any(other.casefold() == name.casefold() for other in near):
        sentence += "; capital and small letters are different units"
    if len(near) == 1:
        gap = "" if text[start - 1].isspace() or near[0] == "°" else " "
        return pointed("unknown-unit", sentence + ".", text, start, start + len(name), change=gap + near[0])
    mend = "Write one of " + ", ".join(f"`{other}`" for other in near) + "." if near else ""
    if not mend:
        mend = f"Write the value in `{usual_unit(dimension).symbol}`." if dimension else "Write an SI unit."
    return pointed("unknown-unit", sentence + ".", text, start, start + len(name), mend=mend)


_CHECKS: tuple[Callable[[str, str | None], Fault | None], ...] = (
    _size,
    number_faults.other_digits,
    number_faults.not_finite,
    _thread,
    _wire_gauge,
    _tolerance,
    number_faults.component_code,
    number_faults.exponent,
    number_faults.fraction,
    _range,
    number_faults.separators,
    number_faults.number_form,
    _of_each,
    _unit,
)
