"""The README is done as it says: its commands run, its files check clean, and what it says is lacking is lacking."""

import json
import re
import socket
import struct
import subprocess
import sys
import urllib.request

import pytest

from benchleaf.base.resources import schema_text
from benchleaf.card.records import MeterBand
from benchleaf.edge.cli import COMMANDS, main
from benchleaf.model.actions import actions
from benchleaf.model.quantity import Fault, parse
from benchleaf.trade.hazards import KINDS

MOST_BYTES = 200_000


def test_every_command_ends_as_the_readme_says(followed):
    assert len(followed.turns) >= 4
    for turn in followed.turns:
        due = int(turn.block.argument) if turn.block.order == "exit" else 0
        assert turn.code == due, f"{turn.block.text}{turn.printed}{turn.complaint}"


def test_printed_output_is_what_comes(followed, script, readme):
    """The finding above all."""
    printed = {turn.block.start: turn.printed for turn in followed.turns}
    shown = script.outputs(readme)
    for commands, output in shown:
        assert output.text == printed[commands.start], commands.text
    assert any("error:" in output.text and "mend:" in output.text for _, output in shown)
    assert {commands.start for commands, _ in shown} == set(printed), "commands whose output is not shown"


def test_every_yaml_block_is_a_file_of_the_workspace(followed, script, readme):
    files = {path.read_text("utf-8"): path for path in followed.workspace.glob("procedures/**/*.yaml")}
    shown = [block for block in script.blocks(readme) if block.language == "yaml"]
    assert {files[block.text].name for block in shown} == {path.name for path in files.values()}


def test_what_the_reader_ends_with_checks_clean_and_is_short(followed, monkeypatch, capfd):
    monkeypatch.chdir(followed.workspace)
    assert main(["check", "--strict"]) == 0
    assert capfd.readouterr().out.startswith("nothing to mend")
    (own,) = (turn for turn in followed.workspace.glob("procedures/*/*.yaml") if turn.stem == "little-air")
    assert len(own.read_text("utf-8").splitlines()) <= 35


def test_the_card_is_as_the_readme_describes_it(followed):
    """Six own steps in order; lockout and proof before the lid, power before the switch, and a warning there."""
    card = json.loads((followed.workspace / "out/df-1/little-air/card.json").read_text("utf-8"))
    steps = [step for section in card["sections"] for step in section["steps"]]
    own = [place for place, step in enumerate(steps) if not step["inserted"]]
    assert [steps[place]["action"] for place in own] == ["open", "clean", "measure", "close", "operate", "ask"]
    roles = [step["role"] for step in steps]
    assert roles[0] == "confirm"
    assert {"lock", "prove"} <= set(roles[: own[0]])
    assert "unlock" in roles[own[3] : own[4]]
    assert steps[own[4]]["warnings"]
    assert all(step["inserted"]["sentence"] for step in steps if step["inserted"])
    assert card["state"] == "draft" and card["rests_on"]


@pytest.mark.parametrize("verb", ["demo", "test"])
def test_the_two_commands_are_there(verb, root, readme):
    assert f"\nsh builder/bootstrap.sh {verb}\n" in readme
    said = subprocess.run(
        ["sh", "builder/bootstrap.sh", "--help"], cwd=root, capture_output=True, text=True, check=True
    )
    assert f"bootstrap.sh {verb} " in said.stdout


def test_system_libraries_are_those_that_the_script_asks_for(root, script, readme):
    (block,) = (block for block in script.blocks(readme) if "apt-get" in block.text)
    told = (root / "builder/bootstrap.sh").read_text("utf-8")
    lines = [line for line in block.text.splitlines() if not line.startswith("#")]
    assert len(lines) == 3
    assert [line for line in lines if line not in told] == []


def test_commands_and_their_options_are_those_of_the_command_line(readme, table, capfd):
    rows = table(readme, "command")
    assert {row[0].split()[1].strip("`") for row in rows} == {name for name, _ in COMMANDS}
    for row in rows:
        assert main([row[0].split()[1].strip("`"), "--help"]) == 0
        told = set(re.findall(r"(?<![\w-])--[a-z][a-z-]*", capfd.readouterr().out)) - {"--help"}
        own = set(re.findall(r"`(--[a-z-]+)`", row[2]))
        assert own <= told and len(own) == len(re.findall("--", row[2])), row[0]


