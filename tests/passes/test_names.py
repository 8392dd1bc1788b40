"""What a name that does not exist is told as: whose it should be, what else it is, what was meant."""

import pytest
from tests.passes.bench import case

from benchleaf.passes.base import Facts
from benchleaf.passes.flow import FLOW
from benchleaf.passes.names import NAMES

MACHINE = """
conditions:
  key: {values: [off, on], control: true}
  deck: {values: [fitted, removed], cover: true}
parts:
  drive-motor: {name: drive motor}
"""


def told(step):
    assert FLOW.run is not None and NAMES.run is not None
    bench = case(f"- {step}\n- {{ask: 'Q?', answers: {{yes: {{found: done}}, no: {{found: other}}}}}}", machine=MACHINE)
    findings = NAMES.run(bench, FLOW.run(bench, Facts()).facts).findings
    return [(finding.slug, finding.sentence, finding.change) for finding in findings]


@pytest.mark.parametrize(
    ("step", "slug", "sentence", "change"),
    [
        (
            "clean: drive-moter",
            "names.unknown-part",
            "The machine `rig` has no part `drive-moter`; nearest: `drive-motor`.",
            "drive-motor",
        ),
        (
            "clean: deck",
            "names.unknown-part",
            "The machine `rig` has no part `deck`; `deck` is a condition of the machine.",
            None,
        ),
        (
            "open: key",
            "names.unknown-condition",
            "The machine `rig` has no cover `key`; `key` is a condition without `cover: true`.",
            None,
        ),
        (
            "disconnect: key",
            "names.unknown-condition",
            "The machine `rig` has no isolating condition or part `key`; `key` is a condition that does not isolate.",
            None,
        ),
        (
            "{operate: On., sets: {key: onn}}",
            "names.unknown-value",
            "`key` is never `onn`; its values: `off`, `on`.",
            "on",
        ),
        ("{operate: On., who: helper}", "names.unknown-role", "The crew has no role `helper`.", None),
        (
            "{look: It., uses: [hammer]}",
            "names.unknown-gear",
            "The shop has no tool, meter, wrench or thing `hammer`.",
            None,
        ),
        ("{look: It., then: {go: lost}}", "names.unknown-step", "The procedure has no step `lost`.", None),
    ],
)
def test_sentence_and_change(step, slug, sentence, change):
    assert told(step) == [(slug, sentence, change)]
