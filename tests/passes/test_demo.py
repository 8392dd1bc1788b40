"""The procedures that come with the project give rise to nothing, and to something as soon as they are spoilt."""

import shutil
from pathlib import Path

import pytest

from benchleaf.build import pipeline
from benchleaf.build.request import Request, silence

ROOT = Path(__file__).resolve().parents[2]
TODAY = "2026-06-01"


def told(root, *paths):
    return {finding.slug for finding in pipeline.run(Request(root, TODAY, paths), silence).verdict.findings}


def test_demo_gives_rise_to_nothing():
    assert told(ROOT) == set()


@pytest.mark.parametrize(
    ("file", "old", "new", "slug"),
    [
        ("rc-48/contactor-silent.yaml", "go: fuse-check", "go: fuse-chekc", "names.unknown-step"),
        ("rc-48/no-drive.yaml", "above: {found: wrong-charger}", "", "logic.side-unanswered"),
        ("rc-48/machine.yaml", "high: 51.6 V", "high: 51.6 A", "quantity.wrong-dimension"),
        ("rc-48/no-drive.yaml", "meter: milliohm-1", "meter: insulation-1", "quantity.meter-lacks-kind"),
        ("rc-48/contactor-replace.yaml", "after: {step: proof}", "", "logic.no-functional-test"),
        ("rc-48/no-drive.yaml", "supplies: none", "", "document.supplies-not-stated"),
        ("rc-48/no-drive.yaml", "Turn the key on.", "Turn the key on properly.", "language.vague-word"),
    ],
)
def test_demo_spoilt_is_told(file, old, new, slug, tmp_path):
    shutil.copytree(ROOT / "procedures", tmp_path / "procedures")
    path = tmp_path / "procedures" / file
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new), "utf-8")
    assert slug in told(tmp_path, path)
