"""Documents as HTML from a compiled card: `page` for paper, `checklist` for a browser without network."""

import json
import re
from base64 import b64encode
from collections.abc import Callable, Mapping
from functools import lru_cache
from hashlib import sha256
from pathlib import Path
from typing import TypeVar

from jinja2 import DictLoader, Environment, StrictUndefined, TemplateSyntaxError
from jinja2.exceptions import TemplateError
from jinja2.sandbox import ImmutableSandboxedEnvironment
from markupsafe import Markup, escape

from benchleaf.base.said import ENGLISH, Wording
from benchleaf.card.called import isolators
from benchleaf.card.digest import digest
from benchleaf.card.model import Card
from benchleaf.card.speak import speak
from benchleaf.render import abreast, at_hand, markdown, pictures, plan, signs, typeface, view
from benchleaf.render.checklist_data import checklist_data
from benchleaf.render.code import code, identity, short_digest
from benchleaf.render.fault import RenderFault, ThemeFault
from benchleaf.render.form import Form
from benchleaf.render.theme import Theme
from benchleaf.render.wiring import wiring_sketch

Answer = TypeVar("Answer")

# Stand in a page for what is known only once it is drawn, since its fonts hold the characters that it shows.
STYLE, POLICY = Markup("\0style"), Markup("\0policy")
# What scripts say: the first argument of `say`, always a literal.
_SAYS = re.compile(r'\bsay\("((?:[^"\\]|\\.)*)"')
# What a wrong expression in a template raises.
_MISTAKES = (ArithmeticError, AttributeError, LookupError, RecursionError, TypeError, ValueError)
_TYPES = {
    "svg": "image/svg+xml",
    "png": "image/png",
    "jpg": "image/jpeg",
    "jpeg": "image/jpeg",
    "webp": "image/webp",
    "gif": "image/gif",
}
# What templates may ask of a card.
_QUESTIONS = (
    "state_sentence",
    "kind_words",
    "crew_words",
    "way_words",
    "way_target",
    "numbers",
    "labels",
    "by_pairs",
    "runs",
    "groups",
    "told",
    "change_words",
    "closing_words",
    "signal",
    "state_word",
    "endings",
    "resting",
    "wiring_of",
)


def page(
    card: Card, assets: Mapping[str, bytes], theme: Theme, form: Form | None = None, wording: Wording = ENGLISH
) -> str:
    """The HTML from which the PDF is made, in this form; left out: the card's paper, all else as usual.

    Digest and code are those of the card before it is said in a language: all of them show the same content.

    Pictures stay references: `asset:FILE` and `sign:NUMBER`.

    Raises RenderFault when a figure is not among the assets or a sign has no drawing, ThemeFault when the
    theme is broken.
    """
    _check(card, assets)
    form = form or Form(card.paper)
    mark, full = wording.speak(view.state_mark(card.state)), digest(card)
    said = identity(card, full)
    return draw(
        theme,
        "card.html",
        wording,
        card=speak(card, wording),
        form=form,
        style=Markup(theme.flat_style("card")),
        page_rules=Markup(form.page_rules(_watermark(mark, theme))),
        mark=mark,
        digest=short_digest(full),
        qr=code(said, form.module, wording.say("Code: {text}", text=said)),
    )


def checklist(card: Card, assets: Mapping[str, bytes], theme: Theme, wording: Wording = ENGLISH) -> str:
    """The checklist as one self-contained file: no request leaves it. Raises as `page` does."""
    _check(card, assets)
    script = theme.script
    spoken = speak(card, wording)
    repeats = [step.reading.repeat if step.reading else "" for step in card.steps]
    names = {key: wording.speak(name) for key, name in isolators(card).items()}
    told = checklist_data(spoken, digest(card), repeats, names)
    data = json.dumps(told, ensure_ascii=False, separators=(",", ":"), sort_keys=True)
    pictures_by_file = {
        step.figure.file: data_uri(step.figure.file, assets[step.figure.file]) for step in card.steps if step.figure
    }
    drawn = draw(
        theme,
        "checklist.html",
        wording,
        card=spoken,
        style=STYLE,
        script=Markup(script),
        data=embedded(data),
        words=script_words(script, wording),
        policy=POLICY,
        pictures=pictures_by_file,
        sign_symbols=Markup("".join(_symbol(number) for number in view.sign_numbers(card))),
        mark=wording.speak(view.state_mark(card.state)),
    )
    return dressed(drawn, theme, "checklist", script)


def dressed(page: str, theme: Theme, style: str, script: str = "") -> str:
    """The page with style sheet and fonts in place of `STYLE`, and the policy that allows them in place of `POLICY`."""
    dress = typeface.faces(theme.light.get("family", ""), page) + theme.style(style)
    return page.replace(POLICY, escape(policy(dress, script)), 1).replace(STYLE, dress, 1)


def embedded(text: str) -> Markup:
    """JSON that no text in it can end early."""
    return Markup(text.replace("&", "\\u0026").replace("<", "\\u003c").replace(">", "\\u003e"))


def script_patterns(script: str) -> tuple[str, ...]:
    """What a script says in English, in the order of places, also within the text of another saying."""
    return tuple(dict.fromkeys(json.loads(f'"{each}"') for each in _SAYS.findall(script)))


def script_words(script: str, wording: Wording) -> Markup:
    """What a script says in this language, for the page to carry; empty for English, which scripts know."""
    if wording == ENGLISH:
        return Markup("")
    words = {pattern: wording.patterns.get(pattern, pattern) for pattern in sorted(script_patterns(script))}
    data = {"mark": wording.mark, "words": words}
    return embedded(json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True))


