"""The wiring sketch: all of it told, inside of its frame, no text over another, no wider than a narrow card."""

import random
import re
from pathlib import Path
from xml.etree import ElementTree

import fontpkg_fira_sans
import pytest
from fontTools.ttLib import TTFont
from tests.proof.demo_cards import cards

from benchleaf.base.said import Wording
from benchleaf.card.speak import speak
from benchleaf.card.wired import Wiring, WiringNode, WiringPiece
from benchleaf.render import html
from benchleaf.render.theme import load
from benchleaf.render.wiring import wiring_sketch, words
from benchleaf.render.wiring_layout import lay
from benchleaf.render.wiring_symbols import symbol

SVG = "{http://www.w3.org/2000/svg}"
DIVIDER = Wiring(
    (3,),
    "voltage",
    "M",
    "N",
    "8 V",
    "N",
    (
        WiringPiece("pack", "battery", "pack", "24 V", "N", "P", turned=True),
        WiringPiece("fuse", "fuse", "fuse", "2 A", "P", "Q", "closed"),
        WiringPiece("upper", "resistor", "upper resistor", "2 kΩ", "Q", "M"),
        WiringPiece("lower", "resistor", "lower resistor", "1 kΩ", "M", "N"),
    ),
    (),
    (),
    (
        WiringNode("N", "0 V", False),
        WiringNode("P", "24 V", False),
        WiringNode("Q", "24 V", True),
        WiringNode("M", "8 V", False),
    ),
)
FONT = TTFont(Path(fontpkg_fira_sans.ROOT, "files", "FiraSans-SemiBold.ttf"), lazy=True)
WIDTHS, NAMES, EM = FONT["hmtx"], FONT.getBestCmap(), FONT["head"].unitsPerEm


@pytest.fixture(scope="module")
def wirings():
    return [(card.id, each) for card in cards().values() for each in card.wiring]


def texts(svg):
    """Each text with its box: left, top, right, bottom."""
    root = ElementTree.fromstring(svg)
    found = []
    for each in root.iter(f"{SVG}text"):
        said = "".join(each.itertext())
        size = float(each.get("font-size", "9"))
        wide = sum(WIDTHS[NAMES.get(ord(sign), ".notdef")][0] for sign in said) * size / EM
        x, y = float(each.attrib["x"]), float(each.attrib["y"])
        left = x - wide * {"middle": 0.5, "end": 1.0}.get(each.get("text-anchor", ""), 0.0)
        found.append((said, (left, y - 0.72 * size, left + wide, y + 0.05 * size)))
    return found


def test_everything_is_told():
    said = [text.replace("\N{NO-BREAK SPACE}", " ") for text, _ in texts(wiring_sketch(DIVIDER))]
    for wanted in ("pack 24 V", "upper", "resistor", "2 kΩ", "M", "8 V", "Q 24 V", "Red", "Black", "V", "8 V"):
        assert wanted in said, (wanted, said)


def test_the_title_says_the_same_in_words():
    title = ElementTree.fromstring(wiring_sketch(DIVIDER)).find(f"{SVG}title").text
    assert (
        title
        == words(DIVIDER)
        == (
            "Wiring: from N through pack 24 V to P, fuse 2 A (closed) to Q, upper resistor 2 kΩ to M, "
            "lower resistor 1 kΩ to N; red lead on M 8 V; black lead on N 0 V; expected 8 V"
        )
    )


def test_it_speaks_the_language_of_the_card():
    wording = Wording("xx", {"Red": "Rot", "Black": "Schwarz", "expected {value}": "erwartet {value}"})
    svg = wiring_sketch(DIVIDER, wording)
    said = [text for text, _ in texts(svg)]
    assert "Rot" in said and "Schwarz" in said and "Red" not in said
    assert "erwartet 8 V" in svg


def test_a_translation_leaves_what_the_drawing_hangs_on():
    """A writer's own words may be spelt like a switch's state or a point: the drawing stays the same."""
    wording = Wording("xx", own={"closed": "zu", "open": "offen", "N": "Null", "M": "Mitte", "fuse": "Sicherung"})
    spoken = speak(DIVIDER, wording)
    assert [piece.stands for piece in spoken.ring] == [piece.stands for piece in DIVIDER.ring]
    assert [(piece.start, piece.end) for piece in spoken.ring] == [(piece.start, piece.end) for piece in DIVIDER.ring]
    assert "Sicherung" in {
        text.split("\N{NO-BREAK SPACE}")[0].split(" ")[0] for text, _ in texts(wiring_sketch(spoken))
    }


