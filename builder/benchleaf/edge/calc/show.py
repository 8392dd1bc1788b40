"""Results as text or JSON, the list of all calculations, and the help of one."""

import json
from decimal import Decimal
from textwrap import fill

from benchleaf.edge.calc.answers import Done, Result
from benchleaf.edge.calc.catalogue import Calculation, Key, calculations
from benchleaf.model.units import find
from benchleaf.trade.numbers import number, with_unit

# Figures that are shown; JSON has them all.
_FIGURES = 6
# A share below it is as good as none to a reader.
_LEAST_SHARE = 1e-6
_WIDTH = 110


def as_json(done: Done) -> str:
    """One JSON object; numbers with all the digits of a double."""
    document = {
        "calc": done.calculation,
        "inputs": dict(done.inputs),
        "result": {key: {"value": result.value, "unit": result.unit} for key, result in done.results.items()},
        "formula": done.formula,
        "source": done.source,
    }
    return json.dumps(document, ensure_ascii=False, indent=2) + "\n"


def as_text(done: Done) -> str:
    """Results one a line, then formula, inputs and source."""
    width = max(len(key) for key in done.results) + 2
    lines = [f"{key:<{width}}{_printed(result)}" for key, result in done.results.items()]
    inputs = ", ".join(f"{key} {text}" for key, text in done.inputs.items())
    told = (("formula", done.formula), ("inputs", inputs), ("source", done.source))
    lines += ["", *(_paragraph(f"{name:<9}", text) for name, text in told)]
    return "\n".join(lines) + "\n"


def _paragraph(lead: str, text: str) -> str:
    return fill(
        text,
        _WIDTH,
        initial_indent=lead,
        subsequent_indent=" " * len(lead),
        break_long_words=False,
        break_on_hyphens=False,
    )


def _printed(result: Result) -> str:
    if isinstance(result.value, bool):
        return "true" if result.value else "false"
    if not isinstance(result.value, str) and result.unit == "1" and 0 < result.value < _LEAST_SHARE:
        return f"below {number(Decimal(f'{_LEAST_SHARE:f}'))}"
    value = Decimal(result.value) if isinstance(result.value, str) else _rounded(result.value)
    found = find(result.unit)
    return with_unit(value, found) if found else f"{number(value)} {result.unit}".rstrip()


def _rounded(value: float) -> Decimal:
    """To the figures that are shown, without noughts at the end."""
    decimal = Decimal(repr(value))
    if not decimal:
        return Decimal(0)
    rounded = round(decimal, _FIGURES - 1 - decimal.adjusted())
    return Decimal(f"{rounded.normalize():f}")


def listing() -> str:
    """All calculations, each with what it does and an example."""
    blocks = [f"{each.name}: {each.does}\n  {each.example}\n" for each in calculations().values()]
    return "\n".join([*blocks, "`benchleaf calc NAME --help` says what each takes and gives.\n"])


def manual(calculation: Calculation) -> str:
    """What one calculation takes and gives, with an example."""
    width = max(len(key.name) for key in calculation.keys) + 2
    keys = "".join(f"  {key.name:<{width}}{_about(calculation, key)}\n" for key in calculation.keys)
    results = ", ".join(f"{name}{_unit(unit)}" for name, unit in calculation.results.items())
    return (
        f"usage: benchleaf calc {calculation.name} KEY=VALUE … [unit.RESULT=UNIT …] [--format text|json]\n\n"
        f"{calculation.does[0].upper()}{calculation.does[1:]}.\n\n"
        f"keys:\n{keys}\nresults:\n{_paragraph('  ', results)}\n\n"
        f"example:\n  {calculation.example}\n"
    )


def _about(calculation: Calculation, key: Key) -> str:
    default = key.default or calculation.defaults.get(key.name, "")
    state = f" (without: {default})" if default else " (may be left out)" if key.may else ""
    if key.name in {name for names in calculation.parts.values() for name in names}:
        state = f" (without: {default})" if default else ""
    words = f": {', '.join(key.words)}" if key.words and key.name not in key.about and "," not in key.about else ""
    return f"{key.about}{words}{state}"


def _unit(unit: str) -> str:
    if unit in ("1", "truth"):
        return ""
    return f" ({unit})"
