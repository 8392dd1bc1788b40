"""The sheets around the cards say what the machine file says, all of it, and what the law asks of them."""

import re
from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser
from math import log

import pytest
from tests.render.sample_cards import CARDS
from tests.render.sample_sheets import (
    MACHINES,
    all_samples,
    of_machine,
    picking_sample,
    reading_samples,
    shelf,
    written,
)

from benchleaf.card.sheet_classes import sheet_classes
from benchleaf.card.sheet_isolation import isolation_sheet
from benchleaf.card.sheet_machine import machine_sheet
from benchleaf.card.sheet_picking import letter
from benchleaf.model.applies import Applies, Serials
from benchleaf.render import sheets
from benchleaf.render.fault import RenderFault
from benchleaf.render.theme import load

THEME = load()


class Text(HTMLParser):
    """The text of a page without its style."""

    def __init__(self):
        super().__init__()
        self.found = []
        self.depth = 0

    def handle_starttag(self, tag, attributes):
        self.depth += tag in ("style", "script")

    def handle_endtag(self, tag):
        self.depth -= tag in ("style", "script")

    def handle_data(self, data):
        if not self.depth:
            self.found.append(data)


def text_of(sample):
    reader = Text()
    reader.feed(sheets.page(sample.sheet, sample.pictures, THEME))
    return squeezed("".join(reader.found))


def squeezed(text):
    """Lower-case text without spaces, which templates and units set as they like."""
    return re.sub(r"\s+", "", text).lower()


def steps(sheet):
    return (*sheet.lock, *sheet.prove, *sheet.back)


def roles(sheet):
    """The roles in their order, each run of equal ones once."""
    found = []
    for step in steps(sheet):
        if not found or found[-1] != step.role:
            found.append(step.role)
    return found


@pytest.fixture(params=MACHINES)
def machine(request):
    return request.param


@pytest.fixture
def sheet(machine):
    return of_machine(machine)["isolation"].sheet


def isolating(raw):
    """Every setting by which the machine file isolates an energy."""
    return {pair for energy in raw["energy"].values() for pair in energy.get("isolate", {}).items()}


# 29 CFR 1910.147(c)(4)(ii): what the written procedure of a machine holds, (A) to (D); public reproduction.


def test_a_statement_of_the_intended_use(machine, sheet):
    """(c)(4)(ii)(A): for which machine, for what, for what not, and who may do it."""
    raw, text = written(machine), text_of(of_machine(machine)["isolation"])
    assert squeezed("What this sheet is for") in text
    use = " ".join(sheet.use)
    assert raw["name"] in use and f"{raw['serials']['prefix']}{raw['serials']['from']}" in use
    for words in ("before anybody repairs", "Not for normal running", "authorised people"):
        assert words in use
    assert all(squeezed(line) in text for line in sheet.use)


def test_b_steps_for_shutting_down_isolating_blocking_and_securing(machine, sheet):
    """(c)(4)(ii)(B): each isolator is moved to where the machine file says, by its own words where it has some."""
    raw, text = written(machine), text_of(of_machine(machine)["isolation"])
    commands = [step.command for step in sheet.lock]
    assert isolating(raw)
    for name, value in isolating(raw):
        declared = raw["conditions"].get(name) or raw["things"][name]
        if name in raw["conditions"]:
            said = declared.get("how", {}).get(value, f"Set the {declared['name']} to '{value}'.")
            assert commands.count(said) == 1
        else:
            assert [words for words in commands if words.startswith(f"Place the {declared['name']}")]
        for asked, standing in declared.get("move_when", {}).items():
            if raw["conditions"].get(asked, {}).get("isolates") != "true" and asked not in raw["things"]:
                assert [step for step in sheet.lock if step.role == "shut-down" and f"'{standing}'" in step.command]
    assert all(squeezed(words) in text for words in commands)


