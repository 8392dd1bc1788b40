"""Light markdown to HTML: emphasis, code, lists and links; HTML in the text stays text."""

from functools import cache

from markdown_it import MarkdownIt
from markupsafe import Markup


@cache
def _parser() -> MarkdownIt:
    return MarkdownIt("zero", {"html": False}).enable(["emphasis", "backticks", "list", "link", "escape"])


def block(text: str) -> Markup:
    """Paragraphs and lists."""
    return Markup(_parser().render(text))


def inline(text: str) -> Markup:
    """Text within a line; lists and paragraphs are not looked for."""
    return Markup(_parser().renderInline(text))
