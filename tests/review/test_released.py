"""Released documents: drawn from what is signed, with known themes, read back, and told from altered ones.

Slugs shown here and in test_attacks.py: approval.not-read-back, approval.theme-not-listed, approval.not-rebuilt,
approval.role-not-held, approval.people-not-signed, approval.run-out, approval.damaged-envelope, approval.broken-chain.
"""

import json
import re

import pikepdf
import pytest
from tests.review.conftest import FILE, MACHINE, SHOP, SIGNED, public

from benchleaf.build import readback
from benchleaf.card.digest import canonical, of_bytes
from benchleaf.review.chain import of_files
from benchleaf.review.envelope import opened, seal
from benchleaf.review.keys import from_seed
from benchleaf.review.store import Found, Stored

FOLDER = "out/released/df-1/filter-clean"


def built(bench, *more, day="2026-03-02"):
    return bench.run("build", "--released", *more, day=day)


def verdict(bench, thing, day="2026-03-02"):
    ran = bench.run("verify", str(thing), "--format", "json", day=day)
    (found,) = json.loads(ran.out)["verdicts"]
    assert (ran.code == 0) is (found["verdict"] == "current"), ran.out
    return found["verdict"]


@pytest.fixture
def released(bench, shelf, tmp_path):
    """The bench with the procedure released and its documents built."""

    def made():
        bench.begin_released()
        ran = built(bench)
        assert ran.code == 0, ran.out + ran.err

    shelf.take("released", bench, tmp_path / "home", made)
    return bench


def test_a_document_is_current_superseded_or_withdrawn(released):
    names = ("card.pdf", "checklist.html", "card.json")
    kept = {name: (released.root / FOLDER / name).read_bytes() for name in names}
    text = readback.text_of_pdf(kept["card.pdf"])
    assert "Released" in text and "Valid until 2028-02-29." in text
    assert "W. Writer (writer), R. Reviewer (reviewer), A. Approver (approver)" in " ".join(text.split())
    aside = released.root / "aside"
    aside.mkdir()
    for name, content in kept.items():
        (aside / name).write_bytes(content)
    assert [verdict(released, aside / name) for name in names] == ["current"] * 3
    assert [verdict(released, aside / name, day="2027-01-02") for name in names] == ["current"] * 3
    released.revise("B")
    released.release("2026-04-01")
    assert [verdict(released, aside / name, day="2026-04-02") for name in names] == ["superseded"] * 3
    assert released.sign("r-reviewer", "withdrawn", "--reason", "Wrong mat", day="2026-05-01").code == 0
    assert built(released, day="2026-05-02").code == 0
    assert verdict(released, released.root / FOLDER / "card.pdf", day="2026-05-02") == "withdrawn"
    assert "Withdrawn on 2026-05-01 by R. Reviewer: Wrong mat." in " ".join(
        readback.text_of_pdf((released.root / FOLDER / "card.pdf").read_bytes()).split()
    )


def test_the_short_code_of_a_card_is_known(released):
    card = json.loads((released.root / FOLDER / "card.json").read_bytes())
    text = readback.text_of_pdf((released.root / FOLDER / "card.pdf").read_bytes())
    short = re.search(r"Digest\s+((?:[0-9a-f]{4} ?){3})", text)[1].strip()
    assert verdict(released, short) == "current"
    assert verdict(released, f"df-1/filter-clean revision A digest {short.replace(' ', '')}") == "current"
    assert verdict(released, "0000 0000 0000") == "unknown"
    assert verdict(released, "nonsense") == "unknown"
    assert card["state"] == "released"


def test_a_record_names_the_card_it_was_made_with(released, tmp_path):
    data = (released.root / FOLDER / "checklist.html").read_text("utf-8")
    digest = re.search(r'"digest":"([0-9a-f]{64})"', data)[1]
    record = tmp_path / "record.json"
    record.write_text(json.dumps({"format": "benchleaf/record/1", "card": {"digest": digest}}), "utf-8")
    ran = released.run("verify", str(record), "--in", str(released.root))
    assert ran.code == 0 and "The record was made with this card" in ran.out


def pdf_with(content, change):
    """The PDF after a change; its objects are written anew."""
    from io import BytesIO

    with pikepdf.open(BytesIO(content)) as pdf:
        change(pdf)
        out = BytesIO()
        pdf.save(out)
    return out.getvalue()


