"""Cards of the demo said in other languages, and in one that nobody speaks: letters in capitals of another script.

In that one every fixed word shows: what stands in English letters is the writer's, or was said past the catalogue.
"""

import json
import re
from functools import cache
from pathlib import Path

import pytest
import yaml
from tests.languages.scripted import refresh_wording
from tests.languages.test_catalogues import SHOP
from tests.proof.demo_cards import cards

from benchleaf.base.said import ENGLISH, Said, Wording
from benchleaf.build.wordings import wording
from benchleaf.card.called import isolators
from benchleaf.card.model import plain
from benchleaf.card.proof import verify
from benchleaf.card.records import StepFacts
from benchleaf.card.restore import restored
from benchleaf.card.speak import KEPT, speak
from benchleaf.render import html
from benchleaf.render.theme import load

ROOT = Path(__file__).resolve().parents[2]

THEME = load()
# Letters of another script that every face of the font has.
STRANGE = str.maketrans("abcdefghijklmnopqrstuvwxyz", "абцдефгхийклмнопярстувшхыз")
WORD = re.compile(r"[A-Za-z]{3,}")
# Rules in brackets, units, points of standards: the same in all languages.
# Fields that are said by a table of their own, or are no words.
CODES = {"revision", "issued", "changed_kind", "rule", "value"}
OUR_CODES = re.compile(
    r"\b[0-9a-f]{4}(?: [0-9a-f]{4}){2}\b|\[[a-z.-]+\]|\b(?:energy|language|logic)\.[a-z-]+"
    r"|\b(?:min|bar|psi|lbf|kPa|kWh|mbar)\b"
)


def strange(pattern):
    parts = re.split(r"(\{\w+\})", pattern)
    return "".join(part if part.startswith("{") else part.lower().translate(STRANGE) for part in parts)


@cache
def strange_wording():
    patterns = {pattern: strange(pattern) for pattern in refresh_wording.messages()}
    return Wording("he", patterns, mark="٫", to="до", direction="rtl", note="не", digest="strange")


@cache
def written():
    """Every text and name in the sources of the demo, names with spaces for hyphens too, in small letters."""
    found = set()

    def gather(value):
        if isinstance(value, dict):
            for key, each in value.items():
                gather(str(key))
                gather(each)
        elif isinstance(value, list):
            for each in value:
                gather(each)
        else:
            text = str(value).lower()
            found.update((text, text.replace("-", " "), text.replace("`", "")))

    for file in (ROOT / "procedures").rglob("*.yaml"):
        gather(yaml.load(file.read_text("utf-8"), Loader=yaml.BaseLoader))
    return frozenset(found)


@cache
def vocabulary():
    return frozenset(word for text in written() for word in WORD.findall(text.replace("true", "yes")))


def plain_pieces(value):
    """Text that reaches a page without the catalogue: in fields that are spoken, and within fixed sentences."""
    if isinstance(value, Said):
        for _, inner in value.values:
            yield from plain_pieces(inner)
    elif isinstance(value, str):
        yield value
    elif isinstance(value, tuple) and not isinstance(value, StepFacts):
        names = getattr(value, "_fields", None) or [""] * len(value)
        for name, each in zip(names, value, strict=True):
            if name not in KEPT and name not in CODES:
                yield from plain_pieces(each)


@pytest.mark.parametrize("name", sorted(cards()))
def test_every_fixed_word_of_a_card_goes_through_the_catalogue(name):
    lost = set()
    for text in plain_pieces(cards()[name]):
        small = text.lower().strip()
        # What several texts were joined to must be made of them.
        strange_words = set(WORD.findall(OUR_CODES.sub("", small))) - vocabulary()
        if small not in written() and strange_words:
            lost.add(text)
    assert lost == set()


