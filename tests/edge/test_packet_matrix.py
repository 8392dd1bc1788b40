"""The review packet of a fault-finding card shows its fault matrix, with what it finds and what asking costs."""

from pathlib import Path

from benchleaf.build.readback import text_of_pdf

ROOT = Path(__file__).resolve().parents[2]


def test_the_packet_shows_the_fault_matrix(run, monkeypatch, tmp_path):
    monkeypatch.chdir(ROOT)
    ran = run("compare", "ht-600/no-lower", "--packet", str(tmp_path))
    assert ran.code == 0, ran.err
    page = (tmp_path / "packet.html").read_text("utf-8")
    section = page.partition("<h2>What each question answers under each fault</h2>")[2].partition("<h2>")[0]
    assert "Found: 100% of the faults by weight; told apart from all others: 100%." in section
    assert section.count("<svg") == 1 and "<title>toe-switch-open: below</title>" in section
    printed = " ".join(text_of_pdf((tmp_path / "packet.pdf").read_bytes()).split())
    assert "What each question answers under each fault" in printed and "toe-switch-open" in printed


def test_a_card_that_looks_for_no_fault_has_none(run, monkeypatch, tmp_path):
    monkeypatch.chdir(ROOT)
    assert run("compare", "rc-48/throttle-adjust", "--packet", str(tmp_path)).code == 0
    assert "under each fault" not in (tmp_path / "packet.html").read_text("utf-8")
