"""What counts of signatures that no command would make: written by hand, each with the true key of its signer."""

import json

import pytest
from tests.review.conftest import SHOP, SIGNED, public, seed

from benchleaf.card.digest import of_bytes
from benchleaf.review.envelope import opened, seal
from benchleaf.review.keys import from_seed

NAMES = {"w-writer": "W. Writer", "r-reviewer": "R. Reviewer", "a-approver": "A. Approver", "b-both": "B. Both"}


@pytest.fixture
def add(bench):
    """Add a signature of somebody behind those that are there, as a copy of the first with what is given changed."""

    def add_it(who, meaning, role, number=0, **changed):
        paths = bench.envelopes()
        said = json.loads(json.dumps(opened(paths[0].read_bytes()).statement))
        said["predicate"] |= {
            "person": who,
            "name": NAMES[who],
            "meaning": meaning,
            "role": role,
            "number": number or len(paths) + 1,
            "previous": of_bytes(paths[-1].read_bytes()),
            "time": "2026-03-02T08:00:00Z",
            **changed,
        }
        path = bench.root / SIGNED / f"A-{said['predicate']['number']:02d}.json"
        path.write_bytes(seal(said, from_seed(seed(who))))

    return add_it


def verified(bench, day="2026-03-05"):
    """The verdict on the procedure, and the slugs of what was found."""
    (told,) = json.loads(bench.run("verify", "--format", "json", day=day).out)["verdicts"]
    return told["verdict"], {finding["slug"] for finding in told["findings"]}


def test_signed_by_hand_as_by_the_command_it_is_released(bench, add):
    bench.sign("w-writer", "ready")
    add("r-reviewer", "reviewed", "reviewer")
    assert verified(bench) == ("in review", set())
    add("a-approver", "approved", "approver")
    assert verified(bench) == ("current", set())


def test_the_writer_alone_releases_nothing(bench, add):
    bench.sign("b-both", "ready")
    add("b-both", "reviewed", "reviewer")
    add("b-both", "approved", "approver")
    assert verified(bench)[0] == "in review"


def test_one_person_counts_for_one_role(bench, add):
    bench.sign("w-writer", "ready")
    add("a-approver", "reviewed", "reviewer")
    add("a-approver", "approved", "approver")
    assert verified(bench)[0] == "in review"
    add("r-reviewer", "reviewed", "reviewer")
    assert verified(bench)[0] == "current"


def test_a_second_key_makes_no_second_person(bench, add):
    bench.edit(
        f"key: '{public('a-approver')}'}}", f"key: '{public('a-approver')}'}}, {{key: '{public('stranger')}'}}", SHOP
    )
    assert bench.list_people("2026-02-01").code == 0
    bench.sign("w-writer", "ready")
    bench.sign("a-approver", "reviewed")
    refused = bench.sign("stranger", "approved")
    assert refused.code == 3 and "another person must" in refused.err


def test_time_that_runs_back_does_not_count(bench, add):
    bench.sign("w-writer", "ready")
    add("r-reviewer", "reviewed", "reviewer")
    add("a-approver", "approved", "approver", time="2026-03-01T23:00:00Z")
    assert verified(bench) == ("in review", {"approval.clock-runs-back"})


def test_a_link_to_another_signature_breaks_the_chain(bench, add):
    bench.sign("w-writer", "ready")
    add("r-reviewer", "reviewed", "reviewer")
    add("a-approver", "approved", "approver", previous=of_bytes(b"another"))
    assert verified(bench) == ("altered", {"approval.broken-chain"})


def test_a_signature_under_the_name_of_another_person_does_not_count(bench, add):
    bench.sign("w-writer", "ready")
    add("r-reviewer", "reviewed", "reviewer")
    said = {"person": "a-approver", "name": "A. Approver"}
    add("b-both", "approved", "approver", **said)
    assert verified(bench) == ("altered", {"approval.unknown-key"})


def test_a_key_that_has_run_out_does_not_count(bench, add):
    bench.edit(f"key: '{public('r-reviewer')}'", f"key: '{public('r-reviewer')}', until: 2026-03-01", SHOP)
    assert bench.list_people("2026-02-01").code == 0
    bench.sign("w-writer", "ready")
    add("r-reviewer", "reviewed", "reviewer")
    add("a-approver", "approved", "approver")
    assert verified(bench) == ("in review", {"approval.key-not-valid"})


def test_an_older_revision_is_never_released_over_a_newer_one(bench, add):
    """A content of revision A that was signed too late stays what it is."""
    bench.revise("B")
    bench.release()
    first = opened(bench.envelopes()[0].read_bytes()).statement
    bench.edit("revision: B", "revision: A")
    refused = bench.sign("w-writer", "ready", day="2026-03-02")
    assert refused.code == 3 and "give what has changed a later one" in refused.err
    assert first["predicate"]["revision"] == "B"


def test_a_shop_of_two_needs_two_people(bench):
    with (bench.root / SHOP).open("a", encoding="utf-8") as shop:
        shop.write("release: {roles: [reviewer], revisions: numbers, valid_days: 30}\n")
    assert bench.list_people("2026-02-01").code == 0
    refused = bench.sign("w-writer", "ready")
    assert refused.code == 3 and "is not counted in numbers" in refused.err
    bench.edit("revision: A", "revision: 1")
    assert bench.sign("w-writer", "ready").code == 0
    assert bench.sign("w-writer", "reviewed").code == 3
    done = bench.sign("r-reviewer", "reviewed")
    assert "It is released." in done.out
    assert verified(bench, "2026-03-31")[0] == "current"
    assert verified(bench, "2026-04-01")[0] == "run out"