def test_c_placement_removal_and_transfer_of_locks_and_who_has_them(machine, sheet):
    """(c)(4)(ii)(C): a lock on each isolator that takes one, taken off by its owner; what a change of shift asks."""
    raw, text = written(machine), text_of(of_machine(machine)["isolation"])
    lockable = [name for name, _ in isolating(raw) if raw["conditions"].get(name, {}).get("lock")]
    assert lockable
    for name in lockable:
        condition = raw["conditions"][name]
        (put_on,) = (step for step in sheet.lock if step.role == "lock" and condition["lock"] in step.command)
        (isolate,) = (step for step in sheet.lock if step.role == "isolate" and step.mark == put_on.mark)
        assert put_on.number == isolate.number + 1
        (taken,) = (step for step in sheet.back if step.role == "unlock" and condition["name"] in step.command)
        assert "your own lock" in put_on.command and "your own lock" in taken.command
    rules = " ".join(sheet.rules)
    for words in ("lock and a tag of their own", "Only the person who put a lock on takes it off", "Change of shift"):
        assert words in rules
    assert (
        text.count(squeezed("Lock number")) == 1 and squeezed("Put on by") in text and squeezed("Taken off by") in text
    )


def test_d_testing_that_the_control_works(machine, sheet):
    """(c)(4)(ii)(D): every proof of the machine file, point by point, and what to do where it fails."""
    raw, text = written(machine), text_of(of_machine(machine)["isolation"])
    proofs = [energy["prove"] for energy in raw["energy"].values() if "prove" in energy]
    assert proofs
    shown = [(red.key, black.key) for step in sheet.prove for red, black in step.pairs]
    commands = [step.command for step in sheet.prove]
    for proof in proofs:
        for pair in proof.get("between", ()):
            assert tuple(pair) in shown
        for words in (proof.get("look"), proof.get("try"), proof.get("gauge")):
            assert words is None or squeezed(words) in text
        assert proof.get("look") is None or proof["look"] in commands
    assert len(shown) == sum(len(proof.get("between", ())) for proof in proofs)
    for names in shown:
        for name in names:
            assert squeezed(raw["points"][name]["name"]) in text
    assert "leave the locks on, take your hands off" in " ".join(sheet.proof_rules)


def test_the_tester_is_tried_before_and_after(sheet):
    """29 CFR 1910.333(b)(2)(iv)(B): live, dead, live."""
    readings = [step.number for step in sheet.prove if step.pairs]
    tries = [step.number for step in sheet.prove if step.command.startswith("Try the voltage tester")]
    assert len(tries) == 2 and tries[0] < min(readings) <= max(readings) < tries[1]


def test_the_order_is_that_of_the_law(sheet):
    """29 CFR 1910.147(d)(1) to (6), then (e): tools out and people clear, locks off by their owners, people told."""
    found = roles(sheet)
    order = ("tell", "shut-down", "isolate", "lock", "prove", "check", "clear", "unlock", "tell-back")
    places = [found.index(role) for role in order]
    assert places == sorted(places)
    waits = [place for place, role in enumerate(found) if role in ("relieve", "wait")]
    last_lock = max(place for place, role in enumerate(found) if role == "lock")
    assert all(last_lock < place < found.index("prove") for place in waits)
    assert [step.number for step in steps(sheet)] == list(range(1, len(steps(sheet)) + 1))


def test_every_energy_with_its_size_place_and_what_takes_it_away(machine, sheet):
    """29 CFR 1910.147(d)(1): type and magnitude of each energy, and the means to control it."""
    raw = written(machine)
    assert [row.key for row in sheet.rows] == list(raw["energy"])
    sizes = ("highest", "voltage", "pressure", "temperature", "capacitance", "capacity", "mass")
    for row in sheet.rows:
        energy = raw["energy"][row.key]
        assert row.name == energy["name"] and row.place == energy["place"]
        stated = [energy[name] for name in sizes if name in energy]
        for size in stated:
            assert size.split(" ")[0] in row.size, row.key
        assert {line.key for line in row.isolators} >= set(energy.get("isolate", {}))
        if energy.get("stays_live"):
            assert row.stays and row.at and not row.isolators
        else:
            assert row.isolators or row.relief or row.stays


