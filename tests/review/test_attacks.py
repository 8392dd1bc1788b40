"""What somebody can try who may edit every file of the workspace, and has no key of another person's.

The attacks are those that release systems know (The Update Framework specification, 1.5.2: rollback, freeze, mix and
match, and compromise of a key), and those on single files.
"""

import json
import shutil

import pytest
from tests.review.conftest import FILE, PROCEDURE, SHOP, SIGNED, people_yaml, public

from benchleaf.review import store
from benchleaf.review.faults import Taken
from benchleaf.review.trust import people_of

CARD = "out/released/df-1/filter-clean/card.json"


def verdict(bench, *thing, day="2026-03-02"):
    ran = bench.run("verify", *thing, "--format", "json", day=day)
    found = json.loads(ran.out)["verdicts"]
    assert (ran.code == 0) is all(each["verdict"] == "current" for each in found), ran.out
    return found[0]["verdict"]


def slugs(bench, day="2026-03-02"):
    ran = bench.run("verify", "--format", "json", day=day)
    return {finding["slug"] for each in json.loads(ran.out)["verdicts"] for finding in each["findings"]}


def shown(bench, day="2026-03-02"):
    """The revision that `build --released` shows as released; empty for none."""
    bench.run("build", "--released", "--only", "html", day=day)
    path = bench.root / CARD
    card = json.loads(path.read_bytes()) if path.exists() else {"state": ""}
    return card["revision"] if card["state"] == "released" else ""


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_changed_signature_releases_nothing(bench, number):
    bench.begin_released()
    assert (shown(bench), verdict(bench)) == ("A", "current")
    path = bench.envelopes()[number]
    content = path.read_bytes()
    path.write_bytes(content.replace(b'"payload":"ey', b'"payload":"eX', 1))
    assert (shown(bench), verdict(bench)) == ("", "altered")
    assert "approval.damaged-envelope" in slugs(bench)
    path.write_bytes(content)
    assert (shown(bench), verdict(bench)) == ("A", "current")


@pytest.mark.parametrize("number", [0, 1, 2])
def test_a_signature_that_is_taken_away_is_missed(bench, number):
    bench.begin_released()
    assert verdict(bench) == "current"
    bench.envelopes()[number].unlink()
    assert (shown(bench), verdict(bench)) == ("", "altered")
    assert {"approval.broken-chain", "approval.chain-cut"} & slugs(bench)


def test_rollback_to_an_older_revision_is_seen_by_who_saw_the_newer(bench):
    bench.begin_released()
    bench.revise("B")
    bench.release("2026-04-01")
    assert (shown(bench, "2026-04-02"), verdict(bench, day="2026-04-02")) == ("B", "current")
    for path in bench.envelopes()[3:]:
        path.unlink()
    assert (shown(bench, "2026-04-02"), verdict(bench, day="2026-04-02")) == ("", "altered")
    assert "approval.chain-cut" in slugs(bench, "2026-04-02")
    refused = bench.sign("w-writer", "ready", day="2026-04-03")
    assert refused.code == 3 and "are not whole" in refused.err


def test_rollback_of_all_signatures_is_seen(bench):
    bench.begin_released()
    assert verdict(bench) == "current"
    shutil.rmtree(bench.root / SIGNED)
    assert (shown(bench), verdict(bench)) == ("", "altered")


def test_rollback_is_seen_by_a_new_computer_through_the_signed_list(bench, monkeypatch, tmp_path):
    bench.begin_released()
    assert bench.list_people("2026-03-05").code == 0
    bench.envelopes()[-1].unlink()
    monkeypatch.setenv("BENCHLEAF_HOME", str(tmp_path / "other"))
    assert bench.run("verify", "--trust", public("root")).code == 0
    assert verdict(bench, day="2026-03-06") == "altered"


