"""Which files belong to a workspace, and which ones would be missed, doubled or followed elsewhere."""

import pytest

from benchleaf.base.finding import Severity
from benchleaf.source.text import Unreadable
from benchleaf.source.workspace import find_root, is_inside, survey


@pytest.fixture
def workspace(tmp_path):
    """Makes a workspace of empty files; gives its root."""

    def of(*names):
        for name in ("shop.yaml", *names):
            path = tmp_path / "procedures" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            if name.endswith("/"):
                path.mkdir(exist_ok=True)
            else:
                path.write_text("")
        return tmp_path

    return of


def told(found):
    return [(one.slug, one.span.file) for one in found.findings]


def files(root, paths):
    return [path.relative_to(root / "procedures").as_posix() for path in paths]


def test_whole_workspace(workspace):
    root = workspace(
        "rc-48/no-drive.yaml",
        "rc-48/machine.yaml",
        "rc-48/charger-dead.yaml",
        "rc-48/figures/b.svg",
        "rc-48/figures/a.png",
        "rc-48/figures/.hidden.svg",
        "rc-48/signed/no-drive/rev-1.json",
        "rc-48/signed/old.yaml",
        "rc-48/.no-drive.yaml.swp",
        "rc-48/notes.txt",
        "ht-600/machine.yaml",
        "common/wheels-up.yaml",
        "common/wheels-down.yaml",
        ".trash/x.yaml",
        "README.md",
    )
    found = survey(root)
    assert (found.root, found.shop, found.findings) == (root, root / "procedures" / "shop.yaml", ())
    assert files(root, found.blocks) == ["common/wheels-down.yaml", "common/wheels-up.yaml"]
    assert [machine.name for machine in found.machines] == ["ht-600", "rc-48"]
    lift, carrier = found.machines
    assert (lift.machine_file, lift.procedures, lift.figures) == (root / "procedures/ht-600/machine.yaml", (), ())
    assert carrier.machine_file == root / "procedures" / "rc-48" / "machine.yaml"
    assert files(root, carrier.procedures) == ["rc-48/charger-dead.yaml", "rc-48/no-drive.yaml"]
    assert files(root, carrier.figures) == ["rc-48/figures/a.png", "rc-48/figures/b.svg"]


@pytest.mark.parametrize(
    "name",
    [
        "no-drive (1).yaml",
        "no-drive(2).yaml",
        "no-drive (conflicted copy 2026-05-04).yaml",
        "no-drive (Anna's conflicted copy).yaml",
        "no-drive-LAPTOP.yaml",
        "no-drive-LAPTOP-7F.yaml",
        "no-drive-LAPTOP.sync-conflict-20260504-101500-ABC.yaml",
        "no-drive.sync-conflict-20260504-101500-ABC.yaml",
        "no-drive_conflict.yaml",
        "Copy of no-drive.yaml",
        "no-drive - Copy.yaml",
        "no-drive - Copy (2).yaml",
        "no-drive copy 2.yaml",
        "no-drive (1).yml",
    ],
)
def test_conflict_copies_are_told_and_not_read(workspace, name):
    root = workspace("rc-48/machine.yaml", "rc-48/no-drive.yaml", f"rc-48/{name}")
    found = survey(root)
    assert told(found) == [("source.conflict-copy", f"procedures/rc-48/{name}")]
    assert files(root, found.machines[0].procedures) == ["rc-48/no-drive.yaml"]


@pytest.mark.parametrize("name", ["no-drive.yaml~", "no-drive.yaml.orig", "no-drive.yaml.bak", "#no-drive.yaml#"])
def test_backups_are_told_as_advice(workspace, name):
    found = survey(workspace("rc-48/machine.yaml", "rc-48/no-drive.yaml", f"rc-48/{name}"))
    assert told(found) == [("source.backup-file", f"procedures/rc-48/{name}")]
    assert found.findings[0].severity is Severity.ADVICE


@pytest.mark.parametrize("name", ["photocopy.yaml", "copy-check.yaml", "valve-conflict-test.yaml", "no-drive-2.yaml"])
def test_names_that_only_sound_like_copies(workspace, name):
    assert survey(workspace("rc-48/machine.yaml", "rc-48/no-drive.yaml", f"rc-48/{name}")).findings == ()


@pytest.mark.parametrize("name", ["no-drive.yml", "no-drive.YAML", "no-drive.yaml.txt"])
def test_other_endings_are_not_passed_over(workspace, name):
    found = survey(workspace("rc-48/machine.yaml", f"rc-48/{name}"))
    assert told(found) == [("source.wrong-ending", f"procedures/rc-48/{name}")]
    assert found.machines[0].procedures == ()


def test_folder_without_machine_file(workspace):
    found = survey(workspace("rc-48/no-drive.yaml"))
    assert told(found) == [("source.no-machine-file", "procedures/rc-48")]
    assert found.machines[0].machine_file is None


