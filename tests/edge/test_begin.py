"""`begin`: a workspace that checks clean, and nothing of anybody's overwritten."""

import json

from benchleaf.base import resources


def files(root):
    return {path.relative_to(root).as_posix(): path.read_bytes() for path in root.rglob("*") if path.is_file()}


def test_a_new_workspace_holds_what_it_lists(run, tmp_path):
    told = run("begin", str(tmp_path / "a" / "ws"))
    assert told.code == 0
    made = files(tmp_path / "a" / "ws")
    assert sorted(told.out.splitlines()) == sorted(made)
    assert "procedures/common/README.md" in made and "out/.gitignore" in made
    assert not [name for name in made if b"\r" in made[name]]


def test_the_first_procedure_is_short(workspace):
    """What a writer reads first must not frighten: about 25 lines."""
    text = (workspace / "procedures/df-1/filter-clean.yaml").read_text("utf-8")
    assert len(text.splitlines()) <= 32


def test_schemas_for_editors_stand_where_the_files_say(workspace):
    for path in (workspace / "procedures").rglob("*.yaml"):
        first = path.read_text("utf-8").splitlines()[0]
        schema = path.parent / first.removeprefix("# yaml-language-server: $schema=")
        kind = schema.name.removesuffix(".schema.json")
        assert json.loads(schema.read_text("utf-8")) == json.loads(resources.schema_text(kind))


def test_nothing_is_overwritten_and_every_clash_is_named(run, tmp_path):
    mine = {"procedures/shop.yaml": b"mine", "out/.gitignore": b"mine", "notes.txt": b"mine"}
    for name, content in mine.items():
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_bytes(content)
    told = run("begin", str(tmp_path))
    assert (told.code, told.out) == (3, "")
    assert "procedures/shop.yaml" in told.err and "out/.gitignore" in told.err
    assert "machine.yaml" not in told.err
    assert files(tmp_path) == mine


def test_a_folder_with_other_things_can_become_a_workspace(run, tmp_path):
    (tmp_path / "notes.txt").write_bytes(b"mine")
    assert run("begin", str(tmp_path)).code == 0
    assert (tmp_path / "notes.txt").read_bytes() == b"mine"


def test_a_file_in_place_of_the_folder(run, tmp_path):
    (tmp_path / "ws").write_bytes(b"mine")
    told = run("begin", str(tmp_path / "ws"))
    assert told.code == 3 and "cannot be written" in told.err
    assert files(tmp_path) == {"ws": b"mine"}
