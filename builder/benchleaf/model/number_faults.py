"""Numbers written in a way that is not read: what is wrong with each, and how it is written here.

Each check takes the whole text and the dimension that is due, and gives its fault or None.
"""

import re
import unicodedata
from decimal import Decimal
from fractions import Fraction

from benchleaf.model.fault import MOST_DIGITS, Fault, pointed


def other_digits(text: str, dimension: str | None) -> Fault | None:
    """Digits of another script, or of full width."""
    found = re.search(r"(?![0-9])[\d\N{FULLWIDTH DIGIT ZERO}-\N{FULLWIDTH DIGIT NINE}]+", text)
    if not found:
        return None
    plain = "".join(str(unicodedata.digit(digit)) for digit in found[0])
    return pointed(
        "number-form", f"`{found[0]}` is not written in the digits 0 to 9.", text, *found.span(), change=plain
    )


def not_finite(text: str, dimension: str | None) -> Fault | None:
    """What a computer calls a number and no meter shows."""
    found = re.match(r"\s*[+\-−]?\s*(nan|inf(inity)?|∞)(?![a-z])", text, re.IGNORECASE)
    if not found:
        return None
    mend = "An open circuit is written as `open: true`; a limit without an upper side leaves `high` away."
    return pointed(
        "not-finite", f"`{found[0].strip()}` is not a number that a meter can show.", text, *found.span(), mend=mend
    )


def exponent(text: str, dimension: str | None) -> Fault | None:
    """`4.2e3`, `4.2 × 10^3`, `0x1F`."""
    hexadecimal = re.match(r"\s*[+\-−]?(0[xXoObB][0-9a-fA-F]+)", text)
    if hexadecimal:
        sentence = f"`{hexadecimal[1]}` is a programmer's number."
        return pointed("number-form", sentence, text, *hexadecimal.span(1), mend="Write the digits in full, in tens.")
    found = re.match(
        r"\s*[+\-−]?([0-9]+(?:\.[0-9]+)?)(?:[eE]([+\-−]?[0-9]+)|\s*[x×·*]\s*10(?:\^|\*\*)([+\-−]?[0-9]+))", text
    )
    if not found:
        return None
    start, end = found.start(1), found.end()
    power = (found[2] or found[3]).replace("−", "-")
    sentence = f"`{text[start:end]}` has an exponent."
    if len(power) > 3 or abs(int(power)) > MOST_DIGITS:
        mend = "Write the digits in full, or take a unit of a fitting size."
        return pointed("exponent", sentence, text, start, end, mend=mend)
    return pointed("exponent", sentence, text, start, end, change=f"{Decimal(found[1]).scaleb(int(power)):f}")


# Letters that stand in place of the decimal point on parts and drawings (IEC 60062).
_CODES = {
    "R": "Ω",
    "r": "Ω",
    "k": "kΩ",
    "K": "kΩ",
    "M": "MΩ",
    "V": "V",
    "A": "A",
    "n": "nF",
    "p": "pF",
    "µ": "µF",
    "u": "µF",
}


def component_code(text: str, dimension: str | None) -> Fault | None:
    """`4k7`, `2R2`, `3V3`, as parts are marked."""
    found = re.fullmatch(r"\s*([0-9]{1,3})([RrkKMVAnpµu])([0-9]{1,3})\s*", text)
    if not found:
        return None
    sentence = f"`{found[0].strip()}` is the marking of a part."
    change = f"{int(found[1])}.{found[3]} {_CODES[found[2]]}"
    return pointed("number-form", sentence, text, found.start(1), found.end(3), change=change)


