"""What the trade does, held against what the checks say of it; common practice, no source, where no other is named."""

import shutil
from decimal import Decimal
from pathlib import Path

import pytest

from benchleaf.build import pipeline
from benchleaf.build.request import Request, silence

BASE = Path(__file__).parents[1] / "rules" / "base"
CENTRE = ("2.4 kohm", "2.6 kohm")
WHOLE = "5 kohm"
STEPS = """steps:
  - measure: centre
    at: relay
    between: [T1, W1]
    meter: meter-1
    outside: {found: unknown}
  - ask: Does the run lamp light?
    answers: {yes: {found: done}, no: {found: unknown}}
outcomes:"""


def found(root, tolerance):
    """Slugs for a potentiometer of 5 kΩ in its middle, whose half must read 2.4 kΩ to 2.6 kΩ."""
    shutil.copytree(BASE, root, dirs_exist_ok=True)
    machine, trial = root / "procedures/rig/machine.yaml", root / "procedures/rig/trial.yaml"
    low, high = CENTRE
    text = machine.read_text("utf-8")
    text = text.replace(
        "limits:\n", f"limits:\n  centre: {{measure: resistance, low: {low}, high: {high}, source: t}}\n"
    )
    points = "".join(f"  {name}: {{name: pin {name}, part: relay}}\n" for name in ("T1", "W1", "T3"))
    text = text.replace("points:\n", f"points:\n{points}")
    pot = f"type: potentiometer, nodes: [T1, W1, T3], resistance: {WHOLE}, tolerance: {tolerance}, position: 50 %"
    text = text.replace("  elements:\n", f"  elements:\n    pot: {{{pot}}}\n")
    machine.write_text(text, "utf-8")
    whole = trial.read_text("utf-8")
    before, after = whole.split("steps:\n")[0], whole.split("outcomes:")[1]
    trial.write_text(before + STEPS + after, "utf-8")
    told = pipeline.run(Request(root, "2026-06-01"), silence).verdict.findings
    return {each.slug for each in told if each.slug.startswith(("quantity.", "circuit."))}


def test_what_the_centre_of_a_potentiometer_presumes(tmp_path):
    """Half of 5 kΩ ± 4 % is 2.4 kΩ to 2.6 kΩ: the limit presumes a part of 4 % or better."""
    low, high = (Decimal(text.split()[0]) for text in CENTRE)
    half = Decimal(WHOLE.split()[0]) / 2
    assert (high - half) / half == (half - low) / half == Decimal("0.04")
    assert found(tmp_path / "fine", "3 %") == set()


@pytest.mark.parametrize("tolerance", ["10 %", "20 %"])
def test_usual_potentiometers_would_be_condemned(tolerance, tmp_path):
    """10 % and 20 % are the usual tolerances of such parts (IEC 60393-1, from memory)."""
    assert found(tmp_path, tolerance) == {"circuit.condemns-good-parts"}
