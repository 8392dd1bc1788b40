"""From words of the command line to values: `key=value` pairs, each read by its key's kind; all faults at once."""

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from benchleaf.edge.calc import complaint as told
from benchleaf.edge.calc.catalogue import Calculation, Key
from benchleaf.edge.calc.complaint import Complaint
from benchleaf.edge.calc.given import Given
from benchleaf.model.amounts import parse_accuracy, parse_gas_current
from benchleaf.model.nearest import nearest
from benchleaf.model.number_faults import separators
from benchleaf.model.quantity import Fault, Quantity, make, parse
from benchleaf.model.units import dimensions
from benchleaf.trade.bolts import parse_class
from benchleaf.trade.threads import parse_thread
from benchleaf.trade.tightening import parse_friction
from benchleaf.trade.unread import Unread, proposed
from benchleaf.trade.wire import parse_gauge

UNIT = "unit."
_RATE = re.compile(r"([0-9.,]+) ?(?:lifts? ?)?(?:/|per) ?(min|h|s)")
_SECONDS = {"s": 1, "min": 60, "h": 3600}


class Read(NamedTuple):
    """Values, the units asked for by result, and what is wrong."""

    given: Given
    units: Mapping[str, str]
    complaints: tuple[Complaint, ...]


def pairs(words: Sequence[str]) -> tuple[list[tuple[str, str]], list[Complaint]]:
    """Keys with their values; a word without `=` belongs to the value before it, so that units may stand apart."""
    found: list[tuple[str, str]] = []
    complaints: list[Complaint] = []
    for word in words:
        key, sign, text = word.partition("=")
        if sign and re.fullmatch(r"[A-Za-z][\w.-]*", key):
            found.append((key, text.strip()))
        elif found:
            found[-1] = (found[-1][0], f"{found[-1][1]} {word}".strip())
        else:
            sentence = f"`{word}` is no key with a value."
            complaints.append(Complaint(sentence, "Write `key=value`, as in `voltage=50.9 V`."))
    return found, complaints


def read(calculation: Calculation, words: Sequence[str]) -> Read:
    """Read the arguments of a calculation."""
    written, complaints = pairs(words)
    texts: dict[str, str] = {}
    units: dict[str, str] = {}
    for key, text in written:
        if key in texts or (key.startswith(UNIT) and key.removeprefix(UNIT) in units):
            complaints.append(told.of_key(f"`{key}` stands here twice.", key, text, "Keep one of them."))
        elif key.startswith(UNIT):
            units[key.removeprefix(UNIT)] = text
        elif calculation.key(key) is None:
            complaints.append(_unknown(calculation, key, text))
        else:
            texts[key] = text
    complaints += _of_results(calculation, units)
    complaints += _together(calculation, texts)
    filled = _filled(calculation, texts)
    values: dict[str, Any] = {}
    for key, text in filled.items():
        known = calculation.key(key)
        if known is None:
            continue
        value = _value(known, text)
        if isinstance(value, Complaint):
            complaints.append(value)
        else:
            values[key] = value
    return Read(Given(values, filled), units, tuple(complaints))


def _unknown(calculation: Calculation, key: str, text: str) -> Complaint:
    names = [each.name for each in calculation.keys]
    near = nearest(key, [*names, *(UNIT + result for result in calculation.results)]).names
    mend = f"Did you mean `{near[0]}`?" if near else f"Its keys are {', '.join(names)}."
    return told.of_key(f"`calc {calculation.name}` has no key `{key}`.", key, text, mend)


def _of_results(calculation: Calculation, units: Mapping[str, str]) -> list[Complaint]:
    """Units asked for what is no result, or has no unit."""
    found = []
    for result, text in units.items():
        if calculation.results.get(result) in (None, "text", "truth", "as asked"):
            names = [name for name, of in calculation.results.items() if of not in ("text", "truth", "as asked")]
            near = nearest(result, names).names
            mend = f"Did you mean `{UNIT}{near[0]}`?" if near else "A unit may be asked for " + ", ".join(names) + "."
            mend = mend if names else "Ask for the unit by `to`."
            sentence = f"`calc {calculation.name}` has no result `{result}` in a unit."
            found.append(told.of_key(sentence, UNIT + result, text, mend))
    return found


def _needed(calculation: Calculation, texts: Mapping[str, str]) -> list[str]:
    needed = [key.name for key in calculation.keys if not key.may]
    chosen = calculation.parts.get(texts.get(calculation.chooser, ""), ())
    return needed + [name for name in chosen if name not in calculation.defaults]


def _together(calculation: Calculation, texts: Mapping[str, str]) -> list[Complaint]:
    """Keys that are missing, that exclude each other, or that have no part in what was chosen."""
    found = []
    missing = [name for name in _needed(calculation, texts) if name not in texts]
    for group in calculation.together:
        lacking = [name for name in group if name not in texts]
        if lacking and len(lacking) < len(group):
            names = ", ".join(f"`{name}`" for name in lacking)
            beside = next(name for name in group if name in texts)
            sentence = f"`calc {calculation.name}` needs {names} beside `{beside}`."
            found.append(Complaint(sentence, f"Give all of {', '.join(group)}, or none of them."))
    for name in missing:
        key = calculation.key(name)
        about = f": {key.about}" if key else ""
        found.append(Complaint(f"`calc {calculation.name}` needs `{name}`{about}.", f"As in `{calculation.example}`."))
    for group in calculation.either:
        if not any(name in texts for name in group):
            names = " or ".join(f"`{name}`" for name in group)
            found.append(Complaint(f"`calc {calculation.name}` needs {names}.", f"As in `{calculation.example}`."))
    for key in calculation.keys:
        rivals = [name for name in key.unless if name in texts]
        if key.name in texts and rivals and _first(calculation, key.name, rivals[0]):
            sentence = f"`{key.name}` has no place beside `{rivals[0]}`."
            found.append(told.of_key(sentence, key.name, texts[key.name], "Keep one of them."))
    return found + _apart(calculation, texts)