def test_a_damaged_withdrawal_brings_no_release_back_on_a_new_computer(bench, monkeypatch, tmp_path):
    bench.begin_released()
    assert bench.sign("a-approver", "withdrawn", "--reason", "The mat is recalled", "--urgent").code == 0
    bench.envelopes()[-1].write_bytes(b"{}")
    monkeypatch.setenv("BENCHLEAF_HOME", str(tmp_path / "other"))
    assert bench.run("verify", "--trust", public("root")).code == 0
    assert (shown(bench), verdict(bench)) == ("", "altered")


def test_a_release_that_hides_a_newer_one_runs_out(bench):
    """Freeze: whoever keeps a newer revision away can do so no longer than the old one is valid."""
    bench.begin_released()
    assert verdict(bench, day="2028-02-29") == "current"
    assert (shown(bench, "2028-03-01"), verdict(bench, day="2028-03-01")) == ("", "run out")


def test_a_signature_under_another_name_counts_for_nothing(bench):
    bench.begin_released()
    first = bench.envelopes()[0]
    first.rename(first.with_name("B-01.json"))
    assert verdict(bench) == "altered"
    assert "approval.wrong-place" in slugs(bench)


def test_a_signature_counts_for_its_own_procedure_alone(bench):
    bench.begin_released()
    (bench.root / FILE).with_name("other.yaml").write_text(
        (bench.root / FILE).read_text("utf-8").replace("id: filter-clean", "id: other"), "utf-8"
    )
    shutil.copytree(bench.root / SIGNED, bench.root / SIGNED.replace("filter-clean", "other"))
    ran = bench.run("verify", "--format", "json")
    assert [each["verdict"] for each in json.loads(ran.out)["verdicts"]] == ["current", "altered"]
    bench.run("build", "--released", "--only", "html")
    assert not (bench.root / CARD.replace("filter-clean", "other")).exists()


def test_a_copy_of_a_signature_is_told(bench):
    bench.begin_released()
    last = bench.envelopes()[-1]
    shutil.copy(last, last.with_name("A-03 (1).json"))
    assert (shown(bench), verdict(bench)) == ("", "altered")
    assert "approval.stray-file" in slugs(bench)


def test_an_edited_shop_file_gives_nobody_a_role(bench):
    bench.sign("w-writer", "ready")
    bench.edit("roles: [writer, reviewer]", "roles: [writer, reviewer, approver]", SHOP)
    bench.edit("roles: [reviewer]", "roles: [reviewer, approver]", SHOP)
    assert bench.sign("r-reviewer", "reviewed").code == 0
    refused = bench.sign("r-reviewer", "approved")
    assert refused.code == 3 and "may not sign" in refused.err
    assert shown(bench) == ""


def test_a_list_of_people_by_another_root_is_not_believed(bench):
    (bench.root / "procedures/signed/people-01.json").unlink()
    assert bench.list_people(who="other-root").code == 0
    assert bench.sign("w-writer", "ready").code == 3
    assert "root key" in bench.sign("w-writer", "ready").err
    assert verdict(bench) == "unknown key"
    assert slugs(bench) == {"approval.root-not-trusted"}


def test_an_older_list_of_people_is_missed(bench):
    bench.edit("roles: [approver, reviewer]", "roles: [reviewer]", SHOP)
    assert bench.list_people("2026-02-01").code == 0
    bench.sign("w-writer", "ready")
    (bench.root / "procedures/signed/people-02.json").unlink()
    assert slugs(bench) == {"approval.chain-cut"}


def test_a_stranger_can_not_sign(bench):
    refused = bench.sign("stranger", "approved")
    assert refused.code == 3 and "does not hold this key" in refused.err


def test_no_one_signs_twice_nor_what_they_wrote(bench):
    bench.sign("b-both", "ready")
    for meaning in ("reviewed", "approved"):
        refused = bench.sign("b-both", meaning)
        assert refused.code == 3 and "another person must" in refused.err
    assert bench.sign("a-approver", "reviewed").code == 0
    refused = bench.sign("a-approver", "approved")
    assert refused.code == 3 and "another person must" in refused.err


