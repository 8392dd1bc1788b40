"""Stages 1 to 3: from a workspace to the records of all that a request needs, each with its findings."""

import os
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from benchleaf.base.finding import Finding
from benchleaf.build.faults import NoSource
from benchleaf.build.figures import Album
from benchleaf.build.request import Request
from benchleaf.build.translated import Translated, of_file
from benchleaf.model.assemble import assemble
from benchleaf.model.identifiers import is_identifier
from benchleaf.model.procedure import Procedure, Step
from benchleaf.source import workspace
from benchleaf.source.read import read_file
from benchleaf.source.workspace import TRANSLATION, Survey

# Folder of the machine and name of the procedure.
Key = tuple[str, str]


class Loaded(NamedTuple):
    """A source file: its record (None where it has no meaning yet), its lines, and what is wrong with it.

    `digest` is the SHA-256 of its bytes, empty where they are no text.
    """

    file: str
    record: Any
    lines: tuple[str, ...]
    findings: tuple[Finding, ...]
    digest: str = ""


class Shelf(NamedTuple):
    """All that was read: blocks by name, machines by folder, procedures by folder and name.

    `asked` are the files that the request is about, `whole` tells that it is about all of them. `judged` are the
    procedures to hold to the rules: for a check those that are asked for, for a build all, since the index names all.
    `complete` tells that every source file was read. `album` opens pictures when they are wanted.
    `translations` are those of the procedures that were read.
    """

    root: Path
    survey: Survey
    shop: Loaded
    blocks: Mapping[str, Loaded]
    machines: Mapping[str, Loaded]
    procedures: Mapping[Key, Loaded]
    judged: tuple[Key, ...]
    asked: frozenset[str]
    whole: bool
    complete: bool
    today: str
    album: Album
    translations: Mapping[Key, tuple[Translated, ...]]

    def is_asked(self, file: str) -> bool:
        """Whether the request is about this file."""
        return self.whole or file in self.asked

    def loaded(self) -> Iterable[Loaded]:
        """Everything that was read."""
        return (self.shop, *self.blocks.values(), *self.machines.values(), *self.procedures.values())

    def files(self) -> dict[str, str]:
        """Digest of each file that was read so far, by its path from the root of the workspace."""
        pictures = {f"{workspace.SOURCES}/{file}": digest for file, digest in self.album.opened().items()}
        told = {each.file: each.digest for some in self.translations.values() for each in some}
        return {loaded.file: loaded.digest for loaded in self.loaded()} | pictures | told


def gather(request: Request) -> Shelf:
    """Read what the request needs: for procedures alone, they and what they stand on; otherwise the whole workspace.

    Raises Unreadable for what the system refuses, and NoSource for a path that nobody could check.
    """
    survey = workspace.survey(request.root)
    reader = _Reader(survey)
    asked = _asked(survey, request.paths)
    wanted = tuple(key for key in reader.paths if reader.name(reader.paths[key]) in asked)
    lean = bool(request.paths) and len(wanted) == len(asked) and request.making is None
    if lean:
        reader.follow_links(wanted)
        reader.blocks_of(wanted)
    else:
        for key in reader.paths:
            reader.procedure(key)
        reader.all_blocks()
    folders = {folder for folder, _ in wanted} if lean else None
    machines = {
        folder.name: reader.load(folder.machine_file, "machine")
        for folder in survey.machines
        if folder.machine_file and (folders is None or folder.name in folders)
    }
    return Shelf(
        request.root,
        survey,
        reader.load(survey.shop, "shop"),
        reader.blocks,
        machines,
        reader.procedures,
        tuple(reader.paths) if request.making or not request.paths else wanted,
        asked,
        whole=not request.paths,
        complete=not lean,
        today=request.today,
        album=Album(survey.machines),
        translations={key: found for key in reader.procedures if (found := reader.translations(survey, key))},
    )


def insertions(steps: Iterable[Step]) -> tuple[str, ...]:
    """Names of the blocks that steps put in, each once."""
    return tuple(dict.fromkeys(step.object.text for step in steps if step.action.name == "insert"))


