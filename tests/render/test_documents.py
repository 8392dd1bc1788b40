"""What stands in the HTML of cards, checklists and the index, and what can never get in."""

import base64
import hashlib
import json
import re
from html.parser import HTMLParser

import pytest
from tests.render.sample_cards import CARDS, FAULT_FINDING, FIGURES, RAM, REPLACEMENT

from benchleaf.card.model import plain
from benchleaf.render import html
from benchleaf.render.fault import RenderFault
from benchleaf.render.index import Entry, Group, index
from benchleaf.render.markdown import block, inline
from benchleaf.render.theme import load

THEME = load()
EVIL = "<script>alert(1)</script>"


class Words(HTMLParser):
    """The visible text, with styles and scripts left out."""

    def __init__(self, text):
        super().__init__()
        self.found, self.skip = [], 0
        self.feed(text)

    def handle_starttag(self, tag, attributes):
        self.skip += tag in ("style", "script")

    def handle_endtag(self, tag):
        self.skip -= tag in ("style", "script")

    def handle_data(self, data):
        if not self.skip:
            self.found.append(data)


def between(start, end, text):
    """What stands between two marks."""
    return text.partition(start)[2].partition(end)[0]


def words(text):
    return " ".join(" ".join(Words(text).found).split())


def said(text):
    """Light markdown as it reads."""
    return words(str(block(text)))


@pytest.mark.parametrize("draw", [html.page, html.checklist])
@pytest.mark.parametrize("card", CARDS, ids=lambda card: card.id)
def test_every_step_finding_and_warning_stands_in_order(draw, card):
    text = words(draw(card, FIGURES, THEME))
    place = 0
    for step in card.steps:
        for warn in step.warnings:
            for part in (warn.word.upper(), warn.hazard, warn.consequence, warn.avoidance):
                place = text.index(part, place)
        place = text.index(said(step.command), place)
        for choice in step.choices:
            place = text.index(choice.label, place)
    for outcome in card.outcomes:
        place = text.index(outcome.title, place)
        assert outcome.leave_sentence in text


@pytest.mark.parametrize("draw", [html.page, html.checklist])
def test_what_the_compiler_put_in_is_marked_with_its_reason(draw):
    text = words(draw(FAULT_FINDING, FIGURES, THEME))
    reasons = [step.inserted for step in FAULT_FINDING.steps if step.inserted]
    assert text.count("Put in by the compiler") == len({reason.sentence for reason in reasons})
    for reason in reasons:
        assert reason.sentence in text
        assert f"[{reason.rule}]" in text


@pytest.mark.parametrize("draw", [html.page, html.checklist])
def test_ways_say_where_they_lead(draw):
    text = words(draw(FAULT_FINDING, FIGURES, THEME))
    for way in ("go to step 18 (at most once)", "finding 4, Wrong charger", "stop and ask", "go on"):
        assert way in text


@pytest.mark.parametrize(
    ("state", "sentence"),
    [
        ("draft", "Draft – not for use on a machine"),
        ("in review", "In review – not for use on a machine"),
        ("released", "Released"),
        ("superseded", "Superseded – not for use on a machine"),
        ("withdrawn", "Withdrawn – not for use on a machine"),
    ],
)
def test_state_stands_in_words_and_only_a_released_card_is_without_a_mark(state, sentence):
    card = REPLACEMENT._replace(state=state)
    page, checklist = html.page(card, FIGURES, THEME), html.checklist(card, FIGURES, THEME)
    assert sentence in words(page)
    assert sentence in words(checklist)
    assert ("background:url(" in page) == (state != "released")
    assert ('<p class="mark"' in checklist) == (state != "released")


def test_nothing_is_said_to_be_none():
    text = words(html.page(FAULT_FINDING, FIGURES, THEME))
    assert "Supplies none" in text
    assert "Parts none" not in text
    assert "No energy is named" in words(html.page(RAM._replace(hazards=()), FIGURES, THEME))


@pytest.mark.parametrize("draw", [html.page, html.checklist])
def test_text_of_a_card_can_not_become_markup(draw):
    """Every text field of the card, one after the other, with markup in it."""
    clean = plain(FAULT_FINDING)
    count = draw(FAULT_FINDING, FIGURES, THEME).count("<script")
    for card in _with(FAULT_FINDING, clean):
        assert draw(card, FIGURES, THEME).count("<script") == count


def _with(card, fields):
    for name, value in fields.items():
        if isinstance(value, str) and name not in ("state", "paper", "format"):
            yield card._replace(**{name: EVIL})
    step = card.steps[1]
    for name in ("command", "info", "expect", "part", "place", "who", "live", "meanwhile", "time", "hold"):
        yield card._replace(sections=(card.sections[0]._replace(steps=(step._replace(**{name: EVIL}),)),))


