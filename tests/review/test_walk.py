"""A release from the first signature to its withdrawal, as its people go through it at the command line."""

import json

from tests.review.conftest import FILE, PROCEDURE, SIGNED

CARD = "out/released/df-1/filter-clean/card.json"


def state(bench):
    """The state that the released card in the output folder bears; empty where there is none."""
    path = bench.root / CARD
    return json.loads(path.read_bytes())["state"] if path.exists() else ""


def verdicts(ran):
    return [each["verdict"] for each in json.loads(ran.out)["verdicts"]]


def built(bench, day="2026-03-02"):
    """Build what is released, as checklists, which is quick."""
    return bench.run("build", "--released", "--only", "html", day=day)


def test_from_ready_to_withdrawn(bench):
    ready = bench.sign("w-writer", "ready")
    assert ready.code == 0, ready.err
    assert "It is in review; still to sign: reviewer, approver." in ready.out
    assert (bench.root / SIGNED / "A-01.json").is_file()
    told = bench.run("verify", PROCEDURE)
    assert (told.code, told.out) == (1, f"in review: {PROCEDURE} is in review.\n")
    built(bench)
    assert state(bench) == ""
    assert bench.sign("r-reviewer", "reviewed", day="2026-03-02").code == 0
    done = bench.sign("a-approver", "approved", day="2026-03-03")
    assert "It is released." in done.out
    assert verdicts(bench.run("verify", "--format", "json", day="2026-03-04")) == ["current"]
    ran = built(bench, "2026-03-04")
    assert ran.code == 0, ran.out + ran.err
    assert state(bench) == "released"

    bench.revise("B")
    assert bench.sign("w-writer", "ready", day="2026-04-01").code == 0
    built(bench, "2026-04-02")
    assert json.loads((bench.root / CARD).read_bytes())["revision"] == "A"
    sent_back = bench.sign(
        "r-reviewer", "returned", "--reason", "Too long", "--remark", "1=Say it shorter.", day="2026-04-02"
    )
    assert "It is draft." in sent_back.out, sent_back.err
    late = bench.sign("a-approver", "approved", day="2026-04-03")
    assert late.code == 3 and "is not in review" in late.err

    bench.edit("as revision B says", "as the sheet says")
    bench.release("2026-04-05")
    assert built(bench, "2026-04-06").code == 0
    card = json.loads((bench.root / CARD).read_bytes())
    assert (card["revision"], card["state"]) == ("B", "released")
    assert [line["revision"] for line in card["history"]] == ["A", "B"]
    assert [line["day"] for line in card["history"]] == ["2026-03-03", "2026-04-05"]
    old = bench.run("verify", f"{SIGNED}/A-03.json", "--format", "json", day="2026-04-06")
    assert (old.code, verdicts(old)) == (1, ["superseded"])
    assert "superseded by revision B on 2026-04-05" in old.out

    gone = bench.sign("a-approver", "withdrawn", "--reason", "The mat burns", "--urgent", day="2026-05-01")
    assert gone.code == 0 and "It is withdrawn." in gone.out, gone.err
    assert "0 of 1 procedure ready" in built(bench, "2026-05-02").out
    assert state(bench) == "withdrawn"
    told = bench.run("verify", f"{SIGNED}/B-06.json", day="2026-05-02")
    assert told.code == 1 and "URGENT" in told.out and "The mat burns" in told.out


def test_what_is_built_from_the_working_files_says_where_it_stands(bench):
    def working():
        assert bench.run("build", "--only", "html").code == 0
        return json.loads((bench.root / "out/df-1/filter-clean/card.json").read_bytes())

    assert working()["state"] == "draft"
    bench.sign("w-writer", "ready")
    assert working()["state"] == "in review"
    bench.sign("r-reviewer", "reviewed")
    bench.sign("a-approver", "approved")
    card = working()
    assert card["state"] == "released"
    assert card["flags"] == ["Valid until 2028-02-29."]
    bench.edit("Keep the fan cool", "Keep the fan cold")
    assert working()["state"] == "draft"


def test_released_documents_do_not_look_at_the_working_files(bench):
    bench.begin_released()
    assert built(bench).code == 0
    before = (bench.root / CARD).read_bytes()
    (bench.root / FILE).write_text("nonsense: [", "utf-8")
    (bench.root / "procedures/df-1/machine.yaml").write_text("nonsense: [", "utf-8")
    assert built(bench).code == 0
    assert (bench.root / CARD).read_bytes() == before
    (bench.root / FILE).unlink()
    assert built(bench).code == 0


def test_a_queue_takes_an_answer_for_each(bench):
    bench.sign("w-writer", "ready")
    key = ("--key", str(bench.keys / "r-reviewer.json"), "--passphrase-file", str(bench.keys / "phrase"))
    no = bench.run("sign", "--queue", *key, answers="all\n")
    assert no.code == 0 and "was left as it is" in no.err
    assert len(bench.envelopes()) == 1
    yes = bench.run("sign", "--queue", *key, answers="yes\n")
    assert f"sign {PROCEDURE} as reviewer?" in yes.err and len(bench.envelopes()) == 2
    again = bench.run("sign", "--queue", *key)
    assert again.code == 0 and "nothing waits for you" in again.err


def test_before_a_limit_changes_it_is_told_what_that_unsigns(bench):
    assert "revision" not in bench.run("uses", "winding").out
    bench.release()
    ran = bench.run("uses", "winding", day="2026-03-02")
    assert "released, and to be signed anew where its card changes: df-1/filter-clean revision A" in ran.out
    data = json.loads(bench.run("uses", "winding", "--format", "json", day="2026-03-02").out)
    assert data["found"][0]["releases"] == [{"procedure": PROCEDURE, "revision": "A"}]
    assert bench.run("uses", "soft-brush", day="2028-12-01").out.count("revision A") == 0