def fraction(text: str, dimension: str | None) -> Fault | None:
    """`1/2`, `1 1/2`, `½`."""
    found = re.match(r"\s*[+\-−]?((?:([0-9]{1,6})[\s-]+)?([0-9]{1,6})/([0-9]{1,6})|([0-9]{0,6})\s*([½¼¾⅛⅜⅝⅞⅓⅔]))", text)
    if not found:
        return None
    if found[6]:
        part = Fraction(unicodedata.numeric(found[6])).limit_denominator(8)
        whole = int(found[5] or 0)
    else:
        part = Fraction(int(found[3]), int(found[4])) if int(found[4]) else Fraction(0)
        whole = int(found[2] or 0)
    sentence, size = f"`{found[1]}` is a fraction.", whole + part
    if (size * 10**6).denominator != 1 or size == 0:
        mend = "Write a decimal number, or take a smaller unit."
        return pointed("fraction", sentence, text, *found.span(1), mend=mend)
    decimal = f"{(Decimal(size.numerator) / size.denominator).normalize():f}"
    return pointed("fraction", sentence, text, *found.span(1), change=decimal)


def separators(text: str, dimension: str | None) -> Fault | None:
    """Commas, spaces, apostrophes and low lines between digits, and more points than one."""
    found = re.match(r"\s*[+\-−]?\s*([0-9]+(?:[.,'’_\s]+[0-9]+)+)", text)
    if not found or re.fullmatch(r"[0-9]+\.[0-9]+", found[1]):
        return None
    number, (start, end) = found[1], found.span(1)
    marks = set(re.findall(r"[^0-9]+", number))
    groups = re.fullmatch(
        r"[0-9]{1,3}(?P<mark>[^0-9])[0-9]{3}(?:(?P=mark)[0-9]{3})*(?:(?!(?P=mark))[.,][0-9]+)?", number
    )
    if marks == {","} and number.count(",") == 1:
        sentence = f"`{number}` has a comma."
        if groups and not number.startswith("0"):
            both = " or ".join(f"`{text[:start]}{number.replace(',', mark)}{text[end:]}`" for mark in ("", "."))
            sentence = f"`{number}` can be read in two ways: with a decimal comma, or with thousands set apart."
            return pointed("decimal-comma", sentence, text, start, end, mend=f"Write {both}.")
        return pointed("decimal-comma", sentence, text, start, end, change=number.replace(",", "."))
    if groups:
        mark = groups["mark"]
        plain = number.replace(mark, "").replace(",", ".")
        code = "decimal-comma" if mark == "." and "," in number else "thousands"
        return pointed(code, f"`{number}` has its digits set apart.", text, start, end, change=plain)
    sentence = f"`{number}` is not one number."
    return pointed("number-form", sentence, text, start, end, mend="Write digits with at most one decimal point.")


def number_form(text: str, dimension: str | None) -> Fault | None:
    """Zeros in front, points at the end, signs astray, arithmetic."""
    sign = re.match(r"\s*([+\-−]\s+|[+\-−]{2,}\s*)(?=[0-9.])", text)
    if sign:
        sentence = f"The sign `{sign[1].strip()}` does not stand directly before the number."
        one = sign[1].strip() if len(sign[1].strip()) == 1 else None
        return pointed("number-form", sentence, text, *sign.span(1), change=one, mend="Write one sign at most.")
    clock = re.match(r"\s*[0-9]+(:[0-9]+)+", text)
    if clock:
        mend = "Write how long it takes, as in `90 min`."
        return pointed(
            "number-form", f"`{clock[0].strip()}` is a time of day or a ratio.", text, *clock.span(), mend=mend
        )
    sums = re.match(r"\s*[+\-−]?[0-9.]+\s*([*^]+|[+x×·/])\s*[0-9]", text)
    if sums:
        return pointed(
            "number-form", f"`{sums[1]}` asks for arithmetic.", text, *sums.span(1), mend="Write the result."
        )
    found = re.match(r"\s*[+\-−]?(0+[0-9]+(?:\.[0-9]*)?|\.[0-9]+|[0-9]+\.(?![0-9]))", text)
    if not found:
        return None
    whole, _, decimals = found[1].partition(".")
    plain = (whole.lstrip("0") or "0") + (f".{decimals}" if decimals else "")
    return pointed("number-form", f"`{found[1]}` is not how a number is written.", text, *found.span(1), change=plain)
