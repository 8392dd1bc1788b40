"""A place in a source file: what every node, record and finding carries."""

from typing import NamedTuple


class Span(NamedTuple):
    """A range of characters in a file.

    Lines and columns count from 1, columns in characters; the end is exclusive.
    `file` is the path relative to the workspace, with forward slashes.
    """

    file: str
    line: int = 1
    column: int = 1
    end_line: int = 1
    end_column: int = 1

    def to(self, other: "Span") -> "Span":
        """The range from the start of this span to the end of another one in the same file."""
        return Span(self.file, self.line, self.column, other.end_line, other.end_column)
