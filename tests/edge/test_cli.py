"""The front door: help, exit codes, and a sentence in place of a traceback whatever goes wrong."""

import os
import pty
import re
import subprocess

import pytest

from benchleaf import __version__
from benchleaf.build import gather
from benchleaf.edge import cli

COMMANDS = [name for name, _ in cli.COMMANDS]


def test_help_names_every_command_and_exit_code(run):
    told = run("--help")
    assert (told.code, told.err) == (0, "")
    assert all(re.search(rf"^  {name} +\w", told.out, re.MULTILINE) for name in COMMANDS)
    assert all(f"{code} " in told.out for code in (0, 1, 2, 3, 70, 130, 141))
    assert run("-h").out == told.out


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_explains_itself_with_an_example(run, name):
    told = run(name, "--help")
    assert (told.code, told.err) == (0, "")
    assert f"usage: benchleaf {name}" in told.out
    assert re.search(rf"^  benchleaf {name}\b", told.out[told.out.index("example") :], re.MULTILINE)


def test_help_is_given_even_where_an_argument_lacks(run):
    assert run("begin", "--help").code == 0
    assert run("begin").code == 2


def test_version(run):
    assert run("--version") == (0, f"benchleaf {__version__}\n", "")


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ([], "usage: benchleaf COMMAND"),
        (["chek"], "there is no command `chek`; did you mean `check`?"),
        (["frobnicate"], "there is no command `frobnicate`; the commands are begin, check, explain, build, "),
        (["--loud"], "there is no option `--loud` before the command"),
        (["check", "--loud"], "unrecognized arguments: --loud"),
        (["check", "--sum"], "unrecognized arguments: --sum"),
        (["check", "--format", "xml"], "invalid choice: 'xml'"),
        (["check", "--summary", "--format", "json"], "--summary goes with text only"),
        (["build", "--only", "doc"], "invalid choice: 'doc'"),
        (["explain", "torque.over-prof"], "no finding is called `torque.over-prof`"),
    ],
)
def test_what_is_used_wrongly_is_said_on_standard_error(run, workspace, arguments, sentence):
    told = run(*arguments)
    assert (told.code, told.out) == (2, "")
    assert sentence in told.err
    assert "Traceback" not in told.err


def test_options_for_every_command_may_stand_anywhere(run, workspace):
    assert run("--no-input", "check").code == run("check", "--no-input", "--debug").code == 0


@pytest.mark.parametrize(
    ("path", "code", "sentence"),
    [
        ("procedures/df-1/none.yaml", 3, "none.yaml` does not exist."),
        ("out/.gitignore", 2, "is no file that this workspace reads"),
        ("out", 2, "is no folder that this workspace reads"),
        ("..", 2, "lies in no workspace"),
        ("\udcff.yaml", 3, "\\udcff.yaml` does not exist."),
        ("", 3, "`` does not exist."),
    ],
)
def test_paths_that_cannot_be_checked(run, workspace, path, code, sentence):
    told = run("check", path)
    assert (told.code, told.out) == (code, "")
    assert sentence in told.err