def test_the_wait_is_that_of_the_capacitor(sheet, machine):
    """t = RC ln(V/v), highest voltage and worst tolerances (discharge of a capacitor through a resistor)."""
    energy = next((each for each in written(machine)["energy"].values() if "bleed" in each), None)
    if energy is None:
        assert not [step for step in sheet.lock if "until below" in step.info]
        return
    factor = {"uF": 1e-6, "kohm": 1e3}
    capacitance, resistance = (float(value) * factor[unit] for value, unit in
                               (energy["capacitance"].split(), energy["bleed"].split()))  # fmt: skip
    worst = (1 + float(energy["tolerance"].split()[0]) / 100) * (1 + float(energy["bleed_tolerance"].split()[0]) / 100)
    seconds = capacitance * resistance * worst * log(float(energy["highest"].split()[0]) / 5)
    (step,) = (step for step in sheet.lock if "until below" in step.info)
    assert f"{seconds:.0f}\u202fs until below 5 V" in step.info
    assert int(re.search(r"Wait (\d+)", step.command)[1]) >= seconds


def test_a_machine_without_energy_has_a_sheet_that_says_so():
    record, shop = shelf().machines["pc-9"].record, shelf().shop.record
    bare = isolation_sheet(record._replace(energy={}, figure=None), shop)
    assert steps(bare) == () and bare.isolators == ()
    assert "No isolator is named for this machine." in sheets.page(bare, {}, THEME)


def test_an_isolator_that_is_gone_is_gone_from_the_sheet():
    """The sheet follows the machine file, whatever it says."""
    record, shop = shelf().machines["rc-48"].record, shelf().shop.record
    energy = {name: each for name, each in record.energy.items() if name != "roll-away"}
    less = isolation_sheet(record._replace(energy=energy), shop)
    assert "chocks" in {line.key for line in of_machine("rc-48")["isolation"].sheet.isolators}
    assert {line.key for line in less.isolators} == {"battery-plug", "charger"}
    assert not [step for step in steps(less) if "chocks" in step.command]


def test_numbers_of_the_figure_are_those_of_the_machine_file(machine):
    raw = written(machine)["figure"]["callouts"]
    figure = of_machine(machine)["isolation"].sheet.figure
    assert [each.number for each in figure.callouts] == sorted(raw, key=int)
    named = {name for name, _ in isolating(written(machine))}
    assert {each.number for each in figure.callouts if each.isolates} == {
        no for no, name in raw.items() if name in named
    }


def test_numbers_stand_in_the_drawing_as_in_the_list(machine):
    """Each number of the list is drawn once, and no other."""
    (drawing,) = of_machine(machine)["isolation"].pictures.values()
    drawn = re.findall(r'fill="#fff">(\d+)</text>', drawing.decode())
    assert sorted(drawn, key=int) == sorted(written(machine)["figure"]["callouts"], key=int)


def test_the_machine_sheet_holds_all_that_the_machine_file_names(machine):
    raw, text = written(machine), text_of(of_machine(machine)["machine"])
    for part in raw["parts"].values():
        for key in ("name", "number", "place", "does"):
            assert squeezed(part.get(key, "")) in text
    for condition in raw["conditions"].values():
        assert squeezed(condition.get("name", "")) in text and squeezed(condition.get("place", "")) in text
        assert squeezed(", ".join(condition["values"]).replace("-", " ")) in text
    for indicator in raw["indicators"].values():
        for shown in indicator["shows"]:
            assert squeezed(shown["sign"]) + squeezed(shown["means"]) in text
    for key, point in raw["points"].items():
        assert squeezed(key + point["name"]) in text
    for energy in raw["energy"].values():
        if energy.get("stays_live"):
            assert squeezed(energy["name"]) in text[text.index(squeezed("What stays live")) :]