def test_a_pdf_that_is_only_written_anew_is_still_current(released):
    path = released.root / FOLDER / "card.pdf"
    path.write_bytes(pdf_with(path.read_bytes(), lambda pdf: None))
    assert verdict(released, path) == "current"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ('"title": "Clean the filter"', '"title": "Clean the lid"'),
        ('"revision": "A"', '"revision": "B"'),
        ('"state": "released"', '"state": "draft"'),
        ("2028-02-29", "2038-02-28"),
        ("R. Reviewer", "R. Rewriter"),
        ('"value": "41"', '"value": "14"'),
    ],
)
@pytest.mark.parametrize("where", ["attached", "beside"])
def test_the_data_of_a_card_can_not_be_changed(released, old, new, where):
    path = released.root / FOLDER / ("card.pdf" if where == "attached" else "card.json")

    def changed(content):
        assert old in content.decode()
        return content.decode().replace(old, new, 1).encode()

    def attach(pdf):
        pdf.attachments["card.json"] = pikepdf.AttachedFileSpec(pdf, changed(inside), filename="card.json")

    if where == "attached":
        inside = readback.attached(path.read_bytes(), "card.json")
        path.write_bytes(pdf_with(path.read_bytes(), attach))
    else:
        path.write_bytes(changed(path.read_bytes()))
    assert verdict(released, path) in ("altered", "unknown")


def first_page_empty(pdf):
    """Take all text out of the first page."""
    page = pdf.pages[0]
    commands = [each for each in pikepdf.parse_content_stream(page) if str(each.operator) not in ("Tj", "TJ")]
    page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(commands))


def some_text_gone(pdf):
    """Take one piece of text out of each page, a different one each time."""
    for number, page in enumerate(pdf.pages):
        commands = list(pikepdf.parse_content_stream(page))
        drawn = [place for place, each in enumerate(commands) if str(each.operator) in ("Tj", "TJ")]
        del commands[drawn[(number * 7 + 5) % len(drawn)]]
        page.Contents = pdf.make_stream(pikepdf.unparse_content_stream(commands))


def last_page_gone(pdf):
    """Take the last page away."""
    del pdf.pages[-1]


@pytest.mark.parametrize("change", [first_page_empty, some_text_gone, last_page_gone])
def test_what_is_printed_can_not_be_changed(released, change):
    path = released.root / FOLDER / "card.pdf"
    path.write_bytes(pdf_with(path.read_bytes(), change))
    assert verdict(released, path) == "altered"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("Brush the mat from the clean side", "Brush the mat from the dusty side"),
        ("<script>", "<script>document.title='';"),
        ("<style>", "<style>.warn{display:none}"),
        ("Revision A", "Revision C"),
    ],
)
def test_a_checklist_can_not_be_changed(released, old, new):
    path = released.root / FOLDER / "checklist.html"
    text = path.read_text("utf-8")
    assert old in text
    path.write_text(text.replace(old, new, 1), "utf-8")
    assert verdict(released, path) == "altered"


def test_a_draft_can_not_be_made_to_look_released(bench):
    assert bench.run("build", "--only", "html").code == 0
    for name in ("card.json", "checklist.html"):
        path = bench.root / "out/df-1/filter-clean" / name
        text = path.read_text("utf-8")
        assert verdict(bench, path) == "unknown"
        path.write_text(text.replace('"draft"', '"released"'), "utf-8")
        assert verdict(bench, path) == "altered"


def test_a_card_for_other_machines_does_not_pass_as_the_signed_one(released):
    """The serial numbers are signed with the card."""
    released.edit("serials: {prefix: DF1-, from: 1}", "serials: {prefix: DF1-, from: 1, to: 50}", MACHINE)
    assert released.run("build", "--only", "html").code == 0
    working = json.loads((released.root / "out/df-1/filter-clean/card.json").read_bytes())
    assert (working["state"], working["revision"]) == ("draft", "A")
    assert verdict(released, released.root / "out/df-1/filter-clean/card.json") == "unknown"


def theme(bench, css, name="house"):
    folder = bench.root / "themes" / name
    folder.mkdir(parents=True, exist_ok=True)
    (folder / "tokens.json").write_text('{"over": "daylight"}', "utf-8")
    (folder / "checklist.css").write_text(css, "utf-8")
    return folder


