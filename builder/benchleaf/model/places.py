"""A place inside a text: from a stretch of characters to lines and columns of its file."""

from benchleaf.base.span import Span


def within(text: str, span: Span, start: int, end: int) -> Span:
    """The span of text[start:end], where `span` is the place of the whole text as written.

    A text that is folded, or written with escapes, no longer maps to columns: its whole span is given then.
    """
    quotes = span.end_column - span.column - len(text)
    if span.line != span.end_line or quotes not in (0, 2):
        return span
    first = span.column + quotes // 2
    return Span(span.file, span.line, first + start, span.line, first + end)