def test_what_a_stolen_key_signs_afterwards_falls_and_what_was_signed_before_stands(bench):
    bench.begin_released()
    bench.edit(f"key: '{public('r-reviewer')}'", f"key: '{public('r-reviewer')}', revoked: 2026-04-01", SHOP)
    assert bench.list_people("2026-04-02").code == 0
    assert verdict(bench, day="2026-04-03") == "current"
    refused = bench.sign("r-reviewer", "reviewed", day="2026-04-03")
    assert refused.code == 3 and "is revoked" in refused.err


def test_a_stolen_key_can_not_sign_backdated(bench):
    """The list that revokes it holds how far the chain had come: whatever is signed later falls, whatever it says."""
    bench.sign("w-writer", "ready")
    people = bench.root / "procedures/signed/people-02.json"
    bench.edit(f"key: '{public('r-reviewer')}'", f"key: '{public('r-reviewer')}', revoked: 2026-04-01", SHOP)
    assert bench.list_people("2026-04-02").code == 0
    kept = people.read_bytes()
    # The thief works with the list as it was, on a computer that says March.
    people.unlink()
    home = bench.root.parent / "home/seen.json"
    home.unlink(missing_ok=True)
    assert bench.sign("r-reviewer", "reviewed", day="2026-03-10").code == 0
    assert bench.sign("a-approver", "approved", day="2026-03-11").code == 0
    assert shown(bench, "2026-03-12") == "A"
    people.write_bytes(kept)
    assert shown(bench, "2026-04-03") == ""
    assert "approval.key-not-valid" in slugs(bench, "2026-04-03")


@pytest.mark.parametrize(("first", "last"), [("2026-04-01", "2027-01-01"), ("2025-01-01", "2026-02-01")])
def test_a_key_counts_on_its_days_alone(bench, first, last):
    bench.edit(f"key: '{public('r-reviewer')}'", f"key: '{public('r-reviewer')}', from: {first}, until: {last}", SHOP)
    assert bench.list_people("2026-02-10").code == 0
    bench.sign("w-writer", "ready")
    refused = bench.sign("r-reviewer", "reviewed")
    assert refused.code == 3 and "counts from" in refused.err


def test_a_clock_that_runs_back_signs_nothing(bench):
    bench.sign("w-writer", "ready", day="2026-03-10")
    refused = bench.sign("r-reviewer", "reviewed", day="2026-03-09")
    assert refused.code == 3 and "set the clock" in refused.err


def test_a_signature_from_the_future_does_not_count_yet(bench):
    bench.sign("w-writer", "ready", day="2026-03-10")
    assert "approval.clock-runs-back" in slugs(bench, "2026-03-01")


def test_another_figure_in_its_place_is_found(bench):
    """Mix and match: a picture of another revision under the digest of this one."""
    figures = bench.root / "procedures/df-1/figures"
    figures.mkdir()
    (figures / "lid.svg").write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"></svg>', "utf-8")
    bench.edit("  - open: lid\n", "  - open: lid\n    figure: {file: figures/lid.svg, alt: The lid seen from above.}\n")
    bench.release()
    assert shown(bench) == "A"
    (blob,) = (bench.root / "procedures/df-1/signed/blobs").iterdir()
    blob.write_text('<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 8 8"></svg>', "utf-8")
    ran = bench.run("build", "--released", "--only", "html")
    assert ran.code == 1 and "approval.figure-not-signed" in ran.out
    assert shown(bench) == ""


def test_of_two_at_once_the_second_is_told(bench, tmp_path):
    store.keep_envelope(tmp_path, PROCEDURE, "A", 1, b"first")
    with pytest.raises(Taken, match="signed at the same moment"):
        store.keep_envelope(tmp_path, PROCEDURE, "A", 1, b"second")
    with pytest.raises(Taken, match="signed at the same moment"):
        store.keep_envelope(tmp_path, PROCEDURE, "B", 1, b"third")
    assert [each.content for each in store.signatures(tmp_path, PROCEDURE).files] == [b"first"]


