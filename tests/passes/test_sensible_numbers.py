"""Numbers as the trade has them are never nagged about: a table of limits and torques gives no error and no warning."""

import shutil
from pathlib import Path

import pytest
import yaml

from benchleaf.base.finding import Severity
from benchleaf.build import pipeline
from benchleaf.build.request import Request, silence

TABLE = yaml.safe_load((Path(__file__).parents[1] / "data" / "sensible_numbers.yaml").read_text("utf-8"))
BASE = Path(__file__).parents[1] / "rules" / "base"
FAMILIES = ("quantity", "torque")
HEAD = """format: benchleaf/procedure/1
id: trial
title: Trial
kind: {kind}
machine: rig
revision: A
changed: {{kind: technical, reason: First issue}}
owner: Marram Works service
purpose: Read all there is.
complaint: {{text: Nothing is known of it.}}
crew: {{technician: electrical}}
supplies: none
spares: none
initial: {{key: off, plug: mated, lid: fitted, prop: out}}
steps:
{steps}
  - ask: Does the run lamp light?
    answers: {{yes: {{found: done}}, no: {{found: unknown}}}}
outcomes:
  done: {{text: The rig runs., leave: as-final}}
  unknown: {{text: Call the maker., leave: out-of-service}}
final: {{key: off, plug: mated, lid: fitted}}
"""
# What the machine gives: a 48 V bank, mains, oil and air; the limits of the base machine have places of their own.
ENERGY = """
  wall: {kind: mains, name: mains, place: rear, voltage: 230 V, isolate: {plug: parted}, prove: {look: Plug out.}}
  bank: {kind: dc, name: bank wiring, place: under the lid, highest: 63.6 V, fed_by: [wall]}
  oil: {kind: hydraulic, name: oil, place: under the lid, pressure: 200 bar, fed_by: [wall]}
"""


def laid_out(root, kind):
    """A workspace in which every limit of the table is read by its meter and every joint tightened."""
    shutil.copytree(BASE, root, dirs_exist_ok=True)
    shop, machine = root / "procedures/shop.yaml", root / "procedures/rig/machine.yaml"
    meters = yaml.safe_dump({"meters": TABLE["meters"]}, allow_unicode=True, sort_keys=False).split("\n", 1)[1]
    wrenches = "  small: {name: bending beam, from: 1 N·m, to: 12 N·m, accuracy: 6 %}\n"
    wrenches += "  middle: {name: click wrench, from: 10 N·m, to: 60 N·m, accuracy: 4 %}\n"
    wrenches += "  large: {name: click wrench, from: 60 N·m, to: 400 N·m, accuracy: 4 %}\n"
    text = shop.read_text("utf-8")
    shop.write_text(
        text.replace("meters:\n", f"meters:\n{meters}").replace("wrenches:\n", f"wrenches:\n{wrenches}"), "utf-8"
    )
    limits = "".join(f"  l{place}: {{{row['limit']}, source: trial}}\n" for place, row in enumerate(TABLE["limits"]))
    joints = "".join(
        f"  j{place}: {{holds: pump, {row['joint']}, source: trial}}\n" for place, row in enumerate(TABLE["torques"])
    )
    points = "".join(f"  Q{place}: {{name: point {place}, part: pump}}\n" for place in range(len(TABLE["limits"])))
    text = machine.read_text("utf-8").replace("[battery, mains,", "[battery,").replace(" hydraulic,", "")
    for head, more in (
        ("limits:", limits),
        ("fasteners:", joints),
        ("energy:", ENERGY.lstrip("\n")),
        ("points:", points),
    ):
        text = text.replace(f"{head}\n", f"{head}\n{more}")
    machine.write_text(text, "utf-8")
    steps = "".join(_reading(place, row) for place, row in enumerate(TABLE["limits"]))
    steps += "".join(_tightening(place, row["joint"]) for place, row in enumerate(TABLE["torques"]))
    rest = "  - measure: supply\n    id: rest\n    between: [P1, N1]\n    meter: bench\n    outside: {found: unknown}\n"
    trial = HEAD.format(kind=kind, steps=(rest + steps).rstrip("\n"))
    (root / "procedures/rig/trial.yaml").write_text(trial, "utf-8")


def _reading(place, row):
    clamp = "    clamp: true\n" if "current" in row["limit"] else ""
    repeat = "    repeat: {times: 2}\n" if "spread" in row["limit"] else ""
    return (
        f"  - measure: l{place}\n    between: [Q{place}, N1]\n    meter: {row['meter']}\n{clamp}{repeat}"
        "    outside: {found: unknown}\n"
    )


def _tightening(place, joint):
    number, unit = joint.partition("torque: ")[2].split()[:2]
    torque = float(number) * {"N·m": 1, "lbf·ft": 1.356, "lbf·in": 0.113}[unit.rstrip(",")]
    wrench = "small" if torque <= 12 else "middle" if torque < 61 else "large"
    return f"  - tighten: j{place}\n    at: pump\n    wrench: {wrench}\n"


@pytest.mark.parametrize("kind", ["fault-finding", "inspection"])
def test_sensible_numbers_raise_no_error_and_no_warning(kind, tmp_path):
    laid_out(tmp_path, kind)
    found = pipeline.run(Request(tmp_path, "2026-06-01"), silence).verdict.findings
    ours = [each for each in found if each.slug.partition(".")[0] in FAMILIES and each.severity is not Severity.ADVICE]
    assert [f"{each.slug}: {each.sentence}" for each in ours] == []
    assert {each.slug for each in found if each.slug.startswith(("names.", "source."))} <= {"names.unused"}


def test_there_are_enough_and_each_says_where_it_is_from():
    rows = [*TABLE["limits"], *TABLE["torques"]]
    assert len(rows) >= 140
    assert all(row["is"] and row["known"] for row in rows)
