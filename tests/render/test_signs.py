"""Each safety sign has a drawing of the shape and colour that its letter stands for, and a title."""

import re
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import pytest

from benchleaf.render import signs
from benchleaf.render.fault import RenderFault

SVG = "{http://www.w3.org/2000/svg}"

# ISO 3864-1 and ISO 7010, as told in public summaries: yellow triangle with a black band, blue disc, red ring and bar
# over white, green square. The shape is what remains of it in black and white.
FRAMES = {
    "W": ("path", {"fill": "#ffc800", "stroke": "#000", "d": "M50 9 94 87H6z"}),
    "M": ("circle", {"fill": "#005387", "cx": "50", "cy": "50"}),
    "P": ("circle", {"fill": "#fff", "cx": "50", "cy": "50"}),
    "E": ("path", {"fill": "#007a4d", "d": "M2 2h96v96H2z"}),
}

# Numbers and meanings from a public list of the standard's mandatory signs (W026: a page about that sign); one word
# of the meaning is enough to tell a wrong number.
SEEN = {
    "M001": "mandatory", "M002": "instructions", "M003": "ear", "M004": "eye", "M008": "shoes", "M009": "gloves",
    "M010": "clothing", "M013": "face shield", "M014": "head", "M021": "Disconnect", "W026": "Battery charging",
}  # fmt: skip
# ISO 7010:2019, from memory.
REMEMBERED = {
    "W001": "General", "W002": "Explosive", "W008": "Drop", "W011": "Slippery", "W012": "Electricity",
    "W015": "overhead", "W017": "Hot surface", "W018": "Automatic start-up", "W019": "Crushing", "W021": "Flammable",
    "W022": "Sharp", "W023": "Corrosive", "W024": "hands", "W025": "rollers", "W029": "bottle", "W035": "Falling",
    "M026": "apron", "M028": "locked", "P002": "smoking", "P003": "open flame", "P008": "watches", "P010": "touch",
    "P031": "switch", "E003": "First aid", "E004": "telephone", "E011": "Eye wash", "E012": "shower",
}  # fmt: skip


def drawn(number):
    return ElementTree.fromstring(signs.drawing(number))


@pytest.mark.parametrize("number", sorted(signs.signs()))
def test_frame_has_the_shape_and_colour_of_its_kind(number):
    name, attributes = FRAMES[number[0]]
    frame = list(drawn(number))[1]
    assert frame.tag == SVG + name
    assert {key: frame.get(key) for key in attributes} == attributes


@pytest.mark.parametrize("number", sorted(signs.signs()))
def test_drawing_is_square_titled_and_light(number):
    picture = drawn(number)
    assert picture.get("viewBox") == "0 0 100 100"
    assert picture[0].tag == SVG + "title"
    assert picture[0].text == signs.sign(number).title
    assert len(list(picture.iter())) <= 9
    assert not [node for node in picture.iter() if node.tag.removeprefix(SVG) not in ("svg", "title", "path", "circle")]


def test_prohibitions_end_with_the_red_ring_and_bar():
    for number in signs.signs():
        if number.startswith("P"):
            last = list(drawn(number))[-1]
            assert last.get("stroke") == "#b5121b"
            assert last.get("d") == "M19.5 19.5 80.5 80.5M50 6.8a43.2 43.2 0 1 0 .1 0z"


@pytest.mark.parametrize(("number", "word"), sorted((SEEN | REMEMBERED).items()))
def test_number_means_what_the_standard_says(number, word):
    assert word in signs.sign(number).title


def test_table_says_which_numbers_were_seen():
    assert {number for number, row in signs.signs().items() if row.known == "public reproduction"} >= SEEN.keys() - {
        "W026"
    }
    assert {row.known for row in signs.signs().values()} == {"public reproduction", "from memory"}


def test_table_and_drawings_agree():
    folder = Path(signs.__file__).parent / "signs"
    assert {path.stem for path in folder.glob("*.svg")} == set(signs.signs())
    assert all(re.fullmatch(r"[WMPE]\d{3}", number) for number in signs.signs())


def test_unknown_sign_is_a_fault():
    with pytest.raises(RenderFault, match="no drawing of the safety sign W999"):
        signs.drawing("W999")
