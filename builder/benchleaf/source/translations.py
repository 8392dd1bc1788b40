"""Message catalogues (gettext PO): the text of a file to its messages, each with its line."""

import io
import re
from typing import NamedTuple

from babel.messages.pofile import PoFileError, read_po

_BLANK = re.compile(r"\{\w+\}")


class Message(NamedTuple):
    """A message and its translation; `fuzzy` is one that a translator has still to look at."""

    text: str
    translation: str
    line: int
    fuzzy: bool

    @property
    def stands(self) -> bool:
        """Whether it can be said: translated, looked at, and with the blanks of the message."""
        return bool(self.translation) and not self.fuzzy and not self.lost

    @property
    def lost(self) -> tuple[str, ...]:
        """Blanks that the translation lacks or adds."""
        return tuple(sorted(set(_BLANK.findall(self.text)) ^ set(_BLANK.findall(self.translation))))


class Broken(ValueError):
    """A file that is no catalogue; `line` is where that shows, 0 where nobody can say."""

    def __init__(self, sentence: str, line: int) -> None:
        """See the class."""
        super().__init__(sentence)
        self.line = line


def read(content: str) -> tuple[Message, ...]:
    """The messages in their order, without the head. Raises Broken."""
    try:
        found = read_po(io.BytesIO(content.encode()), charset="utf-8", abort_invalid=True)
    except PoFileError as error:
        raise Broken(str(error).partition(": ")[2] or str(error), int(error.lineno) + 1) from None
    except (ValueError, LookupError) as error:
        raise Broken(str(error), 0) from None
    return tuple(
        Message(str(each.id), str(each.string or ""), each.lineno or 0, each.fuzzy)
        for each in found
        if each.id and isinstance(each.id, str)
    )
