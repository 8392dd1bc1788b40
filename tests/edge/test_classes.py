"""A procedure that differs between machines: told class by class, and a card and a checklist for each class."""

import json
import re

import jsonschema
import pytest

from benchleaf.base import resources
from benchleaf.render import html
from benchleaf.render.fault import RenderFault

FOLDER = "out/df-1/filter-clean"
MACHINE = "procedures/df-1/machine.yaml"
EARLY, LATE = "1-49", "from-50"
NAMES = {f"card-{key}.json" for key in (EARLY, LATE)} | {f"checklist-{key}.html" for key in (EARLY, LATE)}
LIMIT = "  winding: {name: fan winding, measure: resistance, low: 41 ohm, high: 53 ohm, source: drawing MW-9010}"


@pytest.fixture
def split(spoil):
    """From serial number 50 on the fan has another motor, and a seal to look at."""
    spoil("  winding: {measure", "  late-winding: {measure: resistance, low: 42 ohm, high: 54 ohm, "
          "source: drawing MW-9010, applies_to: {serials: {from: 50}}}\n  winding: {measure", MACHINE)  # fmt: skip
    spoil("source: drawing MW-9010}", "source: drawing MW-9010, applies_to: {serials: {to: 49}}}", MACHINE)
    spoil(
        "  - measure: winding             # a resistance is read with power off, and the compiler knows\n",
        "  - ask: Is the seal of the filter whole?\n    id: seal\n    applies_to: {serials: {from: 50}}\n"
        "    answers: {yes: next, no: {found: weak-motor}}\n"
        "  - measure: late-winding\n    applies_to: {serials: {from: 50}}\n    between: [T1, T2]\n    meter: meter-1\n"
        "    outside: {found: weak-motor}\n"
        "  - measure: winding\n    applies_to: {serials: {to: 49}}\n",
    )


@pytest.fixture
def built(run, workspace, split):
    """The cards of both classes, by key."""
    told = run("build", "--only", "html")
    assert told == (0, "nothing to mend; 1 of 1 procedure ready.\n", "")
    return {key: json.loads((workspace / FOLDER / f"card-{key}.json").read_text("utf-8")) for key in (EARLY, LATE)}


def there(workspace):
    return {path.name for path in (workspace / FOLDER).iterdir()}


def steps(card):
    return [step for section in card["sections"] for step in section["steps"]]


def test_each_class_has_its_own_steps_and_limits(workspace, built):
    assert there(workspace) == NAMES
    early, late = (
        {step["reading"]["band"]["high"]["value"] if step["reading"] else step["command"] for step in steps(card)}
        for card in built.values()
    )
    assert "Is the seal of the filter whole?" in late - early
    assert "53" in early - late and "54" in late - early


@pytest.mark.parametrize(("key", "text"), [(EARLY, "DF1-1 to DF1-49"), (LATE, "DF1-50 and up")])
def test_each_card_says_for_which_machines_it_is(workspace, built, key, text):
    """In its head, in its first step, and as data; and so does its checklist."""
    card = built[key]
    jsonschema.Draft202012Validator(json.loads(resources.schema_text("card"))).validate(card)
    assert card["machine"]["serials"] == text
    assert card["machine"]["applies"]["text"] == text and card["machine"]["applies"]["key"] == key
    first = steps(card)[0]
    assert first["role"] == "confirm" and f"serial number {text}." in first["info"]
    assert "This card is for no other machine" in first["info"]
    page = (workspace / FOLDER / f"checklist-{key}.html").read_text("utf-8")
    assert page.count(text) >= 2
    assert re.search(rf"[Ss]erials [^.]*{re.escape(text)}", re.sub(r"<[^>]+>", "", page))


def test_serial_numbers_of_a_class_as_data(built):
    assert built[EARLY]["machine"]["applies"]["serials"] == [{"prefix": "DF1-", "first": "1", "last": "49"}]
    assert built[LATE]["machine"]["applies"]["serials"] == [{"prefix": "DF1-", "first": "50", "last": ""}]


def test_the_index_lists_the_documents_of_each_class(run, workspace, built):
    text = (workspace / "out/index.html").read_text("utf-8")
    for key, words in ((EARLY, "DF1-1 to DF1-49"), (LATE, "DF1-50 and up")):
        assert re.search(rf'{words}</span><a href="df-1/filter-clean/checklist-{key}.html">', text)
    assert text.count("<h3>") == 1


def test_the_index_knows_them_when_they_are_not_built_anew(run, workspace, built, spoil):
    spoil("revision: A", "revision: B\nporpoise: none")
    assert run("build", "--only", "html").code == 1
    text = (workspace / "out/index.html").read_text("utf-8")
    assert "these documents are from the last build without errors" in text
    assert "DF1-50 and up</span>" in text and f"checklist-{EARLY}.html" in text


