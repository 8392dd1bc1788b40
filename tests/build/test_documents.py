"""Documents are the same whether one process draws them or several."""

from benchleaf.build import documents
from benchleaf.build.gather import gather
from benchleaf.build.judge import judge
from benchleaf.build.request import Making, Request, silence
from benchleaf.edge.cli import main


def test_several_processes_draw_the_same_bytes(tmp_path, capfd):
    root = tmp_path / "ws"
    assert main(["begin", str(root)]) == 0
    first = root / "procedures/df-1/filter-clean.yaml"
    for number in range(2, 7):
        text = first.read_text("utf-8").replace("id: filter-clean", f"id: filter-clean-{number}")
        first.with_stem(f"filter-clean-{number}").write_text(text, "utf-8")
    making = Making(root / "out", ("html",))
    shelf = gather(Request(root, "2026-01-01", (), making))
    ready = judge(shelf, silence).judged
    assert len(ready) == 6 and all(one.standing.ready for one in ready)
    studio = documents.studio(making, root)
    alone = list(documents.draw_all(ready, shelf, studio, silence))
    together = list(documents.draw_all(ready, shelf, studio._replace(jobs=2), silence))
    assert alone == together
    assert [one.file for one in alone] == [one.standing.file for one in ready]
    assert all(sorted(one.files) == ["card.json", "checklist.html"] for one in alone)
