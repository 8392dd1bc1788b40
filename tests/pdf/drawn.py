"""The pages of the sample cards, each drawn once in a test process, whoever looks at it."""

from functools import cache

from tests.render.sample_cards import FIGURES

from benchleaf.render import html, pdf
from benchleaf.render.form import Form
from benchleaf.render.theme import load


class Same:
    """A card that counts as equal only to itself, since cards hold maps."""

    def __init__(self, card):
        self.card = card

    def __hash__(self):
        return id(self.card)

    def __eq__(self, other):
        return self.card is other.card


def drawn(card, form=None, theme="daylight"):
    """The PDF of a card in a form, by default that of its paper."""
    return _once(Same(card), form or Form(card.paper), theme)


@cache
def _once(same, form, theme):
    card = same.card
    page = html.page(card, FIGURES, load(theme), form)
    return pdf.write_pdf(page, FIGURES, title=card.title, language=card.language, zoom=form.zoom)