def test_names_that_differ_only_in_capitals(workspace):
    found = survey(workspace("rc-48/machine.yaml", "rc-48/no-drive.yaml", "rc-48/No-drive.yaml"))
    assert told(found) == [
        ("source.bad-name", "procedures/rc-48/No-drive.yaml"),
        ("source.case-clash", "procedures/rc-48/no-drive.yaml"),
    ]
    assert found.findings[1].related[0].span.file == "procedures/rc-48/No-drive.yaml"


@pytest.mark.parametrize(
    ("name", "better"),
    [
        ("No Drive", "no-drive"),
        ("no_drive", "no-drive"),
        ("NoDrive", "nodrive"),
        ("no--drive", "no-drive"),
        ("48-check", "check"),
        ("größe", "gr-e"),
        ("aux", ""),
    ],
)
def test_bad_names(workspace, name, better):
    (finding,) = survey(workspace("rc-48/machine.yaml", f"rc-48/{name}.yaml")).findings
    assert (finding.slug, finding.span.file) == ("source.bad-name", f"procedures/rc-48/{name}.yaml")
    assert finding.mend == (f"rename it to `{better}.yaml`" if better else finding.mend)
    assert survey(workspace("rc-48/machine.yaml")).machines[0].procedures, "it is read all the same"


def test_bad_folder_names(workspace):
    found = survey(workspace("RC 48/machine.yaml", "rc-48/machine.yaml"))
    assert told(found) == [("source.bad-name", "procedures/RC 48")]
    assert found.findings[0].mend == "rename it to `rc-48`"


def test_files_where_nobody_reads_them(workspace):
    found = survey(
        workspace(
            "no-drive.yaml",
            "rc-48/machine.yaml",
            "rc-48/old/deep/no-drive.yaml",
            "rc-48/photos/a.png",
            "common/x/y.yml",
        )
    )
    assert told(found) == [
        ("source.stray-file", "procedures/common/x"),
        ("source.stray-file", "procedures/no-drive.yaml"),
        ("source.stray-file", "procedures/rc-48/old"),
    ]


def test_symbolic_links_are_told_and_not_followed(workspace, tmp_path_factory):
    outside = tmp_path_factory.mktemp("outside")
    (outside / "x.yaml").write_text("")
    root = workspace("rc-48/machine.yaml", "rc-48/no-drive.yaml", "rc-48/figures/a.svg")
    here = root / "procedures" / "rc-48"
    (here / "far.yaml").symlink_to(outside / "x.yaml")
    (here / "near.yaml").symlink_to(here / "no-drive.yaml")
    (here / "figures" / "gone.svg").symlink_to(here / "nowhere.svg")
    (root / "procedures" / "ht-600").symlink_to(outside)
    found = survey(root)
    assert told(found) == [
        ("source.symbolic-link", "procedures/ht-600"),
        ("source.symbolic-link", "procedures/rc-48/far.yaml"),
        ("source.symbolic-link", "procedures/rc-48/figures/gone.svg"),
        ("source.symbolic-link", "procedures/rc-48/near.yaml"),
    ]
    assert ["outside" in one.sentence for one in found.findings] == [True, True, False, False]
    assert [machine.name for machine in found.machines] == ["rc-48"]
    assert files(root, found.machines[0].procedures) == ["rc-48/no-drive.yaml"]


def test_unreadable_workspace(tmp_path):
    with pytest.raises(Unreadable, match="it does not exist"):
        survey(tmp_path)


def test_the_nearest_workspace_upwards(workspace, tmp_path):
    root = workspace("rc-48/machine.yaml", "rc-48/figures/a.svg")
    inner = root / "trial"
    (inner / "procedures").mkdir(parents=True)
    (inner / "procedures" / "shop.yaml").write_text("")
    for start in (
        root,
        root / "procedures",
        root / "procedures" / "rc-48",
        root / "procedures" / "rc-48" / "machine.yaml",
    ):
        assert find_root(start) == root
    assert find_root(inner / "procedures") == inner
    assert find_root(root / "not" / "there") == root


def test_no_workspace(tmp_path):
    assert find_root(tmp_path) is None
    (tmp_path / "procedures" / "shop.yaml").mkdir(parents=True)
    assert find_root(tmp_path) is None


def test_inside(tmp_path):
    root = tmp_path / "work"
    (root / "a").mkdir(parents=True)
    (root / "link").symlink_to(tmp_path)
    assert is_inside(root, root / "a" / "new.svg")
    assert is_inside(root, root / "a" / ".." / "b.svg")
    assert not is_inside(root, root / ".." / "b.svg")
    assert not is_inside(root, root / "link" / "b.svg")
    assert not is_inside(root, tmp_path / "work-2" / "b.svg")