def test_markdown_knows_emphasis_code_lists_and_links_only():
    assert inline("*a* **b** `c`") == "<em>a</em> <strong>b</strong> <code>c</code>"
    assert block("- a\n- b") == "<ul>\n<li>a</li>\n<li>b</li>\n</ul>\n"
    assert '<a href="other.html">x</a>' in block("[x](other.html)")
    assert block("# head\n\n| a |\n|---|\n\n![x](y.png)\n\n<b>z</b>").count("<p>") == 4
    assert "<b>" not in block("<b>z</b>")
    assert "<img" not in block("![x](y.png)")
    assert "href" not in block("[x](javascript:alert(1))")


def test_missing_figure_and_unknown_sign_are_faults():
    with pytest.raises(RenderFault, match=r"^step 11: the figure figures/throttle-plug.svg is not there$"):
        html.page(FAULT_FINDING, {}, THEME)
    hazard = FAULT_FINDING.hazards[0]._replace(sign="W999")
    with pytest.raises(RenderFault, match="W999"):
        html.checklist(FAULT_FINDING._replace(hazards=(hazard,)), FIGURES, THEME)


def test_policy_allows_this_style_and_this_script_and_nothing_else():
    text = html.checklist(FAULT_FINDING, FIGURES, THEME)
    policy = between('Content-Security-Policy" content="', '"', text).replace("&#39;", "'")
    for tag, rule in (("style", "style-src"), ("script", "script-src")):
        inside = between(f"<{tag}>", f"</{tag}>", text)
        assert inside
        digest = base64.b64encode(hashlib.sha256(inside.encode()).digest()).decode()
        assert f"{rule} 'sha256-{digest}'" in policy
    named = dict(rule.split(" ", 1) for rule in policy.split("; "))
    assert {rule: value for rule, value in named.items() if not value.startswith("'sha256-")} == {
        "default-src": "'none'", "img-src": "data:", "font-src": "data:", "form-action": "'none'", "base-uri": "'none'"
    }  # fmt: skip
    assert all(len(value.split()) == 1 for value in named.values())
    assert not re.search(r"\son\w+=|\sstyle=", text)


def test_checklist_holds_all_that_it_shows():
    text = html.checklist(FAULT_FINDING, FIGURES, THEME)
    sources = re.findall(r'\b(?:src|href)="([^"]+)"', text)
    assert sources
    assert all(source.startswith(("#", "data:image/")) for source in sources)
    assert not re.findall(r"url\((?!data:font/woff2;base64,)|@import|//(?!www\.w3\.org/2000/svg)[\w.]+\.\w+/", text)


def test_card_data_for_the_scripts_survives_hostile_text():
    card = FAULT_FINDING._replace(id="</script><!--")
    text = html.checklist(card, FIGURES, THEME)
    data = json.loads(between('<script type="application/json" id="card">', "</script>", text))
    assert data["id"] == card.id
    assert [step["number"] for step in data["steps"]] == [step.number for step in card.steps]


ENTRIES = (
    Entry("RC-48", "Replace the motor", "replacement", "", "released", (Group("", (("card", "rc-48/a/card.pdf"),)),)),
    Entry(
        "HT-600",
        "Ram sinks",
        "inspection",
        "It sinks.",
        "in review",
        (
            Group("HT600-120 to HT600-299", (("card", "e.pdf"),)),
            Group("HT600-300 and up", (("card", "c.pdf"), ("checklist", "c.html"))),
        ),
    ),
    Entry("RC-48", "Will not drive", "fault-finding", EVIL, "draft", (), "The source has errors: last good output."),
)


def test_index_lists_machines_and_their_procedures_in_order():
    text = index(ENTRIES, THEME)
    read = words(text)
    order = ["HT-600", "Ram sinks", "RC-48", "Will not drive", "Replace the motor"]
    assert sorted(order, key=read.index) == order
    assert "The source has errors: last good output." in read
    assert "Draft – not for use on a machine" in read
    assert re.findall(r'<a href="([^"]+)"', text) == ["e.pdf", "c.pdf", "c.html", "rc-48/a/card.pdf"]
    for machines, link in (("HT600-120 to HT600-299", "e.pdf"), ("HT600-300 and up", "c.pdf")):
        assert text.index(machines) < text.index(link) < text.index(machines) + 200
    # The search's data and the search.
    assert text.count("<script") == 2
    assert index(reversed(ENTRIES), THEME) == text


def test_empty_index_says_so():
    assert "Nothing is built yet." in words(index((), THEME))
