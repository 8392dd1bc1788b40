"""What a circuit lets one expect at the steps of the demonstration, worked by hand, and limits taken from it."""

import re
import shutil
from pathlib import Path

import pytest

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence
from benchleaf.build.tracing import traces

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-01"


def facts(root, *key):
    request = Request(root, TODAY, (root / "procedures" / f"{'/'.join(key)}.yaml",))
    (one,) = judge(gather(request), silence).judged
    assert one.key == key
    return one


@pytest.fixture(scope="module")
def silent():
    return facts(ROOT, "rc-48", "contactor-silent").facts.expected


def test_readings_of_a_good_machine(silent):
    """50.9 V of 1 % behind two guards of 4.7 kohm, read with 10 Mohm; the coil takes 0.36 A through 39.3 mohm."""
    loading = 10e6 / (10e6 + 2 * 4.7e3)
    rest = silent.readings["rest"]
    assert rest.nominal == pytest.approx(50.9 * loading, rel=1e-6)
    worst, fairest = (10e6 / (10e6 + 2 * 4.7e3 * share) for share in (1.05, 0.95))
    assert rest.stated_low == pytest.approx(50.9 * 0.99 * worst, rel=1e-6)
    assert rest.stated_high == pytest.approx(50.9 * 1.01 * fairest, rel=1e-6)
    supply = next(each for each in silent.readings.values() if each.limit == "coil-supply")
    assert supply.nominal == pytest.approx(50.9 * loading - 50.9 / 140 * 89.3e-3, abs=2e-3)
    coil = silent.readings["coil-check"]
    assert (coil.low, coil.nominal, coil.high, coil.unit) == pytest.approx((133, 140, 147, "Ω"))


def test_readings_under_faults(silent):
    by_limit = {each.limit: each for each in silent.readings.values()}
    assert by_limit["key-output"].sides["control-fuse-blown"] == "below"
    assert by_limit["key-output"].faults["control-fuse-blown"] == pytest.approx(0, abs=1e-6)
    # A burnt contact leaves the way over diode and precharge: (50.9 - 0.7) V * 2200 / (2200 + 470).
    assert by_limit["bus-on"].faults["contact-burnt"] == pytest.approx((50.9 - 0.7) * 2200 / 2670, abs=0.1)
    assert by_limit["bus-off"].sides["contact-welded"] == "above"
    # The bank is charged before it is read again.
    assert silent.readings["rest"].sides["flat-pack"] == "below"
    assert silent.readings["rest-charged"].sides["flat-pack"] == "inside"


def test_voltages_of_the_points(silent):
    """With the key off the bank stands at its own node, and nothing behind the key."""
    volts = silent.volts["rest"]
    assert volts["B1"] == pytest.approx(50.9, abs=1e-3)
    assert volts["C1"] == pytest.approx(0, abs=1e-6)
    assert volts["N1"] == 0


def test_a_limit_taken_from_the_circuit():
    """24 V of 3 % less what valve (120 ohm) and relay (650 ohm) draw through 0.15 ohm: rounded outwards."""
    judged = facts(ROOT, "pc-9", "no-clamp")
    limit = judged.facts.expected.computed["valve-signal"]
    assert (str(limit.low), str(limit.high)) == ("23.2 V", "24.7 V")
    heavy, light = (1 / (1 / (120 * share) + 1 / (650 * share)) for share in (0.95, 1.05))
    least, most = 24 * 0.97 * heavy / (heavy + 0.15), 24 * 1.03 * light / (light + 0.15)
    assert limit.low.quantity.number() <= least <= limit.low.quantity.number() + 0.1
    assert limit.high.quantity.number() - 0.1 <= most <= limit.high.quantity.number()
    assert judged.case.machine.limits["valve-signal"] is limit
    (reading,) = (each for each in judged.facts.expected.readings.values() if each.limit == "valve-signal")
    assert reading.sides["relay-contact-burnt"] == "below" and reading.side == "inside"


def test_nothing_is_expected_without_a_circuit(tmp_path):
    shutil.copytree(ROOT / "tests/rules/base/procedures", tmp_path / "procedures")
    machine = tmp_path / "procedures/rig/machine.yaml"
    machine.write_text(machine.read_text("utf-8").partition("circuit:\n")[0], "utf-8")
    assert facts(tmp_path, "rig", "keep").facts.expected is None


def test_the_trace_tells_what_a_meter_shows():
    """The limit of 49.5 V lies between a good machine and a burnt contact."""
    ((_, lines),) = traces(Request(ROOT, TODAY, (ROOT / "procedures/rc-48/no-drive.yaml",)), silence)
    at = next(place for place, line in enumerate(lines) if "measure bus on" in line)
    told = "\n".join(lines[at:]).partition("measure motor drive")[0]
    assert re.search(r"By the circuit, with the key on, .*: good machines show 50\.34\sV to 51\.36\sV\.", told)
    assert re.search(r"With contact-burnt: 41\.31\sV, below\.", told)
    assert "brake-open" not in told
