"""No card is built that the independent verifier can't confirm, and the finding says where and by which path."""

import shutil
from pathlib import Path

from benchleaf.build import documents, pipeline
from benchleaf.build.request import Making, Request, silence
from benchleaf.card.compile import compile_card

DEMO = Path(__file__).parents[2] / "procedures"


def without(card, role):
    """The card with every inserted step of one role taken out and the ways closed over it."""
    gone = {step.key: step.facts.ways[0].to for step in card.steps if step.role == role}

    def onward(key):
        while key in gone:
            key = gone[key]
        return key

    def kept(step):
        ways = tuple(way._replace(to=onward(way.to)) for way in step.facts.ways)
        return step._replace(facts=step.facts._replace(ways=ways))

    sections = tuple(
        section._replace(steps=tuple(kept(step) for step in section.steps if step.key not in gone))
        for section in card.sections
    )
    return card._replace(sections=sections)


def test_a_card_without_its_locks_is_not_built(tmp_path, monkeypatch):
    shutil.copytree(DEMO, tmp_path / "procedures")
    making = Making(tmp_path / "out", kinds=("html",), jobs=1)
    asked = (tmp_path / "procedures/rc-48/throttle-adjust.yaml",)
    monkeypatch.setattr(documents, "compile_card", lambda case, facts: without(compile_card(case, facts), "lock"))
    made = pipeline.run(Request(tmp_path, "2026-06-01", asked, making=making), silence)
    told = [finding for finding in made.verdict.findings if finding.slug == "energy.not-confirmed"]
    assert told and all(finding.span.file == "procedures/rc-48/throttle-adjust.yaml" for finding in told)
    assert any("Path:" in finding.sentence for finding in told)
    assert not list((tmp_path / "out").rglob("checklist*.html"))


def test_the_card_as_it_is_gets_built(tmp_path):
    shutil.copytree(DEMO, tmp_path / "procedures")
    making = Making(tmp_path / "out", kinds=("html",), jobs=1)
    asked = (tmp_path / "procedures/rc-48/throttle-adjust.yaml",)
    made = pipeline.run(Request(tmp_path, "2026-06-01", asked, making=making), silence)
    assert not made.verdict.findings
    assert list((tmp_path / "out/rc-48/throttle-adjust").glob("checklist*.html"))