def test_the_limits_sheet_holds_every_limit_and_torque_with_its_source(machine):
    raw, text = written(machine), text_of(of_machine(machine)["limits"])
    for limit in raw["limits"].values():
        assert squeezed(limit["name"]) in text and squeezed(limit["source"]) in text
        for edge in ("low", "high"):
            number = limit.get(edge, "").split(" ")[0]
            assert squeezed(number) in text
    for fastener in raw["fasteners"].values():
        assert squeezed(f"{fastener['name']}, {fastener['count']} × {fastener['thread']}") in text
        assert squeezed(fastener["torque"]) in text and squeezed(fastener["source"]) in text
    rows = [row for group in of_machine(machine)["limits"].sheet.groups for row in group.rows]
    assert len(rows) == len(raw["limits"])


def test_torques_stand_in_both_units():
    """1 lbf·ft is 1.355 818 N·m (NIST SP 811, appendix B.8)."""
    for row in of_machine("rc-48")["limits"].sheet.torques:
        metric, other = re.match(r"([\d.]+)\u202fN·m \(([\d.]+)\u202flbf·ft\)", row.torque.printed).groups()
        assert float(other) == pytest.approx(float(metric) / 1.355818, rel=0.02)


def test_a_limit_that_compares_names_the_step():
    rows = [row for group in of_machine("rc-48")["limits"].sheet.groups for row in group.rows]
    (sag,) = (row for row in rows if "sag" in row.name)
    assert sag.sentence == "at most 2.4\u202fV below the reading of step “rest”"


def test_limits_for_some_machines_say_for_which():
    """The lever was changed with number 700, which is nothing dangerous and cuts no classes: both limits are there."""
    rows = [row for group in of_machine("rc-48")["limits"].sheet.groups for row in group.rows]
    assert [row.only_for for row in rows if "lever" in row.name] == ["serials up to RC48-699", "serials from RC48-700"]


def test_a_class_of_machines_has_what_may_be_for_some_of_them():
    """With a hand brake from number 500 on, there are two classes; only the second one has machines from 700 on."""
    record, shop = shelf().machines["rc-48"].record, shelf().shop.record
    brake = record.conditions["hand-brake"]
    from_500 = Applies(brake.span, (Serials(brake.span, "", 500),))
    conditions = {**record.conditions, "hand-brake": brake._replace(applies_to=from_500)}
    first, second = sheet_classes(record._replace(conditions=conditions))
    assert [variant.text for variant, _ in (first, second)] == ["RC48-400 to RC48-499", "RC48-500 and up"]
    assert [set(machine.limits) & {"brake-lever-free", "long-lever-free"} for _, machine in (first, second)] == [
        {"brake-lever-free"},
        {"brake-lever-free", "long-lever-free"},
    ]
    settings = [{row.name for row in machine_sheet(machine, shop).settings} for _, machine in (first, second)]
    assert ["hand brake" in names for names in settings] == [False, True]
    sheet = isolation_sheet(first[1], shop, {}, first[0])
    assert sheet.head.machine.serials == "RC48-400 to RC48-499" and sheet.head.machine.applies.key
    assert "not on these machines" in [each.text for each in sheet.figure.callouts]


@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_the_reading_sheet_has_a_blank_for_all_that_is_written_down(card):
    (sample,) = (each for each in reading_samples() if each.sheet.id == card.id)
    page = sheets.page(sample.sheet, {}, THEME)
    body = page[page.index("<tbody>") :]
    asked = [step for step in card.steps if step.reading or step.entries or step.hold]
    assert {step.number for group in sample.sheet.groups for step in group.steps} >= {step.number for step in asked}
    for step in asked:
        row = re.search(rf'<td class="big">{step.number}</td>(.*?)</tr>', body, re.DOTALL)[1]
        times = re.match(r"\d+", step.reading.repeat) if step.reading else None
        blanks = max(len(step.reading.blanks), int(times[0]) if times else 1) if step.reading else 0
        photos = sum(entry.expects == "photo" for entry in step.entries)
        blanks += len(step.entries) - photos + bool(step.hold)
        assert row.count('class="write"') == blanks, step.number
        assert row.count('class="box"') == photos


