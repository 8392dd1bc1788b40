"""What can go wrong while a document is drawn, told in one sentence."""

from pathlib import Path


class RenderFault(Exception):
    """A document could not be drawn; `str()` is a sentence for the writer."""


class ThemeFault(RenderFault):
    """A theme is broken; `str()` names the theme, the file and what is wrong.

    `file` is the file at fault and `line` the line in it, 1 where none is known; None where no file is at fault.
    """

    def __init__(self, sentence: str, file: Path | None = None, line: int = 1) -> None:
        super().__init__(sentence, file, line)
        self.sentence, self.file, self.line = sentence, file, line

    def __str__(self) -> str:
        return self.sentence