def test_outside_a_workspace_the_way_in_is_told(run, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    for command in ("check", "build"):
        told = run(command)
        assert told.code == 2
        assert "procedures/shop.yaml" in told.err and "`benchleaf begin DIR`" in told.err


def test_paths_of_two_workspaces(run, workspace, tmp_path):
    run("begin", str(tmp_path / "other"))
    told = run("check", "procedures", str(tmp_path / "other"))
    assert told.code == 2 and "several workspaces" in told.err


def test_a_workspace_is_found_from_below_and_from_outside(run, workspace, tmp_path, monkeypatch):
    monkeypatch.chdir(workspace / "procedures" / "df-1")
    assert run("check").code == run("check", "filter-clean.yaml").code == 0
    monkeypatch.chdir(tmp_path)
    assert run("check", "ws/procedures/df-1").code == 0


def test_a_folder_in_place_of_a_file(run, workspace):
    (workspace / "procedures/df-1/machine.yaml").unlink()
    (workspace / "procedures/df-1/machine.yaml").mkdir()
    told = run("check")
    assert told.code == 1 and "source.no-machine-file" in told.out


@pytest.mark.parametrize("debug", [False, True])
def test_a_fault_of_our_own_is_one_sentence(run, workspace, monkeypatch, debug):
    def broken(*_):
        raise KeyError("inner")

    monkeypatch.setattr(gather, "read_file", broken)
    told = run("check", *(["--debug"] if debug else []))
    assert (told.code, told.out) == (70, "")
    assert "a fault of benchleaf itself stopped it (KeyError)" in told.err
    assert ("Traceback" in told.err) is debug


def test_a_fault_of_our_own_names_the_procedure(run, workspace, monkeypatch):
    def broken(*_):
        raise KeyError("inner")

    monkeypatch.setattr("benchleaf.build.judge.shown", broken)
    assert "(KeyError, while checking procedures/df-1/filter-clean.yaml)" in run("check").err


def test_an_interrupt_is_quiet(run, workspace, monkeypatch):
    def interrupted(*_):
        raise KeyboardInterrupt

    monkeypatch.setattr(gather, "read_file", interrupted)
    assert run("check") == (130, "", "")


def test_what_the_system_refuses_names_the_file(run, workspace, monkeypatch):
    """Permission bits do not stop a superuser, so the refusal is made."""

    def refuse(*_, **__):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.open", refuse)
    told = run("check")
    assert told.code == 3
    assert re.search(r"procedures/\S+\.yaml cannot be read: permission is denied", told.err)


@pytest.mark.parametrize("arguments", [["--help"], ["explain"]], ids=["little", "much"])
def test_a_full_disk_behind_standard_output(process, workspace, arguments):
    with open("/dev/full", "w") as full:
        done = process(*arguments, stdout=full, stderr=subprocess.PIPE, text=True)
    assert done.returncode == 3
    assert done.stderr == "benchleaf: the system refused: no space left on device.\n"


@pytest.mark.parametrize("arguments", [["--help"], ["explain"]], ids=["little", "much"])
def test_a_reader_that_has_gone_is_no_news(process, workspace, arguments):
    reading, writing = os.pipe()
    os.close(reading)
    done = process(*arguments, stdout=writing, stderr=subprocess.PIPE)
    os.close(writing)
    assert (done.returncode, done.stderr) == (141, b"")


def test_output_is_utf_8_in_every_locale(process, workspace, spoil):
    spoil("steps:", "Ω蓋: 1\nsteps:")
    plain = {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    for form in ("text", "json", "sarif"):
        done = process("check", "--format", form, environment=plain, capture_output=True)
        assert done.returncode == 1
        assert done.stderr == b""
        assert "Ω蓋" in done.stdout.decode("utf-8")


def on_terminal(process, environment):
    """What the check of a workspace with an error shows on a terminal."""
    ours, theirs = pty.openpty()
    done = process("check", environment=environment, stdout=theirs, stderr=subprocess.PIPE)
    os.close(theirs)
    shown = b""
    # Reading past the end of a terminal that nobody holds any more is an error on Linux.
    while not shown.endswith(b"ready.\r\n"):
        shown += os.read(ours, 1 << 16)
    os.close(ours)
    assert (done.returncode, done.stderr) == (1, b"")
    return shown


@pytest.mark.parametrize(
    ("environment", "coloured"),
    [
        ({"TERM": "xterm"}, True),
        ({"TERM": "xterm", "NO_COLOR": ""}, True),
        ({"TERM": "xterm", "NO_COLOR": "1"}, False),
        ({"TERM": "dumb"}, False),
    ],
)
def test_colour_is_for_terminals_that_want_it(process, workspace, spoil, environment, coloured):
    """NO_COLOR counts when it is present and not empty (the convention of that name, as published)."""
    spoil("steps:", "steeps:")
    assert (b"\x1b[" in on_terminal(process, environment)) is coloured


def test_a_pipe_gets_no_colour(process, workspace, spoil):
    spoil("steps:", "steeps:")
    done = process("check", environment={"TERM": "xterm"}, capture_output=True)
    assert b"\x1b" not in done.stdout + done.stderr
