"""Prints how dear our page is beside a naive one with the same contents: both by the same PDF library, taking turns.

    .venv/bin/python tests/benchmarks/naive.py [ROUNDS] [PROCEDURE …]

The naive page (`naive_card.html`) is what one writes without a thought for the renderer: boxes in flex and grid, tables
that lay themselves out, a box with a border round each step, each sign embedded where it stands. Target: at most 0.75
of its time for each card; without PROCEDURE, for each of the demonstration. What is compared is processor time, which
depends less on what else the machine does. A script rather than a test, as `ratios.py`, whose measuring it shares.
"""

import gc
import sys
import time
from base64 import b64encode
from collections.abc import Mapping
from pathlib import Path

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup

from benchleaf.card.digest import digest
from benchleaf.card.model import Card, CardStep
from benchleaf.render import at_hand, html, pdf, pictures, plan, signs, theme, view
from benchleaf.render.code import code, identity, short_digest
from benchleaf.render.form import MODULE, Form
from benchleaf.render.wiring import wiring_sketch

# isort: split
import weasyprint

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.benchmarks.ratios import ROOT, Served, cards, medians, show  # its folder is not on the path before

HERE = Path(__file__).parent
TARGET = 0.75
QUESTIONS = (
    "kind_words",
    "state_sentence",
    "crew_words",
    "way_words",
    "way_target",
    "numbers",
    "labels",
    "closing_words",
)


def naive_page(card: Card, files: Mapping[str, bytes]) -> str:
    """The naive page of a card, complete in itself but for its fonts."""
    environment = Environment(loader=FileSystemLoader(HERE), autoescape=True)
    environment.globals.update({name: getattr(view, name) for name in QUESTIONS})
    environment.globals.update(
        sign_uri=lambda number: f"data:image/svg+xml;base64,{b64encode(signs.drawing(number).encode()).decode()}",
        picture_uri=lambda file: html.data_uri(file, files[file]),
        gauge=lambda band: Markup(pictures.gauge(band)),
        pattern=lambda joint: Markup(pictures.pattern(joint)),
        gathered=at_hand.gathered,
        wiring=lambda card, step: _wiring(card, step),
        plan=lambda card: Markup(plan.plan(card, Form().room)),
    )
    full = digest(card)
    qr = code(identity(card, full), MODULE, "Code")
    return environment.get_template("naive_card.html").render(card=card, digest=short_digest(full), qr=qr)


def _wiring(card: Card, step: CardStep) -> Markup:
    wired = view.wiring_of(card, step)
    return Markup(wiring_sketch(wired) if wired and wired.steps[0] == step.number else "")


def compare(card: Card, files: Mapping[str, bytes], rounds: int) -> tuple[float, float]:
    """Median seconds of our page and of the naive one, templates included."""
    look = theme.load()

    def ours() -> None:
        pdf.write_pdf(html.page(card, files, look), files, title=card.title, language="en")

    def naive() -> None:
        weasyprint.HTML(string=naive_page(card, files), url_fetcher=Served(files)).write_pdf(pdf_variant="pdf/ua-1")

    found = medians({"ours": ours, "naive": naive}, rounds, clock=time.process_time)
    show(f"{card.machine.key}/{card.id}", found["ours"], found["naive"], TARGET)
    return found["ours"], found["naive"]


def main() -> None:
    """Compares the cards asked for, tells the dearest, and takes all of them together."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else 7
    asked = tuple(ROOT / file for file in sys.argv[2:])
    gc.disable()
    found = [compare(card, files, rounds) for card, files in cards(asked)]
    show("the worst of them", *max(found, key=lambda sides: sides[0] / sides[1]), TARGET)
    show("all of them together", sum(ours for ours, _ in found), sum(naive for _, naive in found), TARGET)


if __name__ == "__main__":
    assert ROOT.is_dir()
    main()