def collisions(svg):
    """Texts that reach beyond the frame, and pairs of which one lies over the other."""
    width, height = map(float, re.search(r'viewBox="0 0 (\S+) (\S+)"', svg).groups())
    boxes = texts(svg)
    for number, (said, box) in enumerate(boxes):
        if box[0] < -1 or box[1] < -1 or box[2] > width + 1 or box[3] > height + 1:
            yield (said,)
        for other, there in boxes[number + 1 :]:
            if not (box[2] <= there[0] or there[2] <= box[0] or box[3] <= there[1] or there[3] <= box[1]):
                yield said, other


def test_no_text_lies_over_another_or_outside(wirings):
    assert len(wirings) > 30
    for card, each in wirings:
        assert list(collisions(wiring_sketch(each))) == [], (card, each.steps)


NAMES_OF_PARTS = [
    "bank fuse",
    "plug",
    "key",
    "seat lead",
    "coil",
    "precharge diode",
    "bleed",
    "output",
    "motor return",
    "main contact",
]
KINDS = ("resistor", "switch", "fuse", "coil", "contact", "diode", "potentiometer", "motor")


def drawn(seed):
    """A loop of two to ten pieces with the probes anywhere, now and then behind an element of their own."""
    chance = random.Random(seed)
    live = chance.random() < 0.7
    tails = [live and chance.random() < 0.4 for _ in range(2)]
    count = chance.randint(2, 8 if any(tails) else 10 if live else 5)
    nodes = [f"{chance.choice('ABCDKMPSX')}{number}" for number in range(count)]
    gap = chance.randrange(1, count) if chance.random() < 0.4 else 0
    ring = []
    for number, node in enumerate(nodes):
        kind = "gap" if gap and number == gap else "battery" if live and not number else chance.choice(KINDS)
        stands = chance.choice(("open", "closed")) if kind in ("switch", "contact") else ""
        name = "" if kind == "gap" else chance.choice(NAMES_OF_PARTS)
        size = chance.choice(("24 V", "4.7 kΩ", "")) if name and not stands else ""
        after = nodes[(number + 1) % count]
        ring.append(WiringPiece(f"e{number}", kind, name, size, node, after, stands, chance.random() < 0.5))
    ends, ways = [], []
    for number, (node, tail) in enumerate(zip(chance.sample(nodes, 2), tails, strict=True)):
        ends.append(f"J{number}" if tail else node)
        guard = WiringPiece(f"g{number}", "resistor", f"guard {number}", "4.7 kΩ", node, f"J{number}")
        ways.append((guard,) if tail else ())
    volts = ("50.9 V", "0 V", "-12.5 V", "0.157 V")
    every = dict.fromkeys((*nodes, *ends))
    shown = tuple(WiringNode(key, chance.choice(volts) if live else "", chance.random() < 0.2) for key in every)
    measure, against = ("voltage", "N1") if live else ("resistance", "")
    return Wiring((1,), measure, ends[0], ends[1], "50.9 V", against, tuple(ring), ways[0], ways[1], shown)


def renamed(wiring):
    """The same with points that are called by whole words."""

    def longer(pieces):
        return tuple(each._replace(start=f"{each.start}-terminal", end=f"{each.end}-terminal") for each in pieces)

    return wiring._replace(
        red=f"{wiring.red}-terminal",
        black=f"{wiring.black}-terminal",
        ring=longer(wiring.ring),
        red_tail=longer(wiring.red_tail),
        black_tail=longer(wiring.black_tail),
        nodes=tuple(each._replace(key=f"{each.key}-terminal") for each in wiring.nodes),
    )


def test_long_names_of_points_keep_apart(wirings):
    for card, each in wirings:
        assert list(collisions(wiring_sketch(renamed(each)))) == [], (card, each.steps)


def test_of_random_wirings_nearly_all_can_be_read():
    """Every text stays inside of the frame; one in a hundred may have two that touch."""
    found = [list(collisions(wiring_sketch(drawn(seed)))) for seed in range(300)]
    assert not [pair for pairs in found for pair in pairs if len(pair) == 1]
    assert sum(bool(pairs) for pairs in found) <= 3, [pairs for pairs in found if pairs]


