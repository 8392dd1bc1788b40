"""Plain scalars by the YAML 1.2 core schema (YAML 1.2.2, section 10.3.2): text in, kind and value out."""

import re
from decimal import Decimal

# Above this, floating-point readers of the same file would see another number (IEEE 754 binary64).
LARGEST_INTEGER = 2**53 - 1
_MOST_DIGITS = 40

_WORDS: dict[str, tuple[str, bool | None]] = {
    "": ("nothing", None),
    "~": ("nothing", None),
    "null": ("nothing", None),
    "Null": ("nothing", None),
    "NULL": ("nothing", None),
    "true": ("truth", True),
    "True": ("truth", True),
    "TRUE": ("truth", True),
    "false": ("truth", False),
    "False": ("truth", False),
    "FALSE": ("truth", False),
}
_NUMBER_STARTS = frozenset("0123456789+-.")
# A plain scalar that starts with any other character is text.
MAY_NOT_BE_TEXT = _NUMBER_STARTS | frozenset(word[0] for word in _WORDS if word)
_DIGITS = frozenset("0123456789")
_DECIMAL = re.compile(r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?")
_WITH_BASE = r"0o[0-7]+|0x[0-9a-fA-F]+"
_NOT_FINITE = frozenset(sign + word for sign in ("", "+", "-") for word in (".inf", ".Inf", ".INF")) | frozenset(
    (".nan", ".NaN", ".NAN")
)


class OutOfRange(ValueError):
    """A number that no measured value can be: infinite, not a number, or beyond what every reader can hold."""


def resolve(raw: str) -> tuple[str, str | int | Decimal | bool | None]:
    """Kind and value of a plain scalar: `25.0` gives `('decimal', Decimal('25.0'))`, `off` gives `('text', 'off')`.

    Raises OutOfRange.
    """
    word = _WORDS.get(raw)
    if word is not None:
        return word
    if raw[0] not in _NUMBER_STARTS:
        return ("text", raw)
    if raw in _NOT_FINITE:
        raise OutOfRange(raw)
    if _DECIMAL.fullmatch(raw):
        return _number(raw)
    if raw[0] == "0" and re.fullmatch(_WITH_BASE, raw):
        if len(raw) > _MOST_DIGITS:
            raise OutOfRange(raw)
        return ("integer", _bounded(int(raw[2:], 8 if raw[1] == "o" else 16), raw))
    return ("text", raw)


def _number(raw: str) -> tuple[str, int | Decimal]:
    # Length first: both `int` and `Decimal` are slow, or refuse, on thousands of digits.
    if len(raw) > _MOST_DIGITS:
        raise OutOfRange(raw)
    if _DIGITS.issuperset(raw[1:]) and raw[0] != ".":
        return ("integer", _bounded(int(raw), raw))
    approximation = float(raw)
    if approximation in (float("inf"), float("-inf")):
        raise OutOfRange(raw)
    if approximation == 0 and any(digit in raw.lower().partition("e")[0] for digit in "123456789"):
        raise OutOfRange(raw)
    return ("decimal", Decimal(raw))


def _bounded(value: int, raw: str) -> int:
    if not -LARGEST_INTEGER <= value <= LARGEST_INTEGER:
        raise OutOfRange(raw)
    return value