def test_a_theme_draws_released_documents_only_where_the_root_signed_it(bench):
    bench.begin_released()
    theme(bench, "h1 { color: #000 }\n")
    refused = built(bench, "--theme", "house", "--only", "html")
    assert refused.code == 1 and "approval.theme-not-listed" in refused.out
    assert not (bench.root / FOLDER / "checklist.html").exists()
    digest = re.search(r"digest ([0-9a-f]{64})", refused.out)[1]
    with (bench.root / SHOP).open("a", encoding="utf-8") as shop:
        shop.write(f"release: {{themes: [{digest}]}}\n")
    assert bench.list_people("2026-03-02").code == 0
    assert built(bench, "--theme", "house", "--only", "html").code == 0
    theme(bench, "h1 { color: #111 }\n", "annex")
    assert built(bench, "--theme", "annex", "--only", "html").code == 1


def test_what_another_built_in_theme_draws_is_current_as_well(bench):
    bench.begin_released()
    assert built(bench, "--theme", "sparing").code == 0
    assert [verdict(bench, bench.root / FOLDER / name) for name in ("card.pdf", "checklist.html")] == ["current"] * 2


def test_what_is_built_from_working_files_with_released_content_is_current(bench):
    bench.begin_released()
    assert bench.run("build", "--paper", "Letter", day="2026-03-02").code == 0
    folder = bench.root / "out/df-1/filter-clean"
    assert [verdict(bench, folder / name) for name in ("card.pdf", "checklist.html", "card.json")] == ["current"] * 3


def test_a_document_in_another_language_is_not_vouched_for(bench):
    bench.begin_released()
    assert bench.run("build", "--language", "de", day="2026-03-02").code == 0
    folder = bench.root / "out/df-1/filter-clean"
    assert [verdict(bench, folder / name) for name in ("card.pdf", "checklist.html")] == ["unproven"] * 2


@pytest.mark.parametrize("mark", ["", "0", "f", "9f2a", "not a digest"])
def test_the_beginning_of_a_digest_is_no_digest(released, tmp_path, mark):
    record = tmp_path / "record.json"
    record.write_text(json.dumps({"format": "benchleaf/record/1", "card": {"digest": mark}}), "utf-8")
    assert '"unknown"' in released.run("verify", str(record), "--in", str(released.root), "--format", "json").out
    page = released.root / FOLDER / "checklist.html"
    page.write_text(re.sub(r'"digest":"[0-9a-f]{64}"', f'"digest":"{mark}"', page.read_text("utf-8")), "utf-8")
    assert verdict(released, page) == "altered"


def test_a_working_copy_is_not_shown_as_released_by_an_unknown_theme(bench):
    bench.begin_released()
    theme(bench, ".warn { display: none }\n")
    ran = bench.run("build", "--theme", "house", "--only", "html")
    assert ran.code == 1 and "approval.theme-not-listed" in ran.out
    assert not (bench.root / "out/df-1/filter-clean/checklist.html").exists()


def test_a_theme_that_hides_a_warning_is_read_back(bench):
    """Even one that the root signed by mistake."""
    bench.begin_released()
    folder = theme(bench, "")
    (folder / "checklist_step.html").write_text("<li>{{ step.number }}</li>\n", "utf-8")
    refused = built(bench, "--theme", "house", "--only", "html")
    digest = re.search(r"digest ([0-9a-f]{64})", refused.out)[1]
    with (bench.root / SHOP).open("a", encoding="utf-8") as shop:
        shop.write(f"release: {{themes: [{digest}]}}\n")
    assert bench.list_people("2026-03-02").code == 0
    ran = built(bench, "--theme", "house", "--only", "html")
    assert ran.code == 1 and "[approval.not-read-back]" in ran.out and "does not show step 1, step 2" in ran.out
    assert not (bench.root / FOLDER / "checklist.html").exists()


def test_a_release_that_has_run_out_is_not_drawn(released):
    ran = built(released, "--only", "html", day="2028-03-01")
    assert ran.code == 1 and "approval.run-out" in ran.out
    assert not list((released.root / FOLDER).glob("*.json"))


def test_a_release_begins_on_its_day(bench):
    for who, meaning, more in (
        ("w-writer", "ready", ()),
        ("r-reviewer", "reviewed", ()),
        ("a-approver", "approved", ("--valid-from", "2026-06-01", "--valid-until", "2026-09-30")),
    ):
        assert bench.sign(who, meaning, *more).code == 0
    assert bench.run("verify", day="2026-05-31").out.startswith("not yet valid")
    assert bench.run("verify", day="2026-06-01").out.startswith("current")
    assert bench.run("verify", day="2026-09-30").out.startswith("current")
    assert bench.run("verify", day="2026-10-01").out.startswith("run out")