@pytest.mark.parametrize("call", ["fsync", "link"])
def test_a_crash_before_the_name_is_given_leaves_the_chain_as_it_was(bench, monkeypatch, call):
    bench.sign("w-writer", "ready")

    def crash(*_):
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(f"benchleaf.review.store.os.{call}", crash)
        assert bench.sign("r-reviewer", "reviewed").code == 130
    assert len(bench.envelopes()) == 1
    assert bench.sign("r-reviewer", "reviewed").code == 0


def test_without_hard_links_a_file_is_still_never_overwritten(bench, monkeypatch):
    def refuse(*_):
        raise OSError(95, "not supported")

    monkeypatch.setattr("benchleaf.review.store.os.link", refuse)
    bench.release()
    assert verdict(bench) == "current"


def test_keys_of_people_who_are_not_listed_any_more_count_no_more(bench):
    bench.begin_released()
    text = (bench.root / SHOP).read_text("utf-8")
    shorter = "\n".join(line for line in people_yaml().splitlines() if "r-reviewer" not in line) + "\n"
    (bench.root / SHOP).write_text(text.replace(people_yaml(), shorter), "utf-8")
    assert bench.list_people("2026-04-02").code == 0
    assert shown(bench, "2026-04-03") == ""
    assert "approval.unknown-key" in slugs(bench, "2026-04-03")


def test_a_private_key_never_lies_in_the_workspace(bench):
    shutil.copy(bench.keys / "w-writer.json", bench.root / "key.json")
    refused = bench.run("sign", PROCEDURE, "--meaning", "ready", "--key", str(bench.root / "key.json"))
    assert refused.code == 2 and "private key never does" in refused.err
    refused = bench.run("sign", "--new-key", str(bench.root / "procedures/mine.json"), "--label", "Me")
    assert refused.code == 2 and not (bench.root / "procedures/mine.json").exists()


def test_errors_can_not_be_signed(bench):
    bench.edit("  - close: lid\n    then: {found: clean}\n", "  - look: Look at the lid.\n    then: {found: clean}\n")
    refused = bench.sign("w-writer", "ready")
    assert refused.code == 3 and "energy.left-open" in refused.err
    assert bench.envelopes() == []


def test_a_change_of_a_limit_unsigns_what_uses_it_and_nothing_else(bench):
    other = (bench.root / FILE).read_text("utf-8").replace("id: filter-clean", "id: other")
    cut = other.index("  - measure: winding"), other.index("  - close: lid")
    other = other[: cut[0]] + other[cut[1] :]
    other = other.replace("  weak-motor: {text: Replace the fan motor., leave: out-of-service}\n", "")
    (bench.root / FILE).with_name("other.yaml").write_text(other, "utf-8")
    bench.release()
    for who, meaning in (("w-writer", "ready"), ("r-reviewer", "reviewed"), ("a-approver", "approved")):
        key = ("--key", str(bench.keys / f"{who}.json"), "--passphrase-file", str(bench.keys / "phrase"))
        ran = bench.run("sign", "df-1/other", "--meaning", meaning, *key)
        assert ran.code == 0, ran.err

    def states():
        bench.run("build", "--only", "html", day="2026-03-02")
        folders = ("filter-clean", "other")
        return [json.loads((bench.root / f"out/df-1/{each}/card.json").read_bytes())["state"] for each in folders]

    assert states() == ["released", "released"]
    bench.edit("low: 41 ohm", "low: 42 ohm", "procedures/df-1/machine.yaml")
    assert states() == ["draft", "released"]


def test_a_root_key_that_lies_in_the_workspace_is_not_believed(bench):
    """Neither by a build nor without a folder of one's own: nothing that a writer can edit vouches for itself."""
    (bench.root / "procedures/signed/people-01.json").unlink()
    (bench.root / "roots.json").write_text(json.dumps({public("other-root"): ""}), "utf-8")
    assert bench.list_people(who="other-root").code == 0
    assert people_of(bench.root, None, "Our workshop").people is None
    assert people_of(bench.root, bench.root.parent / "home", "Our workshop").people is None
    assert people_of(bench.root, None, "Our workshop", public("other-root")).people is not None