def _first(calculation: Calculation, name: str, other: str) -> bool:
    """Of two keys that exclude each other, one complaint is enough."""
    names = [key.name for key in calculation.keys]
    return names.index(name) < names.index(other)


def _apart(calculation: Calculation, texts: Mapping[str, str]) -> list[Complaint]:
    choice = texts.get(calculation.chooser, "")
    chosen = calculation.parts.get(choice)
    if chosen is None:
        return []
    every = {name for names in calculation.parts.values() for name in names}
    return [
        told.of_key(f"`{name}` says nothing of a {choice}.", name, texts[name], f"It takes {', '.join(chosen)}.")
        for name in texts
        if name in every and name not in chosen
    ]


def _filled(calculation: Calculation, texts: Mapping[str, str]) -> dict[str, str]:
    """With defaults for what was left out, in the order of the keys."""
    filled = {}
    chosen = calculation.parts.get(texts.get(calculation.chooser, ""), ())
    for key in calculation.keys:
        default = key.default or (calculation.defaults.get(key.name, "") if key.name in chosen else "")
        if key.name in texts:
            filled[key.name] = texts[key.name]
        elif default and not any(name in texts for name in key.unless):
            filled[key.name] = default
    return filled


def _value(key: Key, text: str) -> Any:
    """The value of a text by its key's kind, within the key's bounds; or the complaint."""
    if not text:
        return Complaint(f"`{key.name}` has no value.", f"Write {key.about}.", f"{key.name}=", len(key.name) + 1, 1)
    value = _FORMS[key.kind](key, text) if key.kind in _FORMS else _quantity(key, text)
    if isinstance(value, Fault):
        return told.of_fault(value, key.name, text)
    if isinstance(value, Unread):
        return told.of_unread(value, key.name, text)
    size = value.base if isinstance(value, Quantity) else value
    if key.above is not None and size <= key.above:
        return told.of_value(f"`{key.name}` must be above {_zero(key)}.", key.name, text)
    if key.least is not None and size < key.least:
        return told.of_value(f"`{key.name}` must not be below {_zero(key)}.", key.name, text)
    return value


def _zero(key: Key) -> str:
    return "absolute zero" if key.kind == "temperature" else "zero"


def _quantity(key: Key, text: str) -> Quantity | Fault | Unread:
    dimension = None if key.kind == "any" else key.kind
    if dimension not in (None, *dimensions()):
        raise KeyError(key.kind)
    value = parse(text, dimension)
    if dimension == "ratio" and isinstance(value, Fault) and value.code == "bare-number":
        percents = (f"{(Decimal(text) * 100).normalize():f} %", f"{text} %")
        return proposed(f"`{text}` has no unit: it could be a share of 1, or of 100.", percents)
    return value


def _rate(key: Key, text: str) -> Quantity | Fault | Unread:
    """`2/min`, `12 lifts per h`: the table of units would take `2/min` for a fraction."""
    found = _RATE.fullmatch(text)
    if found is None:
        read = parse(text, "rotational-speed")
        mend = "Write how many in what time, as in `2/min`."
        return read if isinstance(read, Quantity) else Unread(f"`{text}` is no number of lifts in a time.", mend)
    count = _number(key, found[1])
    return count if not isinstance(count, float) else make(Decimal(found[1]) * 60 / _SECONDS[found[2]], "1/min")


def _number(key: Key, text: str) -> float | Fault | Unread:
    if re.fullmatch(r"[0-9]+(\.[0-9]+)?", text):
        return float(text)
    fault = separators(text, None)
    return fault or Unread(f"`{text}` is no plain number.", "Write digits with at most one decimal point, no unit.")


def _coefficient(key: Key, text: str) -> float | Fault | Unread:
    value = _number(key, text)
    if isinstance(value, float) and not 0 < value < 1:
        return Unread(f"`{text}` is no coefficient of friction: it lies above 0 and below 1.", "Write it as in `0.12`.")
    return value


def _whole(key: Key, text: str) -> int | Unread:
    if re.fullmatch(r"[1-9][0-9]{0,5}", text):
        return int(text)
    return Unread(f"`{text}` is no whole number above zero.", "Write how many there are, as in `24`.")


def _word(key: Key, text: str) -> str | Unread:
    if text in key.words:
        return text
    near = nearest(text.replace(" ", "-"), key.words)
    names = (near.meant,) if near.meant else near.names or key.words
    return proposed(f"`{text}` is no {key.name} that is known here.", names)


_FORMS: dict[str, Callable[[Key, str], Any]] = {
    "thread": lambda key, text: parse_thread(text),
    "class": lambda key, text: parse_class(text),
    "friction": lambda key, text: parse_friction(text),
    "gauge": lambda key, text: parse_gauge(text),
    "accuracy": lambda key, text: parse_accuracy(text),
    "gas-current": lambda key, text: parse_gas_current(text),
    "unit": lambda key, text: text,
    "rate": _rate,
    "number": _number,
    "coefficient": _coefficient,
    "whole": _whole,
    "word": _word,
}
