"""`check`: what it finds, what it reads for that, and how it says so."""

import json
from pathlib import Path

import jsonschema
import pytest

from benchleaf.base import resources
from benchleaf.build.rules import all_rules
from benchleaf.source.read import read_file

GOLDEN = Path(__file__).parents[1] / "golden"
PROCEDURE = "procedures/df-1/filter-clean.yaml"
MACHINE = "procedures/df-1/machine.yaml"
SHOP = "procedures/shop.yaml"
BLOCK = """# yaml-language-server: $schema=../../.benchleaf/schema/block.schema.json
format: benchleaf/block/1
id: brush
title: Look at the brush
steps:
  - look: The brush is dry.
"""


@pytest.fixture
def read(monkeypatch):
    """The files that are read, in their order."""
    files = []

    def listening(path, root, kind):
        files.append(path.relative_to(root).as_posix())
        return read_file(path, root, kind)

    monkeypatch.setattr("benchleaf.build.gather.read_file", listening)
    return files


@pytest.fixture
def second(workspace):
    """A second machine with a procedure of its own."""
    folder = workspace / "procedures/df-2"
    folder.mkdir()
    for name in ("machine", "filter-clean"):
        text = (workspace / f"procedures/df-1/{name}.yaml").read_text("utf-8")
        text = text.replace("df-1", "df-2").replace("id: filter-clean", "id: mat-clean")
        (folder / f"{name.replace('filter', 'mat')}.yaml").write_text(text, "utf-8")
    return "procedures/df-2/mat-clean.yaml"


def test_a_new_workspace_is_clean(run, workspace):
    assert run("check", "--strict") == (0, "nothing to mend; 1 of 1 procedure ready.\n", "")


@pytest.mark.parametrize(("name", "options"), [("check", []), ("check_summary", ["--summary"])])
def test_findings_read_as_looked_at(run, spoil, name, options):
    spoil("purpose:", "porpoise:")
    spoil("voltage: 230 V", "voltage: 230", MACHINE)
    told = run("check", *options)
    assert (told.code, told.err) == (1, "")
    # The manual's own sentences are held where they stand.
    lines = [line for line in told.out.splitlines(keepends=True) if not line.startswith("  why: ")]
    assert "".join(lines) == (GOLDEN / f"{name}.txt").read_text("utf-8")


def test_a_single_procedure_is_read_with_what_it_stands_on_and_no_more(run, workspace, second, read):
    assert run("check", PROCEDURE).code == 0
    assert sorted(read) == [PROCEDURE, MACHINE, SHOP]
    read.clear()
    assert run("check").code == 0
    assert len(read) == 5


def test_linked_procedures_and_blocks_are_read_as_well(run, workspace, second, spoil, read):
    block = "procedures/common/brush.yaml"
    (workspace / block).write_text(BLOCK, "utf-8")
    spoil("  - clean: filter\n", "  - insert: brush\n  - clean: filter\n")
    spoil("leave: as-final}", "then: {procedure: mat-clean}, leave: as-final}")
    run("check", PROCEDURE)
    assert sorted(read) == sorted([PROCEDURE, MACHINE, SHOP, block, second])


def test_findings_of_others_are_not_told_with_a_single_procedure(run, workspace, second, spoil):
    spoil("purpose:", "porpoise:", second)
    spoil("  motor:", "  spare: {name: spare part}\n  motor:", MACHINE)
    told = run("check", PROCEDURE)
    assert told == (0, "nothing to mend; 1 of 1 procedure ready.\n", "")
    assert run("check", second).code == 1
    assert run("check", "procedures/df-1").code == 0
    assert "1 of 2 procedures ready" in run("check").out


def test_errors_of_what_a_procedure_stands_on_stop_it(run, workspace, second, spoil):
    spoil("voltage: 230 V", "voltage: 230", MACHINE)
    told = run("check", PROCEDURE)
    assert told.code == 1
    assert told.out.startswith(f"{MACHINE}:")
    assert run("check", second).code == 0
    spoil("paper: A4", "paper: A44", SHOP)
    assert run("check", second).code == 1


def test_a_broken_link_is_told_and_a_link_to_a_broken_procedure_is_not(run, workspace, second, spoil):
    """Each procedure stands alone: another one's errors are its own affair."""
    spoil("leave: as-final}", "then: {procedure: mat-cleen}, leave: as-final}")
    told = run("check", PROCEDURE)
    assert told.code == 1 and "mat-clean" in told.out
    spoil("mat-cleen", "mat-clean")
    assert run("check", PROCEDURE).code == 0
    spoil("purpose:", "porpoise:", second)
    assert run("check", PROCEDURE).code == 0


def test_a_machine_file_alone_is_checked_against_all_its_procedures(run, workspace, spoil):
    assert run("check", MACHINE) == (0, "nothing to mend; no procedure.\n", "")
    spoil("  winding:", "  other: {measure: resistance, low: 1 ohm, high: 9 ohm, source: drawing}\n  winding:", MACHINE)
    told = run("check", MACHINE)
    assert "names.unused" in told.out and "`other`" in told.out and "`winding`" not in told.out


def test_warnings_count_only_when_strict(run, workspace, spoil):
    spoil("steps: ", "waive: [{check: names.unused, reason: No reason.}]\nsteps: ")
    told = run("check")
    assert told.code == 0 and "warning" in told.out
    assert run("check", "--strict").code == 1


@pytest.mark.parametrize("spoilt", [False, True])
def test_json_follows_its_schema(run, workspace, spoil, spoilt):
    if spoilt:
        spoil("purpose:", "porpoise:")
    told = run("check", "--format", "json")
    data = json.loads(told.out)
    jsonschema.Draft202012Validator(json.loads(resources.schema_text("findings"))).validate(data)
    assert data["summary"]["ready"] == (0 if spoilt else 1)
    assert told.code == (1 if spoilt else 0)
    assert {finding["file"] for finding in data["findings"]} == ({PROCEDURE} if spoilt else set())


def test_sarif_lists_every_rule_that_explain_lists(run, workspace):
    # A reason stands alone on its line; a rule has its severity beside it.
    listed = [
        line.split()[0] for line in run("explain").out.splitlines() if line.startswith("  ") and " " in line.strip()
    ]
    told = run("check", "--format", "sarif")
    rules = json.loads(told.out)["runs"][0]["tool"]["driver"]["rules"]
    assert sorted(rule["id"] for rule in rules) == sorted(listed)
    assert len(listed) > 50


def test_explain_prints_the_whole_manual(run):
    told = run("explain", "[source.duplicate-key]")
    assert told.code == 0
    for part in ("source.duplicate-key (error, since", "not so:", "but so:", "mend: ", "source: "):
        assert part in told.out


@pytest.mark.parametrize("asked", ["source.duplicate-kee", "duplicate-key", "source.duplicate_key"])
def test_explain_offers_the_nearest(run, asked):
    told = run("explain", asked)
    assert told.code == 2
    assert "source.duplicate-key" in told.err


def test_every_slug_has_its_own_manual(run):
    slugs = [rule.slug for rule in all_rules()]
    assert len(slugs) == len(set(slugs))
    for rule in all_rules():
        assert all((rule.why, rule.mend, rule.bad, rule.good, rule.source)), rule.slug
        assert rule.bad != rule.good, rule.slug