def test_exit_codes_are_those_of_the_help(readme, table, capfd):
    assert main(["--help"]) == 0
    told = capfd.readouterr().out.partition("exit codes:\n")[2].partition("\n\n")[0]
    assert {row[0] for row in table(readme, "exit code")} == set(re.findall(r"\b\d+\b", told))


def test_actions_are_those_of_the_format(readme, table):
    named = {word: row[0] for row in table(readme, "nearness") for word in row[1].split(", ")}
    assert named == {name: near for name, near in actions().items() if near != "block"}


def test_kinds_of_energy_are_those_of_the_format(readme):
    line = re.search(r"\*\*Energies\*\* are of these kinds: (.*?)\.", " ".join(readme.split()))
    assert line is not None
    assert re.findall(r"[a-z]+", line[1].replace(" and ", " ")) == list(KINDS)


def test_forms_of_a_limit_are_fields_of_the_schema(readme):
    line = re.search(r"\*\*Limits\*\*(.*?)\n- \*\*", readme, re.DOTALL)
    assert line is not None
    schema = schema_text("machine")
    named = re.findall(r"`([a-z_]+)`", line[1])
    assert len(named) > 8
    assert [name for name in named if f'"{name}": {{' not in schema] == []


def test_quantities_are_read(readme):
    line = re.search(r"\*\*Quantities\*\*(.*?)\n- \*\*", readme, re.DOTALL)
    assert line is not None
    shown = re.findall(r"`([^`]+)`", line[1])
    assert len(shown) == 3 and not [text for text in shown if isinstance(parse(text), Fault)]


def test_the_web_server_serves_what_was_built(followed, script, readme):
    (block,) = (block for block in script.blocks(readme) if "http.server" in block.text)
    words = block.text.split()
    assert words[:3] == ["python3", "-m", "http.server"] and words[-1] == "8000"
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    server = subprocess.Popen(
        [sys.executable, "-u", *words[1:-1], "--bind", "127.0.0.1", str(port)],
        cwd=followed.workspace,
        stdout=subprocess.PIPE,
        stderr=subprocess.DEVNULL,
    )
    try:
        assert server.stdout is not None and b"Serving HTTP" in server.stdout.readline()
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/df-1/little-air/checklist.html") as answer:
            assert answer.read() == (followed.workspace / "out/df-1/little-air/checklist.html").read_bytes()
    finally:
        server.terminate()
        server.communicate()


def test_pictures_are_there_small_and_say_what_they_show(root, readme):
    pictures = re.findall(r"!\[([^\]]*)\]\(([^)]+)\)", readme)
    assert len(pictures) == 2
    for words, name in pictures:
        raw = (root / name).read_bytes()
        assert raw.startswith(b"\x89PNG\r\n\x1a\n") and len(raw) < MOST_BYTES
        assert min(struct.unpack(">II", raw[16:24])) > 300
        assert len(words.split()) > 8


def test_links_inside_the_document_lead_somewhere(readme):
    heads = {re.sub(r"[^\w -]", "", head).strip().lower().replace(" ", "-")
             for head in re.findall(r"^#+ (.+)$", readme, re.MULTILINE)}  # fmt: skip
    links = set(re.findall(r"\]\(#([^)]+)\)", readme))
    assert links and links <= heads


def lacking(root):
    """What the README says is not there yet, and whether that still holds."""
    package = root / "builder" / "benchleaf"
    developers = (root / "DEVELOPERS.md").read_text("utf-8")
    commands = {name for name, _ in COMMANDS}
    return {
        "Releases in other languages": "wording" not in (package / "build" / "released.py").read_text("utf-8"),
        "Records": "record" not in commands,
        "Languages": len(list(package.glob("card/wording*.json"))) == 1,
        "The card to fold": "MarkInfo" not in (package / "render" / "fold.py").read_text("utf-8"),
        "Calibration of another meter": "due" not in MeterBand._fields,
        "Files of kept jobs": not (root / "schema" / "kept.schema.json").exists(),
        "Fields that nothing acts on yet": "### Idle fields" in developers,
    }


def test_what_is_said_to_be_missing_is_missing(readme, root):
    text = readme.partition("## What is not there yet")[2].partition("\n## ")[0]
    named = re.findall(r"^- \*\*(.+?)\.?\*\*", text, re.MULTILINE)
    held = lacking(root)
    assert set(named) == set(held)
    assert [name for name, still in held.items() if not still] == [], "say in the README that this is there now"
