"""One source file from its path to a checked tree: text, YAML, kind, shape."""

import os
import re
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding, in_order, stops
from benchleaf.base.span import Span
from benchleaf.source import rules_files, rules_format
from benchleaf.source.nodes import Node, brief
from benchleaf.source.shape import KINDS, check
from benchleaf.source.text import Text, load
from benchleaf.source.tree import read
from benchleaf.source.workspace import is_inside

FORMAT_NUMBER = 1
_FORMAT = re.compile(r"benchleaf/([a-z]+)/([1-9][0-9]{0,3})")
_MODELINE = re.compile(r"#\s*yaml-language-server:\s*\$schema=\S*?([a-z]+)\.schema\.json\s*")


class Document(NamedTuple):
    """A source file: `text` is None where its bytes are no text, `node` where any error stands among the findings.

    So a node always has the shape that its schema asks for.
    """

    file: str
    kind: str
    text: Text | None
    node: Node | None
    findings: tuple[Finding, ...]


def read_file(path: Path, root: Path, kind: str) -> Document:
    """Read the file at `path` of the workspace at `root`, which stands where a `kind` belongs (one of KINDS).

    Raises Unreadable if the system refuses.
    """
    file = Path(os.path.relpath(path, root)).as_posix()
    if not is_inside(root, path):
        finding = rules_files.OUTSIDE_WORKSPACE.at(Span(file), "This file lies outside the workspace.")
        return Document(file, kind, None, None, (finding,))
    text = load(path, file)
    if not isinstance(text, Text):
        return Document(file, kind, None, None, text)
    tree, findings = read(text.text, file)
    if tree is None:
        return Document(file, kind, text, None, findings)
    wrong = _format(tree, kind) if tree.kind == "map" else None
    if wrong is not None:
        # A file of another kind or format would only bring follow-up findings.
        return Document(file, kind, text, None, (wrong,))
    found = in_order((*findings, *check(tree, kind), *_modeline(text, kind)))
    return Document(file, kind, text, None if stops(found) else tree, found)


def _format(tree: Node, kind: str) -> Finding | None:
    """What is wrong with the line that says what the file is."""
    right = f"benchleaf/{kind}/{FORMAT_NUMBER}"
    mend = f"write `format: {right}`"
    node = tree.get("format")
    if node is None:
        meant = next((one for one in tree.value if one.node.raw.startswith("benchleaf/")), None)
        if meant is not None:
            sentence = f"The key of this line is `format`, not `{brief(meant.key)}`."
            return rules_format.FORMAT_MISSING.at(meant.key_span, sentence, mend=mend, change="format")
        span = tree.value[0].key_span if tree.value else tree.span
        return rules_format.FORMAT_MISSING.at(span, "The file does not say what it is: `format` is missing.", mend=mend)
    match = _FORMAT.fullmatch(node.raw) if node.kind == "text" else None
    if match is None or match[1] not in KINDS:
        sentence = f"`{brief(node.raw)}` is no format of a source file." if node.raw else "`format` has no value."
        return rules_format.FORMAT_UNKNOWN.at(node.span, sentence, mend=mend, change=right if node.raw else None)
    if match[1] != kind:
        sentence = f"This file says that it is a {match[1]} file, but a {kind} file belongs in its place."
        return rules_format.FORMAT_MISPLACED.at(node.span, sentence)
    if int(match[2]) > FORMAT_NUMBER:
        sentence = f"Format {match[2]} of {kind} files is newer than {FORMAT_NUMBER}, the newest that is known here."
        return rules_format.FORMAT_NEWER.at(node.span, sentence)
    return None


def _modeline(text: Text, kind: str) -> tuple[Finding, ...]:
    """A first line that shows an editor the schema of another kind of file."""
    match = _MODELINE.fullmatch(text.lines[0])
    if match is None or match[1] == kind:
        return ()
    span = Span(text.file, 1, match.start(1) + 1, 1, match.end(1) + 1)
    return (rules_format.MODELINE.at(span, f"The editor is shown the schema of {match[1]} files.", change=kind),)
