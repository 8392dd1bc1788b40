"""Which files belong to a workspace, and what in it would be missed, doubled or followed elsewhere."""

import os
import re
from pathlib import Path
from typing import NamedTuple

from benchleaf.base.finding import Finding, Related, in_order
from benchleaf.base.rules import Rule
from benchleaf.base.span import Span
from benchleaf.source import rules_files as rules
from benchleaf.source.filenames import complaint, is_backup, is_copy, is_yaml, proposed
from benchleaf.source.text import Unreadable, reason

SOURCES = "procedures"
SHOP = "shop.yaml"
MACHINE = "machine.yaml"
BLOCKS = "common"
FIGURES = "figures"
SIGNED = "signed"
# The texts of a procedure in another language: `no-drive.de.po`.
TRANSLATION = re.compile(r"([a-z0-9-]+)\.([a-z]{2,3}(?:-[A-Za-z0-9]+)*)\.po")


class MachineFolder(NamedTuple):
    """The folder of one machine; `machine_file` is None if it lacks one. All tuples are in order of name.

    `translations` are message catalogues, each named after a procedure and a language.
    """

    name: str
    machine_file: Path | None
    procedures: tuple[Path, ...]
    figures: tuple[Path, ...]
    translations: tuple[Path, ...] = ()


class Survey(NamedTuple):
    """The files of a workspace; `shop` is told even where it does not exist."""

    root: Path
    shop: Path
    blocks: tuple[Path, ...]
    machines: tuple[MachineFolder, ...]
    findings: tuple[Finding, ...]


def find_root(start: Path) -> Path | None:
    """The nearest folder, `start` itself or above, that holds `procedures/shop.yaml`."""
    here = Path(os.path.abspath(start))
    return next((one for one in (here, *here.parents) if os.path.isfile(one / SOURCES / SHOP)), None)


def is_inside(root: Path, path: Path) -> bool:
    """Whether a path, all links followed, lies in the folder `root`."""
    return Path(os.path.realpath(path)).is_relative_to(os.path.realpath(root))


def survey(root: Path) -> Survey:
    """Look through the workspace at `root`; files that start with a dot and the folder `signed` are left out.

    Raises Unreadable for a folder that the system does not let us read.
    """
    surveyor = _Surveyor(root)
    folder = root / SOURCES
    folders, files = surveyor.names_in(folder)
    for name in surveyor.sources(folder, files):
        if name != SHOP:
            surveyor.tell(rules.STRAY_FILE, folder / name, "This file lies beside the folders and is not read.")
    blocks: tuple[Path, ...] = ()
    machines = []
    # What is signed lies beside the sources and is none.
    folders = [name for name in folders if name != SIGNED]
    surveyor.names(folder, [name for name in folders if name != BLOCKS], "")
    for name in folders:
        if name == BLOCKS:
            blocks = surveyor.blocks(folder / name)
        else:
            machines.append(surveyor.machine(folder / name))
    return Survey(root, folder / SHOP, blocks, tuple(machines), in_order(surveyor.findings))


class _Surveyor:
    def __init__(self, root: Path) -> None:
        self.root = root
        self.findings: list[Finding] = []

    def tell(self, rule: Rule, path: Path, sentence: str, *, mend: str = "", first: Path | None = None) -> None:
        related = (Related(Span(self._relative(first)), "The other one is here."),) if first else ()
        self.findings.append(rule.at(Span(self._relative(path)), sentence, mend=mend, related=related))

    def names_in(self, folder: Path) -> tuple[list[str], list[str]]:
        """Names of the folders and the plain files in a folder, sorted, without dot-files and links."""
        folders, files = [], []
        try:
            with os.scandir(folder) as entries:
                for entry in entries:
                    if entry.name.startswith("."):
                        continue
                    if entry.is_symlink():
                        self._link(folder / entry.name)
                    elif entry.is_dir():
                        folders.append(entry.name)
                    elif entry.is_file():
                        files.append(entry.name)
        except OSError as error:
            raise Unreadable(folder, reason(error)) from error
        return sorted(folders), sorted(files)

    def sources(self, folder: Path, files: list[str]) -> list[str]:
        """Names of those files that are source files; what only looks like one is told."""
        found = []
        names = [name for name in files if is_yaml(name)]
        stems = {name.removesuffix(".yaml") for name in names}
        for name in names:
            if is_backup(name):
                self.tell(rules.BACKUP_FILE, folder / name, "This is a backup that an editor or a merge left behind.")
            elif is_copy(name, stems):
                self.tell(rules.CONFLICT_COPY, folder / name, "This is a second version of another file, by its name.")
            elif not name.endswith(".yaml"):
                self.tell(rules.WRONG_ENDING, folder / name, "This file is not read: its name does not end in `.yaml`.")
            else:
                found.append(name)
        self.names(folder, found, ".yaml")
        return found

    def names(self, folder: Path, names: list[str], ending: str) -> None:
        """Tell names that are no identifiers, and names that differ only in capitals."""
        first: dict[str, str] = {}
        for name in names:
            stem = name.removesuffix(ending)
            wrong = complaint(stem)
            other = first.setdefault(stem.casefold(), name)
            if other != name:
                sentence = f"`{name}` and `{other}` differ only in capitals."
                self.tell(rules.CASE_CLASH, folder / name, sentence, first=folder / other)
            elif wrong:
                better = proposed(stem)
                mend = f"rename it to `{better}{ending}`" if better else ""
                self.tell(rules.BAD_NAME, folder / name, f"`{name}` {wrong}.", mend=mend)

    def blocks(self, folder: Path) -> tuple[Path, ...]:
        folders, files = self.names_in(folder)
        self._strays(folder, folders)
        return tuple(folder / name for name in self.sources(folder, files))

    def machine(self, folder: Path) -> MachineFolder:
        folders, files = self.names_in(folder)
        self._strays(folder, [name for name in folders if name not in (FIGURES, SIGNED)])
        sources = self.sources(folder, files)
        if MACHINE not in sources:
            self.tell(rules.NO_MACHINE_FILE, folder, f"This folder has no {MACHINE}.")
        figures = self.names_in(folder / FIGURES)[1] if FIGURES in folders else []
        return MachineFolder(
            folder.name,
            folder / MACHINE if MACHINE in sources else None,
            tuple(folder / name for name in sources if name != MACHINE),
            tuple(folder / FIGURES / name for name in figures),
            tuple(folder / name for name in files if TRANSLATION.fullmatch(name)),
        )

    def _strays(self, folder: Path, folders: list[str]) -> None:
        """Tell folders that nobody reads although they hold source files."""
        for name in folders:
            if any(is_yaml(file) for _, _, files in os.walk(folder / name) for file in files):
                self.tell(
                    rules.STRAY_FILE, folder / name, "Nothing in this folder is read, though it holds YAML files."
                )

    def _link(self, path: Path) -> None:
        where = "another place in the workspace" if is_inside(self.root, path) else "a place outside the workspace"
        self.tell(rules.SYMBOLIC_LINK, path, f"This is a symbolic link to {where}; it is not followed.")

    def _relative(self, path: Path) -> str:
        return path.relative_to(self.root).as_posix()