def used_blocks(steps: Iterable[Step], blocks: Mapping[str, Loaded]) -> tuple[str, ...]:
    """Names of the known blocks that steps put in, directly or by way of other blocks."""
    used: dict[str, None] = {}
    open_ = list(insertions(steps))
    while open_:
        name = open_.pop()
        if name in blocks and name not in used:
            used[name] = None
            record = blocks[name].record
            open_ += insertions(record.steps) if record else ()
    return tuple(used)


def linked(procedure: Procedure) -> tuple[str, ...]:
    """Names of the procedures that a procedure requires, or with which work goes on after an outcome."""
    after = (outcome.then.procedure.name for outcome in procedure.outcomes.values() if outcome.then)
    before = (words.text for words in procedure.requires if is_identifier(words.text))
    return tuple(dict.fromkeys((*before, *after)))


def _asked(survey: Survey, paths: Iterable[Path]) -> frozenset[str]:
    """The files that the paths mean: source files, and files about which the survey has something to say."""
    sources = [survey.shop, *survey.blocks]
    for folder in survey.machines:
        sources += [*([folder.machine_file] if folder.machine_file else []), *folder.procedures]
    known = {path.relative_to(survey.root).as_posix() for path in sources}
    known |= {finding.span.file for finding in survey.findings}
    asked: set[str] = set()
    for path in paths:
        name = os.path.relpath(path, survey.root).replace(os.sep, "/")
        below = known if name == "." else {file for file in known if file == name or file.startswith(f"{name}/")}
        if not below:
            kind = "folder" if path.is_dir() else "file"
            raise NoSource(
                f"{path} is no {kind} that this workspace reads; sources lie in procedures/ and end in .yaml."
            )
        asked |= below
    return frozenset(asked)


class _Reader:
    def __init__(self, survey: Survey) -> None:
        self.root = survey.root
        self.paths: dict[Key, Path] = {
            (folder.name, path.stem): path for folder in survey.machines for path in folder.procedures
        }
        self.block_paths = {path.stem: path for path in survey.blocks}
        self.blocks: dict[str, Loaded] = {}
        self.procedures: dict[Key, Loaded] = {}

    def name(self, path: Path) -> str:
        return path.relative_to(self.root).as_posix()

    def load(self, path: Path, kind: str) -> Loaded:
        document = read_file(path, self.root, kind)
        lines, digest = (document.text.lines, document.text.digest) if document.text else ((), "")
        if document.node is None:
            return Loaded(document.file, None, lines, document.findings, digest)
        bound = assemble(document.node, kind)
        return Loaded(document.file, bound.record, lines, (*document.findings, *bound.findings), digest)

    def translations(self, survey: Survey, key: Key) -> tuple[Translated, ...]:
        """The message catalogues beside a procedure."""
        folder = next(each for each in survey.machines if each.name == key[0])
        named = [(path, match) for path in folder.translations if (match := TRANSLATION.fullmatch(path.name))]
        return tuple(of_file(self.name(path), match[2], path) for path, match in named if match[1] == key[1])

    def procedure(self, key: Key) -> None:
        if key not in self.procedures:
            self.procedures[key] = self.load(self.paths[key], "procedure")

    def follow_links(self, wanted: Iterable[Key]) -> None:
        """Read the procedures to which others lead; all of them where a name leads nowhere, to offer the nearest."""
        open_ = list(wanted)
        seen = set(open_)
        while open_:
            key = open_.pop()
            self.procedure(key)
            record = self.procedures[key].record
            for name in linked(record) if record else ():
                targets = [other for other in self.paths if other[1] == name] or list(self.paths)
                open_ += [other for other in targets if other not in seen]
                seen.update(targets)

    def blocks_of(self, wanted: Iterable[Key]) -> None:
        records = [self.procedures[key].record for key in wanted]
        open_ = [name for record in records if record for name in insertions(record.steps)]
        while open_:
            name = open_.pop()
            if name in self.blocks:
                continue
            if name not in self.block_paths:
                # To offer the nearest.
                self.all_blocks()
                return
            block = self.blocks[name] = self.load(self.block_paths[name], "block")
            open_ += insertions(block.record.steps) if block.record else ()

    def all_blocks(self) -> None:
        for name, path in self.block_paths.items():
            if name not in self.blocks:
                self.blocks[name] = self.load(path, "block")
