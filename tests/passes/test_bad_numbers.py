"""Numbers written wrongly: each is a finding of the severity it deserves, and names the nearest that is right."""

import shutil
from pathlib import Path

import pytest

from benchleaf.build import pipeline
from benchleaf.build.request import Request, silence

BASE = Path(__file__).parents[1] / "rules" / "base"
MACHINE = "procedures/rig/machine.yaml"
SUPPLY = "low: 22 V, nominal: 24 V, high: 26 V"
COIL = "nominal: 200 ohm, tolerance: 10 %"
SCREWS = 'thread: M6x1, class: "8.8", count: 4, torque: 7 N·m, friction: 0.16'

# What is written, what takes its place, severity and slug, and the right thing that the finding names.
SLIPS = [
    (SUPPLY, "low: 22 V, high: 24V", "advice", "quantity.no-space", "24 V"),
    (COIL, "nominal: 5 kV, tolerance: 10 %", "error", "quantity.wrong-dimension", "5 kΩ"),
    (SUPPLY, "low: 22 V, high: 24 v", "error", "quantity.unknown-unit", "24 V"),
    (SUPPLY, 'low: "10,5 V", high: 26 V', "error", "quantity.unreadable", "10.5 V"),
    (SUPPLY, "low: 1/2-13, high: 26 V", "error", "quantity.unreadable", "`thread`"),
    (SUPPLY, "low: -5 psi, high: 26 V", "error", "quantity.wrong-dimension", "`V`"),
    (SUPPLY, "low: 4.2e3, high: 26 V", "error", "source.needs-unit", "4200 V"),
    (SUPPLY, "low: 4.2e3 mV, high: 26 V", "error", "quantity.unreadable", "4200 mV"),
    (SUPPLY, "low: 22, high: 26 V", "error", "source.needs-unit", "22 V"),
    (SUPPLY, "low: 26 V, high: 26 V", "error", "quantity.empty-band", "drawing"),
    (SUPPLY, "low: 26 V, high: 22 V", "error", "quantity.limit-out-of-order", "smallest value"),
    (COIL, "nominal: 200 ohm, tolerance: 150 %", "error", "quantity.tolerance-too-wide", "100 %"),
    (SUPPLY, "low: 22 kV, high: 26 kV", "error", "quantity.beyond-source", "22 V"),
    (
        SCREWS,
        'thread: M10x1.4, class: "8.8", torque: 36 N·m, friction: 0.16',
        "error",
        "torque.unknown-thread",
        "M10x1.5",
    ),
    (
        SCREWS,
        "thread: 1/2-13, class: grade 5, torque: 8 N·m, joint: cover",
        "error",
        "torque.unknown-thread",
        "1/2-13 UNC",
    ),
    (SCREWS, 'thread: M6, class: "8,8", torque: 7 N·m, friction: 0.16', "error", "torque.unknown-class", "8.8"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 N·m, friction: oild', "error", "torque.unknown-friction", "oiled"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 J, friction: 0.16', "error", "quantity.wrong-dimension", "7 N·m"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 ftlb, friction: 0.16', "error", "quantity.unknown-unit", "lbf·ft"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7, friction: 0.16', "error", "source.needs-unit", "7 N·m"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 Nm, friction: 0.16', "", "", ""),
    (SUPPLY, "low: 22 VDC, high: 26 V", "error", "quantity.unknown-unit", "22 V"),
    (SUPPLY, "low: 22 volts, high: 26 V", "error", "quantity.unknown-unit", "22 V"),
    (SUPPLY, "low: 22 V., high: 26 V", "error", "quantity.unknown-unit", "22 V"),
    (SUPPLY, "low: .5 V, high: 26 V", "error", "quantity.unreadable", "0.5 V"),
    (SUPPLY, "low: 022 V, high: 26 V", "error", "quantity.unreadable", "22 V"),
    (SUPPLY, "low: 22-26 V", "error", "quantity.unreadable", "`low` and `high`"),
    (SUPPLY, "low: 22 V ± 2 V", "error", "quantity.unreadable", "`tolerance`"),
    (SUPPLY, "low: 22 000 mV, high: 26 V", "error", "quantity.unreadable", "22000 mV"),
    (SUPPLY, "low: 22 V, high: 26 MV", "error", "quantity.unknown-unit", "26 mV"),
    (SUPPLY, "low: 22 V, high: 260 V", "error", "quantity.beyond-source", "26.0 V"),
    (SUPPLY, "nominal: 24 V, tolerance: 0 V", "error", "quantity.empty-band", "width"),
    (SUPPLY, "nominal: 24 V, tolerance: -5 %", "error", "quantity.impossible", "5 %"),
    (SUPPLY, "nominal: 24 V, tolerance: 2 A", "error", "quantity.wrong-dimension", "`V`"),
    (SUPPLY, "nominal: 24 V", "error", "source.incomplete", "tolerance"),
    (SUPPLY, "steady: {within: 1 V, for: 30}", "error", "source.needs-unit", "30 s"),
    (SUPPLY, "falls_by: {at_most: 1 V, over: 5 V}", "error", "quantity.wrong-dimension", "`min`"),
    (SUPPLY, "low: 22 V per cell, high: 26 V", "error", "quantity.unknown-unit", "22 V"),
    (SUPPLY, "low: 22 V/block, high: 26 V", "error", "quantity.unknown-unit", "`each`"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 N·m/bolt, friction: 0.16', "error", "quantity.unknown-unit", "7 N·m"),
    (COIL, "nominal: 4k7, tolerance: 10 %", "error", "quantity.unreadable", "4.7 kΩ"),
    (COIL, "nominal: 2R2, tolerance: 10 %", "error", "quantity.unreadable", "2.2 Ω"),
    (COIL, "nominal: 200 omh, tolerance: 10 %", "error", "quantity.unknown-unit", "200 ohm"),
    (COIL, "nominal: 200 R, tolerance: 10 %", "error", "quantity.unknown-unit", "200 Ω"),
    (COIL, "low: -20 ohm, high: 220 ohm", "error", "quantity.impossible", "20 ohm"),
    (COIL, "nominal: 200 ohm, tolerance: 10", "error", "source.needs-unit", "10 %"),
    (COIL, "nominal: 200 °, tolerance: 10 %", "error", "quantity.wrong-dimension", "`Ω`"),
    (SCREWS, 'thread: M6.5, class: "8.8", torque: 7 N·m, friction: 0.16', "error", "torque.unknown-thread", "M6x1"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 N, friction: 0.16', "error", "quantity.wrong-dimension", "7 N·m"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 7 Nmm, friction: 0.16', "error", "quantity.unknown-unit", "7 mNm"),
    (SCREWS, 'thread: M6, class: "8.8", torque: -7 N·m, friction: 0.16', "error", "quantity.impossible", "7 N·m"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 5 ft-lbs, friction: 0.16', "error", "quantity.unknown-unit", "lbf·ft"),
    (SCREWS, "thread: M6, class: A2, torque: 6 N·m, friction: 0.16", "error", "torque.unknown-class", "A2-70"),
    (SCREWS, 'thread: M6, class: "8.8", torque: 14 N·m', "error", "torque.over-proof", "state it"),
]


@pytest.mark.parametrize(("old", "new", "severity", "slug", "right"), SLIPS, ids=lambda each: str(each)[:40])
def test_each_slip_is_told_with_the_nearest_right_thing(old, new, severity, slug, right, tmp_path):
    shutil.copytree(BASE, tmp_path, dirs_exist_ok=True)
    path = tmp_path / MACHINE
    text = path.read_text("utf-8")
    assert text.count(old) == 1
    path.write_text(text.replace(old, new), "utf-8")
    found = [
        each
        for each in pipeline.run(Request(tmp_path, "2026-06-01"), silence).verdict.findings
        if each.span.file == MACHINE
    ]
    line = text[: text.index(old)].count("\n") + 1
    assert {(each.severity.value, each.slug) for each in found} == ({(severity, slug)} if slug else set())
    assert all(each.span.line == line and right in f"{each.sentence} {each.mend}" for each in found)


def test_a_pressure_below_that_of_the_air_is_a_vacuum(tmp_path):
    shutil.copytree(BASE, tmp_path, dirs_exist_ok=True)
    path = tmp_path / MACHINE
    text = path.read_text("utf-8")
    for kind, count in (("running-pressure", 1), ("vacuum", 0)):
        boost = f"  boost: {{measure: {kind}, low: -5 psi, high: 20 psi, source: drawing MW-9010}}\nfasteners:"
        path.write_text(text.replace("fasteners:", boost), "utf-8")
        found = pipeline.run(Request(tmp_path, "2026-06-01"), silence).verdict.findings
        told = [each.mend for each in found if each.slug == "quantity.impossible"]
        assert len(told) == count
        assert all("`5 psi`" in mend and "vacuum" in mend for mend in told)
