"""Rules whose findings come only while documents are drawn."""

import shutil
from pathlib import Path

from benchleaf.build import pipeline
from benchleaf.build.request import Making, Request, silence

BASE = Path(__file__).parent / "base"


def test_a_sign_that_the_font_lacks(tmp_path):
    """document.not-drawn: told in the procedure's file, and no document of it is made."""
    shutil.copytree(BASE, tmp_path, dirs_exist_ok=True)
    trial = tmp_path / "procedures/rig/trial.yaml"
    trial.write_text(
        trial.read_text("utf-8").replace("Does the run lamp light?", "Does the lamp show \u2600?"), "utf-8"
    )
    making = Making(tmp_path / "out", kinds=("pdf",), jobs=1)
    made = pipeline.run(Request(tmp_path, "2026-06-01", making=making), silence)
    told = [(finding.slug, finding.span.file) for finding in made.verdict.findings]
    assert told == [("document.not-drawn", "procedures/rig/trial.yaml")]
    assert made.built == ("rig/keep",)


def test_a_theme_of_the_workspace_that_is_broken(tmp_path):
    """document.broken-theme: told in the theme's file, and nothing is drawn with it."""
    shutil.copytree(BASE, tmp_path, dirs_exist_ok=True)
    (tmp_path / "themes" / "house").mkdir(parents=True)
    (tmp_path / "themes" / "house" / "tokens.json").write_text('{"over": "daylight"}', "utf-8")
    (tmp_path / "themes" / "house" / "card.html").write_text("\n{{ card.weather }", "utf-8")
    making = Making(tmp_path / "out", kinds=("pdf",), theme="house", jobs=1)
    made = pipeline.run(Request(tmp_path, "2026-06-01", making=making), silence)
    told = [(finding.slug, finding.span.file, finding.span.line) for finding in made.verdict.findings]
    assert told == [("document.broken-theme", "themes/house/card.html", 2)]
    assert made.built == ()