def test_the_reading_sheet_names_card_revision_and_state():
    for sample in reading_samples():
        text = text_of(sample)
        assert squeezed(f"card {sample.sheet.machine.key}/{sample.sheet.id}, revision {sample.sheet.revision}") in text
        assert (squeezed("not for use on a machine") in text) == (sample.sheet.state != "released")
        for words in ("Serial number", "Date and time begun", "Finding no.", "out of service"):
            assert squeezed(words) in text


def test_the_picking_list_adds_up():
    """Two jobs at the lift table use oil and one seal set; one at the carrier shares the wrench with them."""
    found = picking_sample().sheet
    lines = {line.name: line for group in found.groups for line in group.lines}
    assert [job.card for job in found.jobs] == ["ht-600/lowering-valve-replace", "ht-600/yearly-service",
                                                "rc-48/motor-replace"]  # fmt: skip
    assert lines["click wrench"].amount == "1"
    assert [share.letter for share in lines["click wrench"].jobs] == ["A", "B", "C"]
    assert lines["hydraulic oil"].amount.startswith("4.800\u202fL")
    assert [share.amount.split(" ")[0] for share in lines["hydraulic oil"].jobs] == ["0.300\u202fL", "4.5\u202fL"]
    kinds = {line.name: group.kind for group in found.groups for line in group.lines}
    assert kinds["seal set of the lowering valve"] == "single-use" and kinds["drive motor"] == "part"
    assert kinds["wheel chocks"] == "tool", "what the compiler has put in place is taken along as well"
    assert lines["padlock with its own key, and a tag"].amount == "2"


def test_letters_of_jobs():
    assert [letter(place) for place in (0, 25, 26, 51, 52, 701, 702)] == ["A", "Z", "AA", "AZ", "BA", "ZZ", "AAA"]


def test_two_prints_with_one_mark_say_the_same():
    marks = {}
    for sample in all_samples():
        mark = sheets.content_mark(sample.sheet)
        assert marks.setdefault(mark, sample.name) == sample.name
        assert mark in sheets.page(sample.sheet, sample.pictures, THEME)
    sheet = of_machine("rc-48")["isolation"].sheet
    assert sheets.content_mark(sheet) != sheets.content_mark(sheet._replace(notice=sheet.notice + "."))


def test_a_figure_that_is_not_there_is_a_fault():
    with pytest.raises(RenderFault, match=r"^the figure of the machine, figures/machine\.svg, is not there$"):
        sheets.page(of_machine("rc-48")["machine"].sheet, {}, THEME)


def test_the_screen_page_is_whole_in_itself_and_allows_nothing_else():
    """Its policy allows exactly the style that it holds; every picture is in the file."""
    sample = of_machine("rc-48")["isolation"]
    page = sheets.screen(sample.sheet, sample.pictures, THEME)
    style = page[page.index("<style>") + 7 : page.index("</style>")]
    digest = b64encode(sha256(style.encode()).digest()).decode()
    policy = re.search(r'http-equiv="Content-Security-Policy" content="(.*?)"', page)[1]
    assert f"style-src &#39;sha256-{digest}&#39;" in policy and "default-src &#39;none&#39;" in policy
    sources = re.findall(r'src="([^"]*)"', page)
    assert len(sources) > len(sample.sheet.rows) and all(
        each.startswith("data:image/svg+xml;base64,") for each in sources
    )
    assert "<script" not in page and "run-head" not in page
    for step in steps(sample.sheet):
        assert step.command in page