def test_a_narrow_card_has_room_for_it_in_type_that_can_be_read(wirings):
    for card, each in wirings:
        root = ElementTree.fromstring(wiring_sketch(each))
        wide = float(root.get("width").removesuffix("mm"))
        _, _, across, _ = map(float, root.get("viewBox").split())
        # 9 units of type, at 80 mm: 6 points and more, as printed cards have it.
        assert 9 * min(wide, 80) / across * 72 / 25.4 >= 6, (card, each.steps, wide)


def test_leads_cross_no_other_lead(wirings):
    """Each lead leaves its node upright and reaches the meter level with it, so two cross only where both pass."""
    for card, each in wirings:
        layout = lay(each)
        flat = [sorted((lead.end[0], layout.meter[0])) for lead in (layout.red, layout.black)]
        for mine, (start, end) in ((layout.red, flat[1]), (layout.black, flat[0])):
            other = layout.black if mine is layout.red else layout.red
            x, top, bottom = mine.spot.at[0], *sorted((mine.spot.at[1], mine.end[1]))
            passes = top < other.end[1] < bottom and start < x < end
            assert not passes, (card, each.steps)


def test_one_picture_has_few_parts(wirings):
    for card, each in wirings:
        root = ElementTree.fromstring(wiring_sketch(each))
        paths = sum(1 for _ in root.iter(f"{SVG}path"))
        assert paths == 3, card
        assert not list(root.iter(f"{SVG}g"))


@pytest.mark.parametrize("kind", ["battery", "resistor", "potentiometer", "fuse", "switch", "diode", "capacitor"])
def test_symbols_fit_a_cell_and_turn_about_its_middle(kind):
    upright, turned = symbol(kind), symbol(kind, "", True)
    assert 0 < upright.width < 40
    for one, other in ((upright.lines, turned.lines), (upright.solids, turned.solids)):
        mirrored = [(-x, y) for stroke in one for x, y in stroke]
        for point, there in zip(mirrored, (point for stroke in other for point in stroke), strict=True):
            assert point == pytest.approx(there)


def test_a_battery_has_its_long_plate_at_its_first_node():
    plates = [stroke for stroke in symbol("battery").lines if stroke[0][0] == stroke[-1][0]]
    first, last = sorted(plates, key=lambda stroke: stroke[0][0])
    assert abs(first[0][1] - first[1][1]) > abs(last[0][1] - last[1][1])


def test_a_closed_switch_differs_from_an_open_one():
    opened, closed = symbol("switch", "open"), symbol("switch", "closed")
    assert max(abs(y) for stroke in opened.lines for _, y in stroke) > 7
    assert max(abs(y) for stroke in closed.lines for _, y in stroke) <= 3


@pytest.fixture(scope="module")
def silent():
    (card,) = (card for card in cards().values() if card.id == "contactor-silent")
    return card


def parts(document, first):
    """The parts of a document from each step on, by its number."""
    pieces = re.split(r'<li class="step[^>]* id="step-(\d+)"', document)
    return dict(zip(map(int, pieces[1::2]), pieces[2::2], strict=True))[first]


@pytest.mark.parametrize("draw", [html.page, html.checklist])
def test_card_and_checklist_draw_it_once_and_refer_to_it(silent, draw):
    shared = next(each for each in silent.wiring if len(each.steps) > 1)
    first, *later = shared.steps
    assets = {step.figure.file: b"<svg/>" for step in silent.steps if step.figure}
    document = draw(silent, assets, load("daylight"))
    assert document.count('<svg class="wiring') == len(silent.wiring)
    assert f"<title>{words(shared)}</title>" in parts(document, first)
    for number in later:
        assert f"Wiring: as drawn at step {first}." in parts(document, number)
        assert '<svg class="wiring' not in parts(document, number)


def test_the_checklist_folds_the_plan_away(silent):
    assets = {step.figure.file: b"<svg/>" for step in silent.steps if step.figure}
    document = html.checklist(silent, assets, load("daylight"))
    folded = document.partition('<details class="plan-box">')[2].partition("</details>")[0]
    assert folded.startswith("<summary>Plan of the fault finding</summary>") and '<svg class="plan"' in folded


def test_a_dark_screen_keeps_the_word_on_the_black_lead(silent):
    assets = {step.figure.file: b"<svg/>" for step in silent.steps if step.figure}
    document = html.checklist(silent, assets, load("daylight"))
    assert 'class="on" fill="#fff">Black<' in document
    assert ".wiring .on { fill: var(--paper) }" in document
