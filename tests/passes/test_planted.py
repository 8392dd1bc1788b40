"""Mistakes planted into a small machine with circuit and faults: each is found, and told with its numbers and ways."""

import shutil
from pathlib import Path

import pytest

from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Request, silence

BASE = Path(__file__).resolve().parents[1] / "rules/base/procedures"
CIRCUIT = """circuit:
  ground: N1
  elements:
    feed: {type: battery, nodes: [F1, N1], voltage: 24 V, resistance: 0.1 ohm, tolerance: 5 %}
    plug: {type: switch, nodes: [F1, P1], closed_when: {plug: mated}}
    fuse: {type: fuse, nodes: [P1, A1], rating: 4 A, part: relay}
    key: {type: switch, nodes: [A1, K1], closed_when: {key: on}, part: relay}
    coil: {type: coil, nodes: [K1, N1], part: relay, resistance: 200 ohm, tolerance: 10 %, pulls_in: 16 V, drops_out: 6 V}
    contact: {type: contact, of: coil, nodes: [A1, M1], part: relay}
    drive: {type: motor, nodes: [M1, N1], part: pump, resistance: 2 ohm, back_emf: 20 V, tolerance: 10 %}
faults:
  fuse-blown: {part: relay, weight: 5, says: the fuse is blown, circuit: {fuse: open}}
  key-open: {part: relay, weight: 2, says: the key does not close, circuit: {key: open}}
  coil-open: {part: relay, weight: 1, says: the coil is broken, circuit: {coil: open}}
  contact-burnt: {part: relay, weight: 3, says: the contact is burnt, circuit: {contact: open}}
  drive-dead: {part: pump, weight: 4, says: the drive is broken, circuit: {drive: open}}
"""  # noqa: E501
LIMITS = """limits:
  fused: {measure: dc-voltage, low: 22 V, high: 26 V, source: drawing MW-9010}
  keyed: {measure: dc-voltage, low: 20 V, high: 26 V, source: drawing MW-9010}
  driven: {measure: dc-voltage, low: 20 V, high: 26 V, source: drawing MW-9010}
"""
POINTS = """points:
  A1: {name: fuse output, part: relay}
  M1: {name: drive plus, part: relay}
"""
FUSED = "  - {measure: fused, between: [A1, N1], meter: meter-1, below: {found: fuse-blown}, above: {found: unknown}}\n"
KEYED = "  - {measure: keyed, between: [K1, N1], meter: meter-1, below: {found: key-open}, above: {found: unknown}}\n"
DRIVEN = (
    "  - {measure: driven, between: [M1, N1], meter: meter-1, below: {found: contact-burnt}, above: {found: unknown}}\n"
)
COIL = "  - {measure: coil, at: relay, between: [K1, N1], meter: meter-1, below: {found: unknown}, above: {found: coil-open}}\n"  # noqa: E501
KEY_ON = "  - operate: Turn the key on.\n    sets: {key: on}\n"
KEY_OFF = "  - operate: Turn the key off.\n    sets: {key: off}\n"
NAMED = ("fuse-blown", "key-open", "coil-open", "contact-burnt", "drive-dead")
WHOLE = FUSED + KEY_ON + KEYED + KEY_OFF + COIL + KEY_ON + DRIVEN


@pytest.fixture
def found(tmp_path):
    def hold(steps, circuit=CIRCUIT, limits=LIMITS, last="drive-dead", named=NAMED):
        shutil.copytree(BASE, tmp_path / "procedures")
        machine, trial = tmp_path / "procedures/rig/machine.yaml", tmp_path / "procedures/rig/trial.yaml"
        text = machine.read_text("utf-8").partition("circuit:\n")[0]
        machine.write_text(text.replace("limits:\n", limits).replace("points:\n", POINTS) + circuit, "utf-8")
        head, _, _ = trial.read_text("utf-8").partition("steps:\n")
        outcomes = "".join(f"  {name}: {{fault: {name}, text: Mend it., leave: out-of-service}}\n" for name in named)
        trial.write_text(
            f"{head}steps:\n{steps}"
            f"  - ask: Does the pump run?\n    answers: {{yes: {{found: done}}, no: {{found: {last}}}}}\n"
            "outcomes:\n  done: {text: The rig runs., leave: as-final}\n"
            "  unknown: {text: No listed fault found. Call the maker., leave: out-of-service}\n"
            f"{outcomes}final: {{key: off, plug: mated, lid: fitted}}\n",
            "utf-8",
        )
        judged = judge(gather(Request(tmp_path, "2026-06-01")), silence).judged
        (one,) = (each for each in judged if each.key[-1] == "trial")
        assert one.facts.matrix is not None
        told = [each for each in one.findings if each.slug.startswith("circuit") or each.slug in WATCHED]
        return [(each.slug, each.sentence.replace("\N{NARROW NO-BREAK SPACE}", " ")) for each in told]

    return hold


