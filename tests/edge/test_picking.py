"""`picking`: one list for several jobs, as text and on paper."""

import io

import pypdf
import pytest

SECOND = "procedures/df-1/filter-swap.yaml"


@pytest.fixture
def jobs(workspace):
    """Two jobs: that of a new workspace, and one that always needs two filters and an amount of wipes."""
    text = (workspace / "procedures/df-1/filter-clean.yaml").read_text("utf-8")
    for old, new in (
        ("id: filter-clean", "id: filter-swap"),
        ("title: Clean", "title: Swap"),
        ("{part: filter, when: needed}", "{part: filter, count: 2}"),
        ("{supply: wipes}", "{supply: wipes, amount: 0.2 kg}"),
    ):
        assert old in text
        text = text.replace(old, new)
    (workspace / SECOND).write_text(text, "utf-8")
    return workspace


def test_a_list_names_jobs_and_counts_tools_once(run, jobs):
    told = run("picking")
    assert told.code == 0 and told.err == ""
    lines = told.out.splitlines()
    assert "  A  df-1/filter-clean, revision A (draft): Clean the filter; DF-1 dust fan" in lines
    assert "  B  df-1/filter-swap, revision A (draft): Swap the filter; DF-1 dust fan" in lines
    (brush,) = (line for line in lines if "soft brush" in line)
    assert brush.strip() == "1: soft brush  [A, B]"
    assert "  2, and 1 if needed: filter mat, MW-9001, DF-1 dust fan  [A 1, B 2]" in lines
    assert any(line.startswith("  0.2\u202fkg: lint-free wipes, dry") for line in lines)
    assert any("plug cover with padlock, for the mains plug" in line for line in lines)


def test_one_job_needs_no_letters(run, jobs):
    told = run("picking", SECOND)
    assert "[" not in told.out
    assert "  2: filter mat, MW-9001, DF-1 dust fan" in told.out.splitlines()


def test_on_paper(run, jobs):
    assert run("picking", "--pdf", "lists/today.pdf", "--paper", "Letter") == (0, "", "")
    reader = pypdf.PdfReader(io.BytesIO((jobs / "lists/today.pdf").read_bytes()))
    text = " ".join(page.extract_text() for page in reader.pages)
    assert "Swap the filter" in text and "Filter mat" in text
    # Letter in points: 8.5 inches and 11 inches (ANSI/ASME Y14.1) at 72 points an inch.
    assert [round(float(each)) for each in reader.pages[0].mediabox] == [0, 0, 612, 792]


def test_a_faulty_procedure_is_named_and_not_counted(run, jobs, spoil):
    spoil("revision: A", "revision: B\nporpoise: none", SECOND)
    told = run("picking")
    assert told.code == 1
    assert told.err == "benchleaf: df-1/filter-swap is not counted, since its source has errors.\n"
    assert "  1, if needed: filter mat, MW-9001, DF-1 dust fan" in told.out.splitlines()


def test_nothing_to_count(run, jobs, spoil):
    spoil("revision: A", "revision: B\nporpoise: none", SECOND)
    told = run("picking", SECOND)
    assert (told.code, told.out) == (3, "")
    assert "no procedure without errors" in told.err


def test_what_cannot_be_written_is_named(run, jobs):
    (jobs / "lists").write_bytes(b"mine")
    told = run("picking", "--pdf", "lists/today.pdf")
    assert told.code == 3 and "cannot be written" in told.err


def test_a_theme_of_the_workspace_is_found_and_its_faults_are_told(workspace, run):
    own = workspace / "themes" / "own"
    own.mkdir(parents=True)
    (own / "tokens.json").write_text('{"over": "daylight", "light": {}}', "utf-8")
    assert run("picking", "--pdf", "list.pdf", "--theme", "own").code == 0
    assert (workspace / "list.pdf").read_bytes().startswith(b"%PDF")
    (own / "sheet_picking.html").write_text("{% if %}", "utf-8")
    told = run("picking", "--pdf", "list.pdf", "--theme", "own")
    assert told.code == 3 and "sheet_picking.html, line 1" in told.err
