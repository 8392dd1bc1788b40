"""Waivers take out what a writer may answer for, and nothing else."""

import json

import pytest

from benchleaf.base.finding import Finding, Severity
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.build import waivers
from benchleaf.edge.cli import main
from benchleaf.model.basics import Ref, Words
from benchleaf.model.procedure import Waiver

SPAN = Span("procedures/rc-48/no-drive.yaml", 3, 1, 3, 9)
SEVERITIES = {"language.long": Severity.WARNING, "torque.over": Severity.ERROR, "energy.residual": Severity.WARNING}
KNOWN = {slug: Rule(slug, severity, "Why.", "Mend.", "bad", "good") for slug, severity in SEVERITIES.items()}
FOUND = tuple(Finding(slug, severity, SPAN, "Wrong.") for slug, severity in SEVERITIES.items())


def waive(slug, until="", found=FOUND):
    waiver = Waiver(SPAN, Ref(slug, SPAN), Words("A reason."), until)
    return waivers.apply((waiver,), found, KNOWN, "2026-05-31")


def slugs(findings):
    return [finding.slug for finding in findings]


def test_a_warning_can_be_waived():
    done = waive("language.long")
    assert slugs(done.waived) == ["language.long"]
    assert slugs(done.findings) == ["torque.over", "energy.residual"]


@pytest.mark.parametrize("slug", ["torque.over", "energy.residual"])
def test_errors_and_energy_cannot_be_waived(slug):
    done = waive(slug)
    assert done.waived == ()
    assert slugs(done.findings) == [*SEVERITIES, "approval.not-waivable"]


def test_a_waiver_of_energy_is_refused_even_where_nothing_is_found():
    assert slugs(waive("energy.residual", found=()).findings) == ["approval.not-waivable"]


@pytest.mark.parametrize(("until", "holds"), [("2026-05-31", True), ("2026-05-30", False), ("", True)])
def test_a_waiver_holds_to_the_end_of_its_day(until, holds):
    done = waive("language.long", until)
    assert bool(done.waived) is holds
    assert ("approval.expired-waiver" in slugs(done.findings)) is not holds


def test_a_waiver_without_a_finding_is_a_finding():
    assert slugs(waive("language.long", found=()).findings) == ["approval.idle-waiver"]


def test_an_unknown_check_offers_the_nearest():
    finding = waive("language.lung", found=()).findings[0]
    assert (finding.slug, finding.severity, finding.change) == (
        "approval.unknown-check",
        Severity.ERROR,
        "language.long",
    )


def test_the_card_takes_what_remains(run_check):
    """Through the front door: the waived finding is gone, a waiver that does nothing is told."""
    assert run_check("") == ["document.no-owner"]
    assert run_check("waive: [{check: document.no-owner, reason: Two of us share it.}]\n") == []
    assert run_check("owner: Us\nwaive: [{check: document.no-owner, reason: Two of us share it.}]\n") == [
        "approval.idle-waiver"
    ]


@pytest.fixture
def run_check(tmp_path, capfd):
    """Slugs that a check of a new workspace finds, with some lines in place of the owner."""
    root = tmp_path / "ws"
    main(["begin", str(root)])
    path = root / "procedures/df-1/filter-clean.yaml"
    text = path.read_text("utf-8")
    capfd.readouterr()

    def run(lines):
        path.write_text(text.replace("owner: Our workshop\n", lines), "utf-8")
        main(["check", str(path), "--format", "json"])
        return [finding["slug"] for finding in json.loads(capfd.readouterr().out)["findings"]]

    return run
