"""Themes are read whole, and a broken one says in one sentence what is broken."""

import json
import shutil
from itertools import chain

import pytest
from jinja2 import Environment
from tests.render.sample_cards import FIGURES, REPLACEMENT

from benchleaf.base.resources import theme_names, themes_root
from benchleaf.render import html
from benchleaf.render.fault import ThemeFault
from benchleaf.render.theme import load, load_folder


@pytest.fixture
def copy(tmp_path):
    return shutil.copytree(themes_root() / "daylight", tmp_path / "broken")


def fault(folder):
    with pytest.raises(ThemeFault) as caught:
        html.page(REPLACEMENT, FIGURES, load_folder(folder))
    return str(caught.value)


def test_unknown_theme_names_the_known_ones():
    with pytest.raises(ThemeFault, match=r"there is no theme moonlight; there are: .*daylight"):
        load("moonlight")


def test_a_theme_that_is_read_again_is_not_compiled_again(monkeypatch):
    def never(*_, **__):
        raise AssertionError("compiled again")

    drawn = html.page(REPLACEMENT, FIGURES, load())
    monkeypatch.setattr(Environment, "compile", never)
    assert html.page(REPLACEMENT, FIGURES, load()) == drawn


def test_missing_file(copy):
    (copy / "card.css").unlink()
    assert fault(copy) == "theme broken: card.css is missing"
    shutil.copy(themes_root() / "daylight" / "card.css", copy)
    (copy / "index.html").unlink()
    assert fault(copy) == "theme broken: index.html is missing"


def test_broken_tokens(copy):
    (copy / "tokens.json").write_text('{"light": {,}', encoding="utf-8")
    assert fault(copy).startswith("theme broken: tokens.json, line 1: ")
    (copy / "tokens.json").write_text('{"light": {}}', encoding="utf-8")
    assert fault(copy) == "theme broken: tokens.json needs a table 'dark' of names and CSS values"


def test_style_with_an_unknown_token(copy):
    with (copy / "card.css").open("a", encoding="utf-8") as style:
        style.write("p { color: var(--mud) }")
    assert fault(copy) == "theme broken: card.css uses tokens that tokens.json does not have: mud"


def test_template_that_does_not_parse(copy):
    (copy / "card.html").write_text("\n{% for %}", encoding="utf-8")
    assert fault(copy).startswith("theme broken: card.html, line 2: ")


def test_template_that_asks_for_what_is_not_there(copy):
    (copy / "card.html").write_text("{{ card.weather }}", encoding="utf-8")
    assert fault(copy).startswith("theme broken: card.html: ")
    assert "weather" in fault(copy)


def test_text_that_is_not_utf_8(copy):
    (copy / "card.html").write_bytes(b"\xff")
    assert fault(copy).startswith("theme broken: card.html cannot be read")


def luminance(colour):
    """Relative luminance of `#rrggbb` (WCAG 2.2, definition of relative luminance)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one, other):
    """Contrast ratio (WCAG 2.2, definition of contrast ratio)."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_formula_at_its_ends():
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.005)  # the well-known grey that just fails


def pairs(name):
    """Pairs of tokens, text and its ground, that the theme and the one below it declare."""
    tokens = json.loads((themes_root() / name / "tokens.json").read_text(encoding="utf-8"))
    return tokens["contrast"] + (pairs(tokens["over"]) if "over" in tokens else [])


@pytest.mark.parametrize("name", theme_names())
def test_text_stands_out_from_its_ground(name):
    """WCAG 2.2, 1.4.3: at least 4.5 to 1, in light, dark and sunlight."""
    theme = load(name)
    for scheme in (theme.light, {**theme.light, **theme.dark}, {**theme.light, **theme.sunlight}):
        weak = {
            (ink, ground): contrast(scheme[ink], scheme[ground])
            for ink, ground in pairs(name)
            if contrast(scheme[ink], scheme[ground]) < 4.5
        }
        assert not weak


@pytest.mark.parametrize("name", theme_names())
def test_each_colour_is_held_by_a_contrast_pair_or_draws_lines_only(name):
    assert set(load(name).light) - set(chain.from_iterable(pairs(name))) <= {
        "line",
        "hair",
        "inside",
        "mark",
        "mark-line",
        "family",
    }


def test_in_sunlight_all_plain_text_is_black_on_white():
    tokens = json.loads((themes_root() / "daylight" / "tokens.json").read_text(encoding="utf-8"))
    scheme = tokens["light"] | tokens["sunlight"]
    for ink in ("ink", "quiet", "accent", "outside"):
        for ground in ("paper", "sheet", "wash", "accent-wash", "field"):
            assert contrast(scheme[ink], scheme[ground]) == pytest.approx(21)


def over(tmp_path, tokens, **files):
    folder = tmp_path / "mine"
    folder.mkdir()
    (folder / "tokens.json").write_text(json.dumps(tokens), encoding="utf-8")
    for name, text in files.items():
        (folder / name.replace("_", ".")).write_text(text, encoding="utf-8")
    return folder


def test_a_theme_over_another_holds_only_what_differs(tmp_path):
    theme = load_folder(over(tmp_path, {"over": "daylight", "light": {"ink": "#000001"}}, card_css="p { margin: 7mm }"))
    below = load("daylight")
    assert theme.light["ink"] == "#000001" and theme.light["paper"] == below.light["paper"]
    assert theme.styles["card"].startswith(below.styles["card"]) and theme.styles["card"].endswith("p { margin: 7mm }")
    assert theme.styles["index"] == below.styles["index"]
    assert theme.templates == below.templates and theme.scripts == below.scripts
    assert "p { margin: 7mm }" in html.page(REPLACEMENT, FIGURES, theme)


def test_a_theme_over_itself_or_over_nothing(tmp_path):
    assert "no theme moonlight below it; there are: daylight, sparing" in fault(over(tmp_path, {"over": "moonlight"}))
    (tmp_path / "other").mkdir()
    (tmp_path / "other" / "tokens.json").write_text('{"over": "mine"}', encoding="utf-8")
    (tmp_path / "mine" / "tokens.json").write_text('{"over": "other"}', encoding="utf-8")
    assert fault(tmp_path / "mine").endswith("it stands over itself")


@pytest.mark.parametrize(
    "expression", ["card.title.nothing.more", "1 / 0", "card.title + 1", "numbers(7)", "''.__class__"]
)
def test_a_wrong_expression_in_a_foreign_template_is_a_fault_of_the_theme(tmp_path, expression):
    theme = over(tmp_path, {"over": "daylight"}, card_html="{{ " + expression + " }}")
    assert fault(theme).startswith("theme mine: card.html: ")


def test_a_foreign_template_can_do_nothing_but_draw(tmp_path):
    theme = over(tmp_path, {"over": "daylight"}, card_html="{{ numbers.__globals__ }}")
    assert "unsafe" in fault(theme)