WATCHED = ("logic.fault-missed", "logic.faults-alike", "logic.same-question-twice", "logic.slow-order")


def slugs(findings):
    return [slug for slug, _ in findings]


def test_what_is_right_is_left_alone(found):
    assert [each for each in found(WHOLE) if each[0] != "logic.slow-order"] == []


def test_a_limit_within_the_tolerance_of_the_source(found):
    """24 V of 5 % behind milliohms."""
    findings = found(WHOLE, limits=LIMITS.replace("low: 22 V, high: 26 V", "low: 23.5 V, high: 24.5 V"))
    (sentence,) = (sentence for slug, sentence in findings if slug == "circuit.condemns-good-parts")
    assert "is 22.8 V to 25.2 V; the limit `fused` is 23.5 V to 24.5 V" in sentence


def test_leads_the_wrong_way_round(found):
    findings = found(WHOLE.replace("between: [A1, N1]", "between: [N1, A1]"))
    (sentence,) = (sentence for slug, sentence in findings if slug == "circuit.condemns-good-parts")
    assert "is \N{MINUS SIGN}25.2 V to \N{MINUS SIGN}22.8 V; the limit `fused` is 22 V to 26 V, where" in sentence
    assert sentence.endswith("where it would lie with the leads swapped.")


def test_a_reading_in_the_wrong_state(found):
    """The key was never turned on."""
    findings = found(FUSED + KEYED + COIL + DRIVEN)
    condemned = [sentence for slug, sentence in findings if slug == "circuit.condemns-good-parts"]
    assert len(condemned) == 2 and all(
        sentence.startswith("By the circuit the reading of a good machine is 0 V; the limit") for sentence in condemned
    )


def test_the_coil_is_blamed_on_the_contact(found):
    """With an open coil the contact never closes, and the drive gets nothing either."""
    findings = found(FUSED + KEY_ON + KEYED + DRIVEN + KEY_OFF + COIL)
    (sentence,) = (sentence for slug, sentence in findings if slug == "logic.fault-missed")
    assert sentence == (
        "With the fault `coil-open` this card leads to the outcome `contact-burnt` "
        "(measure fused: inside; measure keyed: inside; measure driven: below)."
    )


def test_a_fault_that_leaves_the_reading_good(found):
    steps = WHOLE.replace("{found: contact-burnt}", "{found: drive-dead}")
    findings = found(steps, last="contact-burnt")
    (sentence,) = (sentence for slug, sentence in findings if slug == "circuit.fault-unseen")
    assert "With the fault `drive-dead` this reads 23.99 V, inside the limit `driven` (20 V to 26 V)" in sentence


def test_a_limit_that_takes_both_for_good(found):
    limits = LIMITS.replace("driven: {measure: dc-voltage, low: 20 V", "driven: {measure: dc-voltage, low: 0 V")
    assert "circuit.fault-unseen" in slugs(found(WHOLE, limits=limits))


def test_faults_of_different_parts_that_no_question_tells_apart(found):
    findings = found(FUSED + KEY_ON + DRIVEN, CIRCUIT.replace("key-open: {part: relay", "key-open: {part: pump"))
    (sentence,) = (sentence for slug, sentence in findings if slug == "logic.faults-alike")
    assert all(f"`{name}`" in sentence for name in ("key-open", "coil-open", "contact-burnt"))


def test_a_fuse_too_small_for_the_drive(found):
    """(24 - 20) V over 2 ohm and a little is 1.9 A, and the coil takes 0.12 A."""
    findings = found(WHOLE, circuit=CIRCUIT.replace("rating: 4 A", "rating: 1.5 A"))
    (sentence,) = (sentence for slug, sentence in findings if slug == "circuit.fuse-blows")
    assert "`fuse` carries 1.9" in sentence and "is rated for 1.5 A" in sentence