def policy(style: str, script: str) -> str:
    """A Content-Security-Policy: this style and this script, pictures and fonts within the file, and nothing else."""
    hashes = (f"'sha256-{b64encode(sha256(text.encode()).digest()).decode()}'" for text in (style, script))
    return (
        "default-src 'none'; style-src {}; script-src {}; img-src data:; font-src data:; form-action 'none'; "
        "base-uri 'none'"
    ).format(*hashes)


def draw(theme: Theme, template: str, wording: Wording = ENGLISH, /, **values: object) -> str:
    """The template with these values, its fixed words in this language.

    Raises ThemeFault when the template is broken.
    """
    # In a theme from outside the package whatever fails is a fault of the theme; in ours it is our own.
    faults = (TemplateError, *_MISTAKES) if theme.foreign else (TemplateError,)
    try:
        environment = _environment(tuple(theme.templates.items()), theme.foreign, wording)
        return environment.get_template(template).render(**values)
    except TemplateSyntaxError as fault:
        sentence = f"theme {theme.label}: {fault.name}, line {fault.lineno}: {fault.message}"
        raise ThemeFault(sentence, _file(theme, fault.name or template), fault.lineno) from None
    except faults as fault:
        raise ThemeFault(f"theme {theme.label}: {template}: {fault}", _file(theme, template)) from None


def _file(theme: Theme, template: str) -> Path | None:
    return Path(theme.name, template) if theme.foreign else None


def data_uri(file: str, content: bytes) -> str:
    """The picture as a data URI."""
    return f"data:{_TYPES[_suffix(file)]};base64,{b64encode(content).decode()}"


def _check(card: Card, assets: Mapping[str, bytes]) -> None:
    for step in card.steps:
        if step.figure and step.figure.file not in assets:
            raise RenderFault(f"step {step.number}: the figure {step.figure.file} is not there")
        if step.figure and _suffix(step.figure.file) not in _TYPES:
            raise RenderFault(
                f"step {step.number}: {step.figure.file} is no picture of a known kind ({', '.join(_TYPES)})"
            )
    for number in view.sign_numbers(card):
        signs.sign(number)


def _suffix(file: str) -> str:
    return file.rpartition(".")[2].lower()


# By what is in the theme, so that one read again is not compiled again: that takes longer than drawing by it.
@lru_cache(maxsize=8)
def _environment(templates: tuple[tuple[str, str], ...], foreign: bool, wording: Wording) -> Environment:
    # What a workspace brings may draw a card and do nothing else.
    environment = (ImmutableSandboxedEnvironment if foreign else Environment)(
        loader=DictLoader(dict(templates)),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters.update(block=markdown.block, inline=markdown.inline)
    environment.filters.update(first_up=_first_up, led=view.led)
    environment.globals.update(
        {name: _in_language(getattr(view, name), wording) for name in _QUESTIONS},
        language=wording.language,
        direction=wording.direction,
        wording_note=wording.note,
        say=_sayer(wording),
        sign=lambda number: _titled(signs.sign(number), wording),
        bands=abreast.bands,
        gathered=_in_language(at_hand.gathered, wording),
        halves_at_hand=_in_language(at_hand.halves_at_hand, wording),
        halves=lambda lines: abreast.halves(lines, abreast.words),
        gauge=lambda band: Markup(pictures.gauge(band, wording)),
        plan=lambda card, room: Markup(plan.plan(card, room, wording)),
        sketch=lambda wired, zoom: Markup(wiring_sketch(wired, wording, zoom)),
        pattern=lambda joint: Markup(pictures.pattern(joint, wording)),
    )
    return environment


def _in_language(ask: Callable[..., Answer], wording: Wording) -> Callable[..., Answer]:
    """The question, answered in this language."""
    return ask if wording == ENGLISH else lambda *given, **named: speak(ask(*given, **named), wording)


def _sayer(wording: Wording) -> Callable[..., Markup]:
    """What templates say fixed words by; what fills a blank is escaped unless it is markup."""

    def say(pattern: str, **values: object) -> Markup:
        text = wording.patterns.get(pattern, pattern).replace("&", "&amp;").replace("<", "&lt;")
        return Markup(text).format(**values) if values else Markup(text)

    return say


def _first_up(text: str) -> str:
    return text[:1].upper() + text[1:]


def _titled(sign: signs.Sign, wording: Wording) -> signs.Sign:
    return sign._replace(title=wording.say(sign.title))


def _symbol(number: str) -> str:
    """A sign as a symbol that the page draws by reference, so that each drawing stands in the file once."""
    drawing = signs.drawing(number)
    start, end = drawing.index(">", drawing.index("<svg")) + 1, drawing.rindex("</svg>")
    box = drawing[drawing.index('viewBox="') :].split('"')[1]
    return f'<symbol id="sign-{number}" viewBox="{box}">{drawing[start:end]}</symbol>'


def _watermark(mark: str, theme: Theme) -> str:
    """The state across the page as a background picture, which keeps it out of the reading order."""
    if not mark:
        return ""
    size = min(150, 1000 // len(mark))
    picture = (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 600 800">'
        '<text transform="translate(300 400) rotate(-52)" '
        f'text-anchor="middle" y="{size * 0.35:.0f}" font-family="Fira Sans" font-weight="700" font-size="{size}" '
        f'fill="{theme.light["mark"]}" stroke="{theme.light["mark-line"]}">{mark}</text></svg>'
    )
    address = f"data:image/svg+xml;base64,{b64encode(picture.encode()).decode()}"
    return f'background:url("{address}") center/92% auto no-repeat;'