def forged(bench, change):
    """The last envelope with a changed statement, signed anew by the approver."""
    path = bench.envelopes()[-1]
    said = json.loads(json.dumps(opened(path.read_bytes()).statement))
    change(said)
    path.write_bytes(seal(said, from_seed((b"a-approver" * 32)[:32])))
    forget(bench)


def forget(bench):
    """As a computer that has not seen the workspace before."""
    (bench.root.parent / "home/seen.json").unlink(missing_ok=True)


def test_a_role_that_somebody_gives_themselves_counts_for_nothing(bench):
    """approval.role-not-held."""
    bench.sign("w-writer", "ready")
    bench.sign("a-approver", "approved")
    forged(bench, lambda said: said["predicate"].update(meaning="ready", role="writer"))
    ran = bench.run("verify", "--format", "json", day="2026-03-02")
    assert "approval.role-not-held" in ran.out and '"in review"' in ran.out


def test_a_card_with_what_this_version_does_not_know_is_not_printed(bench):
    """approval.not-rebuilt."""
    bench.begin_released()

    def widen(said):
        said["predicate"]["cards"][""]["sermon"] = "A field of another version."
        digest = of_bytes(canonical(said["predicate"]["cards"][""]))
        said["subject"] = [
            each | {"digest": {"sha256": digest}} if each["name"] == "card:" else each for each in said["subject"]
        ]

    keys = [from_seed((name * 32)[:32]) for name in (b"w-writer", b"r-reviewer", b"a-approver")]
    previous = ""
    for path, key in zip(bench.envelopes(), keys, strict=True):
        said = json.loads(json.dumps(opened(path.read_bytes()).statement))
        widen(said)
        said["predicate"]["previous"] = previous
        path.write_bytes(seal(said, key))
        previous = of_bytes(path.read_bytes())
    forget(bench)
    ran = built(bench, "--only", "html")
    assert ran.code == 1 and "approval.not-rebuilt" in ran.out


def test_an_unsigned_change_of_the_rule_is_told(bench):
    """approval.people-not-signed is what `verify` says of it."""
    bench.begin_released()
    with (bench.root / SHOP).open("a", encoding="utf-8") as shop:
        shop.write("release: {roles: [reviewer]}\n")
    ran = bench.run("verify", day="2026-03-02")
    assert ran.code == 0 and "the signed list counts" in ran.err


def test_no_list_of_people_is_told(bench):
    """approval.people-not-signed."""
    (bench.root / "procedures/signed/people-01.json").unlink()
    ran = bench.run("verify", "--format", "json")
    assert ran.code == 1 and "approval.people-not-signed" in ran.out


def test_an_unknown_version_of_a_signature_is_told(bench):
    """approval.damaged-envelope."""
    bench.sign("w-writer", "ready")
    path = bench.envelopes()[0]
    said = json.loads(json.dumps(opened(path.read_bytes()).statement))
    said["predicate"]["format"] = "benchleaf/signature/9"
    content = seal(said, from_seed((b"w-writer" * 32)[:32]))
    found = of_files("df-1/filter-clean", Found((Stored("A-01.json", 1, "A", content),), ()))
    assert not found.whole and "does not know" in found.findings[0].sentence


def test_the_words_of_the_key_are_in_the_list(bench):
    listed = opened((bench.root / "procedures/signed/people-01.json").read_bytes()).predicate
    assert listed["people"]["r-reviewer"]["keys"] == [{"key": public("r-reviewer")}]
    assert (bench.root / FILE).exists() and not (bench.root / SIGNED).exists()


@pytest.mark.parametrize(
    "content",
    [
        b"",
        b"%PDF-1.7\n",
        b"%PDF-1.7\n1 0 obj\n<</Type/Catalog/Pages 1 0 R>>\nendobj\ntrailer<</Root 1 0 R>>\n",
        b"<html>",
        b'<script type="application/json" id="card">{"digest": 3}</script>',
        b"\xff\xfe{}",
        b'{"payloadType": 1}',
        b'{"format": "benchleaf/card/1", "sections": 3}',
        b'{"format": "benchleaf/record/1", "card": {}}',
        b"[" * 100_000,
    ],
    ids=range(10),
)
def test_whatever_is_handed_in_gets_a_verdict(bench, tmp_path, content):
    path = tmp_path / "thing"
    path.write_bytes(content)
    ran = bench.run("verify", str(path), "--in", str(bench.root))
    assert ran.code == 1 and ran.out.partition(":")[0] in ("unknown", "altered") and ran.err == ""
