"""A message catalogue beside a procedure, as read."""

from collections.abc import Mapping
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.base.span import Span
from benchleaf.build import translations_rules as rules
from benchleaf.source.text import Text, load


class Translated(NamedTuple):
    """A catalogue `ID.LANGUAGE.po` beside a procedure: its messages, and what of the file can't be read.

    `own` are translations that can be said, `lines` all messages with their line. `digest` is as in `Loaded`.
    """

    file: str
    language: str
    own: Mapping[str, str]
    lines: Mapping[str, int]
    findings: tuple[Finding, ...] = ()
    digest: str = ""


def of_file(file: str, language: str, path: Path) -> Translated:
    """The catalogue at a path; `file` is that from the root of the workspace. Raises Unreadable."""
    loaded = load(path, file)
    if not isinstance(loaded, Text):
        return Translated(file, language, {}, {}, loaded)
    # Catalogues take a library that most workspaces do without.
    from benchleaf.source.translations import Broken, read

    try:
        messages = read(loaded.text)
    except Broken as broken:
        finding = rules.BROKEN_TRANSLATION.at(Span(file, broken.line or 1), f"This is no message catalogue: {broken}.")
        return Translated(file, language, {}, {}, (finding,), loaded.digest)
    lost = tuple(
        rules.BROKEN_TRANSLATION.at(
            Span(file, each.line), f"The translation has other blanks than the text: {', '.join(each.lost)}."
        )
        for each in messages
        if each.translation and not each.fuzzy and each.lost
    )
    own = {each.text: each.translation for each in messages if each.stands}
    return Translated(file, language, own, {each.text: each.line for each in messages}, lost, loaded.digest)