def test_cards_of_classes_that_are_no_more_go(run, workspace, built, spoil):
    """From two classes to other two, to one, and back."""
    for file in (MACHINE, "procedures/df-1/filter-clean.yaml"):
        spoil("{from: 50}", "{from: 60}", file)
        spoil("{to: 49}", "{to: 59}", file)
    assert run("build", "--only", "html").code == 0
    assert there(workspace) == {name.replace(EARLY, "1-59").replace(LATE, "from-60") for name in NAMES}
    early = "  - measure: winding\n    applies_to: {serials: {to: 59}}\n"
    spoil("revision: A", "revision: A\napplies_to: {serials: {from: 60}}")
    spoil(early, "  - look: The terminals.\n  - measure: late-winding\n")
    assert run("build", "--only", "html").code == 0
    assert there(workspace) == {"card.json", "checklist.html"}
    assert "DF1-60 and up" in (workspace / "out/index.html").read_text("utf-8")
    spoil("\napplies_to: {serials: {from: 60}}", "", "procedures/df-1/filter-clean.yaml")
    spoil("  - look: The terminals.\n  - measure: late-winding\n", early)
    assert run("build", "--only", "html").code == 0
    assert len(there(workspace)) == 4 and "card.json" not in there(workspace)


def test_a_class_that_cannot_be_drawn_keeps_all_of_the_last_build(run, workspace, built, spoil, monkeypatch):
    before = {path.name: path.read_bytes() for path in (workspace / FOLDER).iterdir()}
    draw = html.checklist

    def failing(card, *rest):
        if card.machine.applies.key == LATE:
            raise RenderFault("the card's font has no sign for \u2600: write it in words")
        return draw(card, *rest)

    monkeypatch.setattr(html, "checklist", failing)
    spoil("revision: A", "revision: B")
    assert run("build", "--only", "html").code == 1
    assert {path.name: path.read_bytes() for path in (workspace / FOLDER).iterdir()} == before


def test_documents_of_a_vanished_procedure_with_classes_are_told(run, workspace, built):
    (workspace / "procedures/df-1/filter-clean.yaml").unlink()
    told = run("build", "--only", "html")
    assert f"{workspace / FOLDER} belongs to no procedure any more" in told.err


def test_what_is_wrong_for_one_class_is_told_with_the_class(run, split, spoil):
    spoil("  - measure: winding\n    applies_to: {serials: {to: 49}}\n", "  - measure: winding\n")
    told = run("check")
    assert told.code == 1
    (line,) = (line for line in told.out.splitlines() if "names.unknown-limit" in line)
    assert line.endswith(
        "error: Only for DF1-50 and up: These machines have no limit `winding`; it is for others. [names.unknown-limit]"
    )


def test_what_is_wrong_for_all_classes_is_told_once_and_without_them(run, split, spoil):
    spoil("  - open: lid\n", "  - open: lid\n  - open: lidd\n")
    told = run("check")
    assert told.out.count("names.unknown-condition") == 1
    assert "Only for" not in told.out.partition("names.unknown-condition")[0]


def test_every_class_must_be_whole(run, split, spoil):
    """Without a reading for the early machines nothing leads to the outcome that only it led to: no matter. But a
    cover that only the late ones close stays open on the early ones."""
    spoil("  - close: lid\n    then: {found: clean}\n", "  - close: lid\n    applies_to: {serials: {from: 50}}\n"
          "  - look: The lid.\n    then: {found: clean}\n")  # fmt: skip
    told = run("check")
    (line,) = (line for line in told.out.splitlines() if "energy.left-open" in line)
    assert "Only for DF1-1 to DF1-49: Outcome `clean` leaves the machine ready" in line


def test_trace_tells_class_by_class(run, split):
    told = run("check", "--trace", "procedures/df-1/filter-clean.yaml").out
    early, late = told.split("For DF1-50 and up:")
    assert "For DF1-1 to DF1-49:" in early
    assert "seal" not in early and "seal" in late


def test_options_stand_beside_the_serial_numbers(run, workspace, spoil):
    spoil("serials: {prefix: DF1-, from: 1}", "serials: {prefix: DF1-, from: 1}\noptions: {heater: [none, built-in]}",
          MACHINE)  # fmt: skip
    spoil("  - open: lid\n", "  - ask: Is the heater cold?\n    applies_to: {options: {heater: built-in}}\n"
          "    answers: {yes: next, no: {found: weak-motor}}\n  - open: lid\n")  # fmt: skip
    assert run("build", "--only", "html").code == 0
    assert "checklist-heater-built-in.html" in there(workspace)
    card = json.loads((workspace / FOLDER / "card-heater-built-in.json").read_text("utf-8"))
    assert (card["machine"]["serials"], card["machine"]["options"]) == ("DF1-1 and up", "heater built-in")
    assert "serial number DF1-1 and up, heater built-in." in steps(card)[0]["info"]
    page = (workspace / FOLDER / "checklist-heater-built-in.html").read_text("utf-8")
    assert page.count("heater built-in") >= 2


def test_energies_that_only_others_have_are_what_the_card_rests_on(run, workspace, spoil):
    spoil(
        "energy:\n",
        "energy:\n  lamp-supply:\n    kind: dc\n    name: lamp supply\n    place: at the back\n    highest: 24 V\n"
        "    isolate: {mains-plug: pulled}\n    fed_by: [supply]\n    applies_to: {serials: {from: 50}}\n",
        MACHINE,
    )
    spoil("energy_none: [battery, dc, ", "energy_none: [battery, ", MACHINE)
    told = run("build", "--only", "html")
    assert told.code == 0, told
    early, late = (
        json.loads((workspace / FOLDER / f"card-{key}.json").read_text("utf-8"))["rests_on"] for key in (EARLY, LATE)
    )
    assert "These machines have none of these: lamp supply." in early
    assert not any("lamp supply" in line and "none" in line for line in late)
    assert any("dc" in line and "holds no energy" in line for line in early)
    assert not any("dc" in line and "holds no energy" in line for line in late)