@pytest.mark.parametrize("name", sorted(cards()))
def test_no_english_word_of_ours_on_the_page_or_in_the_checklist(name):
    card, said = cards()[name], strange_wording()
    pictures = {step.figure.file: b"<svg xmlns='http://www.w3.org/2000/svg'/>" for step in card.steps if step.figure}
    for page in (html.page(card, pictures, THEME, wording=said), html.checklist(card, pictures, THEME, said)):
        assert '<html lang="he" dir="rtl">' in page
        shown = re.sub(r"<(style|script|svg).*?</\1>|<[^<>]*>", " ", page, flags=re.DOTALL)
        shown = OUR_CODES.sub(" ", shown)
        known = vocabulary() | {word.lower() for word in WORD.findall(f"{card.id} {card.machine.key} {card.title}")}
        assert {word for word in WORD.findall(shown) if word.lower() not in known} <= {"nbsp", "quot"}


@pytest.mark.parametrize("language", ["de", "es"])
@pytest.mark.parametrize("name", sorted(cards()))
def test_what_decides_is_the_same_in_every_language(name, language):
    card = cards()[name]
    spoken = speak(card, wording(language, SHOP))
    assert spoken.language == language
    assert spoken.facts == card.facts
    assert [step.facts for step in spoken.steps] == [step.facts for step in card.steps]
    assert [step.key for step in spoken.steps] == [step.key for step in card.steps]
    for one, other in zip(spoken.steps, card.steps, strict=True):
        assert [(each.side, each.kind, each.to, each.number) for each in one.choices] == [
            (each.side, each.kind, each.to, each.number) for each in other.choices
        ]
        if other.reading:
            assert one.reading.band.low is None or one.reading.band.low.value == other.reading.band.low.value
    assert verify(spoken) == verify(card)


def test_english_is_the_card_itself():
    card = cards()[sorted(cards())[0]]
    assert speak(card, ENGLISH) is card


def test_german_warnings_numbers_and_pages_read_as_they_must():
    card = next(card for name, card in cards().items() if card.id == "no-drive")
    page = html.page(card, {step.figure.file: b"<svg/>" for step in card.steps if step.figure}, THEME,
                     wording=wording("de", SHOP))  # fmt: skip
    assert "WARNUNG" in page and "WARNING" not in page
    assert "Energiefreiheit" in page and "63,6\u202fV" in page and "63.6" not in page
    assert "Wortlaut nicht geprüft" in page
    assert 'data-page="Seite"' in page


def names_on_screen(card, said):
    """What the checklist calls all that is locked, opened or in place, by key."""
    pictures = {step.figure.file: b"<svg/>" for step in card.steps if step.figure}
    page = html.checklist(card, pictures, THEME, said)
    data = re.search(r'id="card">(.*?)</script>', page, re.DOTALL)
    return json.loads(data[1])["names"]


def test_locks_and_loose_ends_are_called_on_the_screen_as_on_the_card():
    own = {"charger mains plug": "Netzstecker des Ladegeräts", "deck": "Bodenblech"}
    card = next(card for card in cards().values() if card.id == "no-drive")
    for one in (card, restored(json.loads(json.dumps(plain(card))))):
        names = names_on_screen(one, ENGLISH)
        assert names["charger"] == "charger mains plug" and names["open:deck"] == "deck open"
        assert names["place:seat-jumper"] == "seat switch jumper in place (bypasses the seat switch)"
        assert names_on_screen(one, wording("de", SHOP, own))["charger"] == "Netzstecker des Ladegeräts"
    assert names_on_screen(card, wording("de", SHOP, own))["open:deck"] == "Bodenblech offen"


def test_every_isolator_is_called_as_its_machine_file_calls_it():
    for card in cards().values():
        file = ROOT / "procedures" / card.machine.key / "machine.yaml"
        conditions = yaml.load(file.read_text("utf-8"), Loader=yaml.BaseLoader)["conditions"]
        locked = {key for step in card.steps for key in step.facts.locks}
        found = {key: isolators(card).get(key) for key in locked}
        assert found == {key: conditions[key].get("name", key.replace("-", " ")) for key in locked}
