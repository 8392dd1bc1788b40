"""Written forms made of several quantities: an accuracy, a gassing current for a capacity, a range."""

import re
from decimal import Decimal
from typing import NamedTuple

from benchleaf.model.fault import pointed, within
from benchleaf.model.quantity import DIGITS, Fault, Quantity, fit, parse


class Accuracy(NamedTuple):
    """How far an instrument may be off: ±(`percent` of the reading + `digits` last digits + `fixed`).

    What is not written is 0, or None for `fixed`, which is in the unit of the reading.
    """

    percent: Decimal
    digits: int
    fixed: Quantity | None
    text: str


class GasCurrent(NamedTuple):
    """The current that makes gas at the end of a charge, for a capacity, as in `7 A per 100 Ah`.

    Traction batteries are given in A per 100 A·h and stationary ones in mA per A·h, a factor of ten apart
    (IEC 62485-3 and IEC 62485-2), which is why the unit always stands there.
    """

    current: Quantity
    capacity: Quantity
    text: str

    @property
    def per_100_ah(self) -> Decimal:
        """In A per 100 A·h."""
        return DIGITS.divide(self.current.to("A") * 100, self.capacity.to("A·h"))


class QuantityRange(NamedTuple):
    """From a lower to an upper quantity of one dimension, as in `12 V to 690 V`."""

    low: Quantity
    high: Quantity
    text: str


def parse_accuracy(text: str) -> Accuracy | Fault:
    """Read `0.5 % + 2 digits`, `±(0.5 % + 2 digits)`, `4 %`, `1 % + 5 mV`, `0.4 bar`; each part once at most."""
    # Brackets may stand round the whole, and in a unit, such as dB(A).
    outer = re.fullmatch(r"\s*(?:±\s*)?(?:\((?P<inner>.*)\)|(?P<bare>[^(].*|))\s*", text)
    if outer is None or text.count("(") != text.count(")"):
        return _accuracy_fault(text, 0, len(text), "The brackets do not match.")
    group = "inner" if outer["inner"] is not None else "bare"
    percent, digits, fixed = Decimal(0), 0, None
    seen: set[str] = set()
    start = outer.start(group)
    for part in outer[group].split("+"):
        end = start + len(part)
        read = _accuracy_part(text, start, end)
        if isinstance(read, Fault):
            return read
        kind = "digits" if isinstance(read, int) else "percent" if read.unit.symbol == "%" else "fixed"
        if kind in seen:
            return _accuracy_fault(text, start, end, f"`{part.strip()}` is a second part of the same kind.")
        seen.add(kind)
        if isinstance(read, int):
            digits = read
        elif kind == "percent":
            percent = read.value
        else:
            fixed = read
        start = end + 1
    return Accuracy(percent, digits, fixed, text)


def _accuracy_part(text: str, start: int, end: int) -> Quantity | int | Fault:
    part = text[start:end]
    counted = re.fullmatch(r"\s*([0-9]{1,3})\s*(?:digits?|counts?)\s*", part)
    if counted:
        return int(counted[1])
    of = re.fullmatch(r"\s*[0-9.]+\s*%\s*(of .*|rdg\.?|reading|FS|fs|f\.s\.|scale|full scale)\s*", part)
    if of:
        at = start + of.start(1)
        if of[1] in ("rdg", "rdg.", "reading", "of rdg", "of reading", "of the reading"):
            return _accuracy_fault(text, at, end, "A percentage is always of the reading.", change="")
        mend = "Write the share of the scale as a quantity: 1.6 % of a 25 bar gauge is `0.4 bar`."
        return _accuracy_fault(text, at, end, "A percentage is always of the reading, not of the scale.", mend)
    word = re.fullmatch(r"\s*[0-9]{1,3}\s*(dgts?|dig|d|lsd|LSD|cts?)\.?\s*", part)
    if word:
        return _accuracy_fault(
            text, start + word.start(1), start + word.end(1), f"`{word[1]}` is short.", change="digits"
        )
    read = parse(part)
    if isinstance(read, Fault):
        return within(read, text, start)
    if read.value <= 0 or read.text.lstrip()[0] in "+-−":
        return _accuracy_fault(text, start, end, f"`{part.strip()}` is no amount by which a reading may be off.")
    if read.dimension == "temperature":
        difference = fit(read, "temperature-difference")
        return within(difference, text, start) if isinstance(difference, Fault) else difference
    return read


def _accuracy_fault(text: str, start: int, end: int, sentence: str, mend: str = "", change: str | None = None) -> Fault:
    mend = mend or "Write it as `0.5 % + 2 digits`, `4 %` or `0.4 bar`."
    return pointed("accuracy", sentence, text, start, end, change=change, mend=mend)


def parse_gas_current(text: str) -> GasCurrent | Fault:
    """Read `7 A per 100 Ah` or `1 mA per Ah`; both sides above zero."""
    mend = "Write it as `7 A per 100 Ah` or `5 mA per Ah`."
    left, per, right = text.partition(" per ")
    if not per:
        return pointed("gas-current", f"`{text}` does not say for what capacity.", text, 0, len(text), mend=mend)
    right_start = len(left) + len(per)
    bare = not re.match(r"\s*[+\-−]?[0-9.]", right)
    current = parse(left, "current")
    capacity = parse("1 " + right.strip() if bare else right, "charge")
    if isinstance(current, Fault):
        return within(current, text, 0)
    if isinstance(capacity, Fault):
        if bare:
            return pointed("gas-current", f"`{right}` is no capacity.", text, right_start, len(text), mend=mend)
        return within(capacity, text, right_start)
    if current.value <= 0 or capacity.value <= 0:
        return pointed("gas-current", f"`{text}` is not above zero.", text, 0, len(text), mend=mend)
    return GasCurrent(current, capacity, text)


def parse_range(text: str, dimension: str | None = None) -> QuantityRange | Fault:
    """Read `12 V to 690 V`: two quantities of one dimension, the lower one first."""
    mend = "Write it as `12 V to 690 V`."
    left, to, right = text.partition(" to ")
    if not to:
        return pointed("range", f"`{text}` has no two ends.", text, 0, len(text), mend=mend)
    right_start = len(left) + len(to)
    high = parse(right, dimension)
    if isinstance(high, Fault):
        return within(high, text, right_start)
    low = parse(left, high.dimension)
    if isinstance(low, Fault):
        if low.code == "bare-number":
            return pointed("bare-number", low.sentence, text, 0, len(left), change=f"{left.strip()} {high.unit.symbol}")
        return within(low, text, 0)
    if low > high:
        return pointed("range", f"`{left}` is above `{right}`.", text, 0, len(text), change=f"{right} to {left}")
    return QuantityRange(low, high, text)
