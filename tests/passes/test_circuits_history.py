"""A contactor that holds itself stands as what was done before has left it, sound and at fault."""

import shutil
from pathlib import Path

import pytest

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence

BASE = Path(__file__).resolve().parents[1] / "rules/base/procedures"
# Feed behind a stop button, a start button with the contactor's own contact beside it, and the load behind another.
CIRCUIT = """circuit:
  ground: N1
  elements:
    feed: {type: battery, nodes: [F1, N1], voltage: 24 V, resistance: 0.1 ohm}
    plug: {type: switch, nodes: [F1, P1], closed_when: {plug: mated}}
    stop: {type: switch, nodes: [P1, S1], closed_when: {stop: released}}
    start: {type: switch, nodes: [S1, K1], closed_when: {start: pressed}}
    seal: {type: contact, of: coil, nodes: [S1, K1]}
    coil: {type: coil, nodes: [K1, N1], part: relay, resistance: 200 ohm, pulls_in: 16 V, drops_out: 6 V}
    main: {type: contact, of: coil, nodes: [P1, M1]}
    load: {type: resistor, nodes: [M1, N1], resistance: 12 ohm}
faults:
  coil-open: {part: relay, says: the relay coil is broken, circuit: {coil: open}}
  seal-burnt: {part: relay, says: the relay does not hold itself, circuit: {seal: open}}
  main-welded: {part: relay, says: the relay stays on, circuit: {main: short}}
"""
CONDITIONS = """conditions:
  start: {name: start button, values: [released, pressed], initial: released, by: person, control: true, springs_back: released, place: front}
  stop: {name: stop button, values: [released, pressed], initial: released, by: person, control: true, springs_back: released, place: front}
"""  # noqa: E501
STEPS = """steps:
  - {measure: output-off, id: at-first, between: [M1, N1], meter: meter-1, above: {found: welded}}
  - operate: Press the start button.
    sets: {start: pressed}
  - {measure: supply, id: held, between: [M1, N1], meter: meter-1, below: {found: burnt}, above: {found: unknown}}
  - operate: Press the stop button.
    sets: {stop: pressed}
  - {measure: output-off, id: stopped, between: [M1, N1], meter: meter-1, above: {found: welded}}
  - operate: Press the start button.
    sets: {start: pressed}
  - {measure: coil, id: dead, at: relay, between: [K1, N1], meter: meter-1, outside: {found: broken}}
  - {measure: output-off, id: again, between: [M1, N1], meter: meter-1, above: {found: welded}}
  - ask: Does the run lamp light?
    answers: {yes: {found: done}, no: {found: unknown}}
outcomes:
  done: {text: The rig runs., leave: as-final}
  unknown: {text: No listed fault found. Call the maker., leave: out-of-service}
  broken: {fault: coil-open, text: Replace the relay., leave: out-of-service}
  burnt: {fault: seal-burnt, text: Replace the relay., leave: out-of-service}
  welded: {fault: main-welded, text: Replace the relay., leave: out-of-service}
"""


@pytest.fixture
def readings(tmp_path):
    def make(steps=STEPS, circuit=CIRCUIT):
        shutil.copytree(BASE, tmp_path / "procedures")
        machine, trial = tmp_path / "procedures/rig/machine.yaml", tmp_path / "procedures/rig/trial.yaml"
        text = machine.read_text("utf-8").partition("circuit:\n")[0].replace("conditions:\n", CONDITIONS)
        text = text.replace(
            "limits:\n", "limits:\n  output-off: {measure: dc-voltage, high: 1 V, source: drawing MW-9010}\n"
        )
        text = text.replace("points:\n", "points:\n  M1: {name: load stud, part: relay}\n")
        machine.write_text(text + circuit, "utf-8")
        head = trial.read_text("utf-8").partition("steps:\n")[0].partition("outcomes:\n")[0]
        trial.write_text(head + steps, "utf-8")
        (one,) = (
            each for each in judge(gather(Request(tmp_path, "2026-06-01")), silence).judged if each.key[-1] == "trial"
        )
        return one.facts.expected.readings, one.findings

    return make


def test_it_holds_from_start_to_stop(readings):
    """24 V over 0.1 ohm before 200 and 12 ohm side by side."""
    found, findings = readings()
    assert found["at-first"].nominal == pytest.approx(0, abs=1e-9)
    assert found["held"].nominal == pytest.approx(24 * (2400 / 212) / (2400 / 212 + 0.1), rel=1e-6)
    assert found["stopped"].nominal == pytest.approx(0, abs=1e-9)
    assert not [each for each in findings if each.slug.startswith("circuit")], findings


def test_a_lockout_lets_it_go(readings):
    found, _ = readings()
    assert found["again"].nominal == pytest.approx(0, abs=1e-9)


def test_a_fault_has_its_own_past(readings):
    found, _ = readings()
    assert found["held"].sides["seal-burnt"] == "below"
    assert found["held"].sides["coil-open"] == "below"
    assert found["stopped"].sides["main-welded"] == "above"
    assert found["stopped"].sides["seal-burnt"] == "inside"


def test_while_the_button_is_held_a_burnt_seal_shows_nothing(readings):
    steps = STEPS.replace(
        "id: held, between: [M1, N1], meter: meter-1,",
        "id: held, between: [M1, N1], meter: meter-1, "
        "while: {operate: Hold the start button pressed., who: helper, sets: {start: pressed}},",
    )
    found, findings = readings(steps)
    assert found["held"].sides["seal-burnt"] == "inside"
    assert "circuit.fault-unseen" in {each.slug for each in findings}
